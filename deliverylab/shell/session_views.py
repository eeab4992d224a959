"""What the stages show: frames, two clips of one delivery, what one clip says of the other's points."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray
from PySide6.QtCore import QObject

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.delivery import Camera
from deliverylab.shell.session_state import Side, other_side
from deliverylab.shell.session_suggesting import SessionSuggesting

if TYPE_CHECKING:
    from deliverylab.core.workflow.space_guide import Guide

Guides = tuple["Guide", ...]


class SessionViews(SessionSuggesting):
    """Answers and intents about which frames are seen, and about deliveries of several cameras.

    Attributes
    ----------
    has_sight_lines : bool
        Whether the line on which a landmark must lie, after another clip, is drawn.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        self.has_sight_lines = True
        super().__init__(parent)

    # ------------------------------------------------------------------------------ the frames

    def show_frame(self, side: Side, frame: int) -> None:
        """Show a frame, kept within the trimmed clip; a linked partner follows."""
        camera = self.camera(side)
        if camera is None:
            return
        self._show(side, camera, frame)
        if self.is_linked:
            self._follow(side)
        self._announce_landmarks()

    def step(self, n_frames: int) -> None:
        """Go on (or back) by some frames on the active stage."""
        self.show_frame(self.active_side, self._sides[self.active_side].frame + n_frames)

    def go_to_event(self, key: str) -> None:
        """Show the frame of an event, known or suggested; on the partner's stage that one's own."""
        for side in (other_side(self.active_side), self.active_side):
            camera = self.camera(side)
            times_s = self.instants_s(side)
            if camera is None or key not in times_s:
                continue
            frame = camera.timing.frame_at(times_s[key])
            if side == self.active_side or self.is_linked:
                self._show(side, camera, frame)
        self._announce_landmarks()

    def next_event(self, direction: int) -> None:
        """Go to the nearest event after (1) or before (-1) the shown frame, known or suggested."""
        camera = self.camera(self.active_side)
        if camera is None:
            return
        shown = self._sides[self.active_side].frame
        times_s = self.instants_s(self.active_side)
        frames = {key: camera.timing.frame_at(time_s) for key, time_s in times_s.items()}
        ahead = {key: f for key, f in frames.items() if (f - shown) * direction > 0}
        if ahead:
            self.go_to_event(min(ahead, key=lambda key: abs(ahead[key] - shown)))

    def _show(self, side: Side, camera: Camera, frame: int) -> None:
        frame = max(camera.first_frame, min(camera.end_frame, frame))
        state = self._sides[side]
        if frame != state.frame:
            state.frame = frame
            state.chosen, state.after, state.skipped = "", 0, frozenset()
            self.frame_changed.emit(side, frame)

    # ------------------------------------------------------------------------- both clips

    def set_both_clips(self, is_wanted: bool) -> None:
        """Show another clip of the athlete's delivery on the second stage, or the partner again.

        This is a matter of looking: the pair that is compared stays, and there is nothing to undo.

        Raises
        ------
        InputValueError
            The delivery has one clip only.
        """
        delivery = self.delivery("athlete")
        if delivery is None or is_wanted == self.shows_both_clips:
            return
        if is_wanted:
            others = [
                one.name for one in delivery.cameras if one.name != self.state("athlete").camera
            ]
            if not others:
                self.display_changed.emit()
                raise InputValueError(
                    "this delivery has one clip only",
                    where=delivery.name,
                    remedy="add another camera of it",
                )
            self._put("model", delivery.name, others[0])
            self._follow("athlete")
        else:
            partner = self.partner()
            self.activate("athlete")
            self._put("model", None if partner is None else partner.name, None)
        self._announce_landmarks()
        self._want_results()
        self.display_changed.emit()

    def _follow_pair(self) -> None:
        pair = self.record.pair
        is_kept = pair is not None and pair[0] == self._sides["athlete"].delivery
        if not (is_kept and self.shows_both_clips):
            super()._follow_pair()

    def _follow(self, side: Side) -> None:
        """Show on the other stage the frame that belongs to this one's."""
        partner, time_s = other_side(side), self.partner_time_s(side)
        camera = self.camera(partner)
        if camera is not None and time_s is not None:
            self._show(partner, camera, camera.timing.frame_at(time_s))

    def partner_time_s(self, side: Side) -> float | None:
        """Return when the other stage's clip shows what belongs to this one's frame, its own clock.

        Of two clips of one delivery that is the same instant; of two deliveries the same phase.
        None where neither is known.
        """
        by_clock = self.on_other_clock_s(side, self.time_s(side))
        if by_clock is not None:
            return float(by_clock)
        own, others = self.timeline(side), self.timeline(other_side(side))
        if own is None or others is None:
            return None
        return float(others.time_at(own.phase_at(self.time_s(side))))

    def on_other_clock_s(self, side: Side, times_s: ArrayLike) -> NDArray[np.float64] | None:
        """Return times of a stage's clip on the clock of the other stage's clip, by the solve.

        None unless both are clips of one delivery whose clocks are solved.
        """
        delivery, camera = self.delivery(side), self.camera(side)
        other = self.camera(other_side(side))
        if not self.shows_both_clips or delivery is None or camera is None or other is None:
            return None
        space = delivery.space
        if space is None or space.is_refused:
            return None
        offsets = {one.name: one.offset_s for one in space.cameras}
        if not {camera.name, other.name} <= offsets.keys():
            return None
        shift_s = offsets[camera.name] - offsets[other.name]
        return other.timing.clip_s(camera.timing.real_s(times_s) + shift_s)

    # ------------------------------------------------------------------------ lines of sight

    def set_sight_lines(self, is_wanted: bool) -> None:
        """Draw the line on which a landmark must lie, after another clip, or not."""
        self.has_sight_lines = is_wanted
        self.display_changed.emit()

    def guides(self, side: Side) -> tuple[Guides, Guides]:
        """Return the lines for the landmark asked for, and for the current one, in the shown frame.

        One for each other clip that shows it then; none while they are not wanted, or placed points
        are hidden.
        """
        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None or not self.has_sight_lines:
            return (), ()
        if delivery.space is None or self.hides_places(side):
            return (), ()
        from deliverylab.core.workflow.space_guide import guides

        frame = self.state(side).frame
        asked, current = self.next_landmark(side), self.current_landmark(side)
        return (
            guides(delivery, camera.name, frame, asked),
            guides(delivery, camera.name, frame, current),
        )
