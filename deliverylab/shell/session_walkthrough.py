"""The walkthrough of the pair: looked at, edited, and made into a clip."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import replace
from deliverylab.core.model.plan_changes import SetWalkthrough
from deliverylab.core.model.walkthrough import Drawing, DrawingKind, Stop, Walkthrough
from deliverylab.shell.session_state import SIDES, Side
from deliverylab.shell.session_walk_script import SessionWalkScript

if TYPE_CHECKING:
    from deliverylab.core.report.walkthrough_frame import Walk

Report = Callable[[float], None]


class MadeWalk(NamedTuple):
    """A walkthrough's clip, and the files of clips that gave no pictures for it."""

    path: Path
    without: tuple[str, ...] = ()


class SessionWalkthrough(SessionWalkScript):
    """Intents about the walkthrough of the two deliveries that are compared."""

    # -------------------------------------------------------------------------------- looking

    def show_walk_clips(self) -> None:
        """Put the clips on the stages that the walkthrough shows.

        Raises
        ------
        UsageError
            There is no walkthrough.
        """
        pair = self.walked()
        sides = zip(SIDES, ((pair.a, pair.camera_a), (pair.b, pair.camera_b)), strict=True)
        for side, (delivery, camera) in sides:
            shown = self._sides[side]
            if (shown.delivery, shown.camera) != (delivery.name, camera.name):
                self.select(side, delivery.name, camera.name)

    def show_stop(self, index: int) -> None:
        """Show a stop on both stages.

        Raises
        ------
        UsageError
            It is at an event that is not marked.
        """
        frames = self.stop_frames(index)
        self.show_walk_clips()
        self.show_both(*frames)

    def show_both(self, athlete_frame: int, model_frame: int) -> None:
        """Show a frame on each stage, whatever the phase."""
        for side, frame in zip(SIDES, (athlete_frame, model_frame), strict=True):
            camera = self.camera(side)
            if camera is not None:
                self._show(side, camera, frame)
        self._announce_landmarks()

    # --------------------------------------------------------------------------------- editing

    def add_stop(self) -> int:
        """Let the walkthrough stop at the active stage's frame; return the stop's number.

        At an event that both know it is that event, else the phase.

        Raises
        ------
        UsageError
            There is no walkthrough, or the shown clip is not the one that it shows.
        """
        pair, script, side = self.walked(), self.script(), self.active_side
        camera = pair.camera_a if side == "athlete" else pair.camera_b
        if self._sides[side].camera != camera.name or self.shows_both_clips:
            raise UsageError(
                "another clip is on the stage than the walkthrough shows",
                where=f"it shows camera {camera.name}",
                remedy="choose that camera above the stage",
            )
        event = self._event_here(side)
        scale = pair.athlete if side == "athlete" else pair.model
        phase = float(scale.phase_at(self.time_s(side)))
        stop = Stop(event=event) if event else Stop(phase=round(phase, 1))
        starts = [float(pair.athlete.phase_at(pair.instant(one)[0])) for one in script.stops]
        here = next((at for at, start in enumerate(starts) if start > phase), len(starts))
        self._set_stops((*script.stops[:here], stop, *script.stops[here:]))
        return here

    def _event_here(self, side: Side) -> str:
        """Return the event that both know at a stage's frame; or empty."""
        _, camera = self._needs_camera(side)
        times_s, frame = self.event_times_s(side), self._sides[side].frame
        known = (key for key in self.walked().events if key in times_s)
        return next((key for key in known if camera.timing.frame_at(times_s[key]) == frame), "")

    def remove_stop(self, index: int) -> None:
        """Take a stop out of the script."""
        stops = self.script().stops
        self._set_stops((*stops[:index], *stops[index + 1 :]))

    def move_stop(self, index: int, to: int) -> None:
        """Put a stop at another place in the order."""
        stops = list(self.script().stops)
        stops.insert(min(max(to, 0), len(stops) - 1), stops.pop(index))
        self._set_stops(stops)

    def set_pause(self, index: int, pause_s: float) -> None:
        """Set how long the clip stands still at a stop, seconds."""
        self._set_stop(index, replace(self.script().stops[index], pause_s=pause_s))

    def set_pauses(self, pauses_s: Sequence[float], voice: Path) -> None:
        """Set all pauses as somebody spoke, and the voice that goes with them, in one step.

        Raises
        ------
        UsageError
            The script has other stops now.
        """
        script = self.script()
        if len(script.stops) != len(pauses_s):
            raise UsageError(
                "the script was changed while the voice was recorded",
                where=voice.name,
                remedy="lay the recording under it as a sound file, or record it again",
            )
        stops = tuple(
            replace(stop, pause_s=pause_s)
            for stop, pause_s in zip(script.stops, pauses_s, strict=True)
        )
        self._set_script(
            replace(script, stops=stops, voice=self._stored_voice(voice), voice_offset_s=0.0)
        )

    def set_caption(self, index: int, caption: str, *, gesture: object = None) -> None:
        """Set what is written at a stop; letters of one gesture are one step."""
        stop = replace(self.script().stops[index], caption=caption)
        self._set_stop(index, stop, gesture=gesture)

    def set_numbers(self, index: int, metrics: tuple[tuple[str, str], ...] | None) -> None:
        """Set which numbers are shown at a stop; None those that differ most."""
        self._set_stop(index, replace(self.script().stops[index], metrics=metrics))

    def add_drawing(
        self, index: int, side: Side, kind: DrawingKind, points_px: tuple[tuple[float, float], ...]
    ) -> None:
        """Add what was drawn by hand on a stage while a stop is shown."""
        stop = self.script().stops[index]
        drawing = Drawing(side=side, kind=kind, points_px=points_px)
        self._set_stop(index, replace(stop, drawings=(*stop.drawings, drawing)))

    def remove_drawings(self, index: int, *, is_last_only: bool = False) -> None:
        """Take the drawings of a stop away, or the last of them."""
        stop = self.script().stops[index]
        kept = stop.drawings[:-1] if is_last_only else ()
        self._set_stop(index, replace(stop, drawings=kept))

    def set_walk_speed(self, speed: float) -> None:
        """Set at which share of real time the movement runs."""
        self._set_script(replace(self.script(), speed=speed))

    def set_voice(self, voice: Path | None, offset_s: float = 0.0) -> None:
        """Lay a sound file under the clip, or none.

        Raises
        ------
        ClipError
            It holds no sound that can be read.
        """
        if voice is not None:
            from deliverylab.core.video.voice import read_voice

            read_voice(voice)
        stored = "" if voice is None else self._stored_voice(voice)
        self._set_script(replace(self.script(), voice=stored, voice_offset_s=offset_s))

    def forget_script(self) -> None:
        """Go back to the script that the measurements suggest."""
        if self.has_own_script:
            self._do(SetWalkthrough(pair=self.script().pair, walkthrough=None))

    def _stored_voice(self, voice: Path) -> str:
        from deliverylab.core.store.clips import stored_path

        return stored_path(voice, self.path)

    def _set_stop(self, index: int, stop: Stop, *, gesture: object = None) -> None:
        stops = list(self.script().stops)
        stops[index] = stop
        self._set_stops(stops, gesture=gesture)

    def _set_stops(self, stops: Sequence[Stop], *, gesture: object = None) -> None:
        self._set_script(replace(self.script(), stops=tuple(stops)), gesture=gesture)

    def _set_script(self, script: Walkthrough, *, gesture: object = None) -> None:
        if script != self.script():
            self._do(SetWalkthrough(pair=script.pair, walkthrough=script), gesture=gesture)

    # ------------------------------------------------------------------------------ the clip

    def walk_preview(self, size: tuple[int, int]) -> Callable[[], Walk]:
        """Return what prepares the drawing of the walkthrough as it is now, beside the window.

        Raises
        ------
        UsageError
            There is no walkthrough.
        """
        record, script, found = self.record, self.script(), self.differences()

        def prepare() -> Walk:
            from deliverylab.core.workflow.walkthrough import prepared

            return prepared(record, script, size=size, differences=found)

        return prepare

    def walk_work(self, out: Path, size: tuple[int, int]) -> Callable[[Report], MadeWalk]:
        """Return the work that makes the clip of the walkthrough as it is now.

        Raises
        ------
        UsageError
            There is no walkthrough.
        """
        record, script, path = self.record, self.script(), self.path
        found = self.differences()

        def work(report: Report) -> MadeWalk:
            from deliverylab.core.workflow.walkthrough import make_walkthrough

            lost: dict[str, str] = {}
            make_walkthrough(
                record,
                path,
                script,
                out,
                size=size,
                differences=found,
                progress=report,
                problems=lost,
            )
            return MadeWalk(out, tuple(Path(one).name for one in lost))

        return work
