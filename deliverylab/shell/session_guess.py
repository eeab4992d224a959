"""Guesses of where a landmark may be, taken by a person; and what was placed wrongly set right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deliverylab.core.errors import NotFoundError
from deliverylab.core.model.clip_changes import SetPositions
from deliverylab.core.model.track import Position
from deliverylab.shell.session_landmarks import SessionLandmarks
from deliverylab.shell.session_state import Side, placing_keys

if TYPE_CHECKING:
    from deliverylab.core.workflow.placing_guess import Guess

BY_HAND = ("placed", "imported")


class SessionGuess(SessionLandmarks):
    """Answers and intents about guesses, pairs that were the wrong way round, and going back."""

    # --------------------------------------------------------------------------------- guesses

    def guess(self, side: Side) -> Guess | None:
        """Return where the landmark asked for may be, as moved by keys; None without one.

        It is no position: nothing is measured from it before somebody takes it.
        """
        camera, landmark = self.camera(side), self.next_landmark(side)
        if camera is None or not landmark or landmark == "ball" or self.hides_places(side):
            return None
        frame = self._sides[side].frame
        moved = self._moved_guesses.get(side)
        if moved is not None and moved[0] == (frame, landmark):
            return moved[1]
        from deliverylab.core.workflow.placing_guess import guess

        return guess(camera, landmark, frame)

    def holds_guess(self, side: Side) -> bool:
        """Whether arrow keys move the guess on this stage."""
        return side in self._with_keys

    def move_guess(self, side: Side, dx_px: float, dy_px: float) -> None:
        """Move the guess by so many px of the frame; it stays in the picture."""
        guess, camera = self.guess(side), self.camera(side)
        if guess is None or camera is None:
            return
        x_px = min(max(guess.x_px + dx_px, -0.5), camera.width_px - 0.5)
        y_px = min(max(guess.y_px + dy_px, -0.5), camera.height_px - 0.5)
        moved = guess._replace(x_px=x_px, y_px=y_px)
        self._moved_guesses[side] = ((self._sides[side].frame, self.next_landmark(side)), moved)
        self.guess_changed.emit(side)

    def let_guess_go(self, side: Side) -> None:
        """Give the arrow keys back to the frames; the guess stands where it was found again."""
        self._with_keys.discard(side)
        self._moved_guesses.pop(side, None)
        self.guess_changed.emit(side)

    def accept_guess(self) -> None:
        """Say that the landmark is where it stands: the current one that a machine placed, else the guess.

        Where nothing is asked for, the next place that matters is shown.
        """
        side = self.active_side
        camera, current, landmark = (
            self.camera(side),
            self.current_landmark(side),
            self.next_landmark(side),
        )
        if camera is None:
            return
        found = camera.track(current).at(self._sides[side].frame) if current else None
        guess = self.guess(side)
        if found is not None and found.origin not in BY_HAND:
            self._place(side, current, found.x_px, found.y_px, gesture=None)
        elif guess is not None:
            self._with_keys.add(side)
            self._place(side, landmark, guess.x_px, guess.y_px, gesture=None)
            self._sides[side].current = ""
            self._announce_landmarks()
            self.guess_changed.emit(side)
        else:
            self.next_place()

    def accept_guesses(self) -> int:
        """Take all guesses of the shown frame that other frames tell; return how many there were."""
        side = self.active_side
        if self.plan(side) is None or self.hides_places(side):
            return 0
        from deliverylab.core.workflow.placing_guess import guess
        from deliverylab.core.workflow.placing_plan import is_settled

        owner, camera = self._needs_camera(side)
        frame = self._sides[side].frame
        found = {
            key: guess(camera, key, frame)
            for key in placing_keys(self.project.delivery(owner).athlete.hand)
            if not is_settled(camera, key, frame)
        }
        positions: dict[str, dict[int, Position | None]] = {
            key: {frame: Position(one.x_px, one.y_px)}
            for key, one in found.items()
            if one.source != "start"
        }
        if positions:
            self._do(
                SetPositions(
                    delivery=owner, camera=camera.name, positions=positions, what="Take guesses"
                )
            )
        return len(positions)

    # ------------------------------------------------------------------- what was placed wrongly

    def swap_sides(self, is_stretch: bool) -> int:
        """Exchange left and right of the current landmark, else of the one asked for.

        Parameters
        ----------
        is_stretch : bool
            From this frame to the next one placed by hand, or in this frame alone.

        Returns
        -------
        int
            In how many frames; 0 where there is nothing to exchange.
        """
        side = self.active_side
        owner, camera = self._needs_camera(side)
        from deliverylab.core.workflow.placing_guess import (
            frames_to_next_placed,
            mirrored,
            swap_change,
        )

        landmark, frame = (
            self.current_landmark(side) or self.next_landmark(side),
            self.state(side).frame,
        )
        if not landmark or not mirrored(landmark):
            return 0
        frames = frames_to_next_placed(camera, landmark, frame) if is_stretch else (frame,)
        change = swap_change(self.project.delivery(owner), camera, landmark, frames)
        if change is None:
            return 0
        self._do(change)
        return len(frames)

    def previous_place(self) -> None:
        """Go back to what was placed before, one by one, to correct it."""
        while self._trail:
            before = self._trail.pop()
            state = self._sides[self.active_side]
            is_here = (state.frame, state.current) == before.ask
            if self._is_placed(*before) and not is_here:
                self.look_at_point(before.delivery, before.camera, *before.ask)
                return

    def _show_taken_back(self) -> None:
        """Show the frame of the landmark placed last where undo has taken it away."""
        if self._trail and not self._is_placed(*self._trail[-1]):
            before = self._trail.pop()
            try:
                self.look_at_point(before.delivery, before.camera, *before.ask)
            except NotFoundError:  # its clip is not in the project any more
                return

    def _is_placed(self, delivery: str, camera: str, ask: tuple[int, str]) -> bool:
        """Return whether a clip that is still there has a landmark in a frame."""
        try:
            found = self.project.camera(delivery, camera)
        except NotFoundError:
            return False
        return found.track(ask[1]).at(ask[0]) is not None
