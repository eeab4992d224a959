"""The one way in: everything a person can do in the window, as intents."""

from __future__ import annotations

import contextlib
from pathlib import Path

from deliverylab.core.errors import DeliveryLabError, InputValueError
from deliverylab.core.model.changes import Batch, Change, SetProjectField
from deliverylab.core.model.clip_changes import (
    SetMark,
    SetOccluded,
    SetPosition,
    SetScale,
)
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.model.track import Position
from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.events import EVENT_KEYS
from deliverylab.shell.session_answers import LostClip
from deliverylab.shell.session_detecting import SessionDetecting
from deliverylab.shell.session_state import (
    SIDES,
    Side,
    SideState,
    other_side,
    placing_keys,
)
from deliverylab.shell.session_views import SessionViews

__all__ = ["SIDES", "LostClip", "Session", "Side", "SideState", "other_side"]


class Session(SessionDetecting, SessionViews):
    """A project in the window: its file, landmarks, events and scale as intents.

    Questions are answered by `SessionAnswers`; what concerns whole deliveries stands in
    `SessionDeliveries`, a clip's times in `SessionFilm`, the ball in `SessionBall`, the cameras on the
    field in `SessionSpace`, one's own precision in `SessionPlacing`, which frames and clips are seen in
    `SessionViews`, the landmark detector in `SessionDetecting`.

    Every intent that edits raises `DeliveryLabError` where the edit does not fit, and has then
    changed nothing.
    """

    # ----------------------------------------------------------------------------- the project

    def new_project(self, unit_system: UnitSystem = "metric") -> None:
        """Begin with an empty project."""
        self._adopt(Project(ProjectRecord(unit_system=unit_system)), None)

    def open_project(self, path: Path) -> None:
        """Open a project file."""
        from deliverylab.core.store.projectfile import open_project_file

        opened = open_project_file(path)
        self._adopt(Project(opened.record), Path(path))
        self._file_state = opened.state

    def recover(
        self, record: ProjectRecord, path: Path | None, *, is_beside_others: bool = False
    ) -> None:
        """Go on with a recovery copy, which counts as not yet saved.

        Where it lies beside what others wrote to that file, it is not saved over theirs.
        """
        from deliverylab.core.store.projectfile import open_project_file
        from deliverylab.core.store.replacing import NO_FILE

        self._adopt(Project(record), path)
        if is_beside_others:
            self._file_state = NO_FILE
        elif path is not None:
            with contextlib.suppress(DeliveryLabError):  # nothing there, or nothing worth keeping
                self._file_state = open_project_file(path).state
        self.undo_stack.resetClean()

    def save(self) -> None:
        """Save to where the project came from.

        Raises
        ------
        InputValueError
            It has no file yet.
        """
        if self.path is None:
            raise InputValueError("the project has no file yet", remedy="save it under a name")
        self.save_as(self.path)

    def save_as(self, path: Path, *, is_new: bool = False) -> None:
        """Save to this file, with clips referred to from there, and go on working with it.

        Raises
        ------
        ChangedOnDiskError
            Somebody else saved the file since it was opened or saved here; or it `is_new` and is
            there already.  It is as they wrote it.
        OutputError
            It cannot be written there.
        """
        from deliverylab.core.store.clips import rebased
        from deliverylab.core.store.projectfile import save_project
        from deliverylab.core.store.replacing import NO_FILE

        path = Path(path)
        expected = NO_FILE if is_new else None
        if path == self.path and self._file_state is not None:
            # where it was taken away meanwhile, nothing is written over
            expected = self._file_state if path.exists() else NO_FILE
        record = self.record if path == self.path else rebased(self.record, self.path, path)
        self._file_state = save_project(record, path, expected_state=expected)
        self.project.record = record
        self.path = path
        self.undo_stack.setClean()
        self.saved.emit(str(path))
        self.title_changed.emit(self.title)

    def undo(self) -> None:
        """Take the last edit back."""
        self.undo_stack.undo()

    def redo(self) -> None:
        """Carry the edit taken back out again."""
        self.undo_stack.redo()

    def set_title(self, title: str) -> None:
        """Name the project, for the page's head and the window."""
        self._do(SetProjectField(field="title", value=title.strip()))

    def set_head(self, title: str, organisation: str) -> None:
        """Say what the page and the window are headed by, in one step."""
        changes = tuple(
            SetProjectField(field=field, value=value.strip())
            for field, value in (("title", title), ("organisation", organisation))
            if value.strip() != getattr(self.record, field)
        )
        if changes:
            self._do(Batch(label="Set title and organisation", changes=changes))

    def set_unit_system(self, system: UnitSystem) -> None:
        """Choose the reader's units."""
        self._do(SetProjectField(field="unit_system", value=system))

    # --------------------------------------------------------------------------- the landmarks

    def begin_gesture(self) -> None:
        """Begin a drag: moves of one landmark until `end_gesture` become one step."""
        self._n_gestures += 1
        self._gesture = ("gesture", self._n_gestures)

    def end_gesture(self) -> None:
        """End the drag."""
        self._gesture = None

    def place_landmark(self, side: Side, landmark: str, x_px: float, y_px: float) -> None:
        """Place or move a landmark in the shown frame; the next one is then asked for."""
        self._place(side, landmark, x_px, y_px, gesture=None)

    def nudge(self, dx_px: float, dy_px: float) -> None:
        """Move the current landmark of the active stage a little; a run of nudges is one step."""
        side = self.active_side
        landmark, camera = self.current_landmark(side), self.camera(side)
        if camera is None or not landmark:
            return
        old = camera.track(landmark).at(self._sides[side].frame)
        if old is not None:
            x_px, y_px = old.x_px + dx_px, old.y_px + dy_px
            self._place(side, landmark, x_px, y_px, gesture="nudge")

    def _place(
        self, side: Side, landmark: str, x_px: float, y_px: float, *, gesture: str | None
    ) -> None:
        delivery, camera = self._needs_camera(side)
        state = self._sides[side]
        x_px = min(max(float(x_px), -0.5), camera.width_px - 0.5)
        y_px = min(max(float(y_px), -0.5), camera.height_px - 0.5)
        where = {"delivery": delivery, "camera": camera.name, "landmark": landmark}
        change: Change = SetPosition(**where, frame=state.frame, position=Position(x_px, y_px))
        if camera.is_occluded(landmark, state.frame):
            seen = SetOccluded(**where, frame=state.frame, is_occluded=False)
            change = Batch(label=change.label, changes=(seen, change))
        is_new = camera.track(landmark).at(state.frame) is None
        state.current = landmark
        if is_new or state.chosen == landmark:
            state.chosen = ""
            self._look_after(side, landmark)
        self._do(change, gesture=gesture)
        self._announce_landmarks()

    def remove_landmark(self, side: Side, landmark: str) -> None:
        """Take a landmark's position in the shown frame away."""
        delivery, camera = self._needs_camera(side)
        frame = self._sides[side].frame
        if camera.track(landmark).at(frame) is not None:
            self._do(
                SetPosition(
                    delivery=delivery,
                    camera=camera.name,
                    landmark=landmark,
                    frame=frame,
                    position=None,
                )
            )

    def set_hidden(self, side: Side, landmark: str, is_hidden: bool) -> None:
        """Say that a landmark cannot be seen in the shown frame (its position goes), or that it can."""
        delivery, camera = self._needs_camera(side)
        state = self._sides[side]
        where = {"delivery": delivery, "camera": camera.name, "landmark": landmark}
        change: Change = SetOccluded(**where, frame=state.frame, is_occluded=is_hidden)
        if is_hidden and camera.track(landmark).at(state.frame) is not None:
            gone = SetPosition(**where, frame=state.frame, position=None)
            change = Batch(label=change.label, changes=(gone, change))
        if state.chosen == landmark:
            state.chosen = ""
        self._look_after(side, landmark)
        self._do(change)
        self._announce_landmarks()

    def choose_landmark(self, side: Side, landmark: str) -> None:
        """Ask for this landmark next, or make a placed one the one that nudges move; empty: none."""
        camera = self.camera(side)
        state = self._sides[side]
        if camera is None:
            return
        if not landmark:
            state.current = ""
        elif camera.track(landmark).at(state.frame) is not None:
            state.current = landmark
        else:
            state.chosen = landmark
            state.skipped -= {landmark}
        self._announce_landmarks()

    def skip_landmark(self, side: Side) -> None:
        """Pass over the landmark that is asked for, in this frame."""
        landmark = self.next_landmark(side)
        if landmark:
            state = self._sides[side]
            state.skipped |= {landmark}
            state.chosen = ""
            self._look_after(side, landmark)
            self._announce_landmarks()

    def _look_after(self, side: Side, landmark: str) -> None:
        """Go on in the guided order behind this landmark."""
        delivery = self.delivery(side)
        keys = placing_keys(delivery.athlete.hand) if delivery is not None else ()
        if landmark in keys:
            self._sides[side].after = (keys.index(landmark) + 1) % len(keys)

    def look_at_point(self, delivery: str, camera: str, frame: int, landmark: str) -> Side:
        """Show a clip's frame with a landmark chosen, and return the stage on which that is.

        Raises
        ------
        DeliveryLabError
            There is no such clip any more.
        """
        self.project.camera(delivery, camera)
        shown = [
            side
            for side in SIDES
            if (self.state(side).delivery, self.state(side).camera) == (delivery, camera)
        ]
        side = shown[0] if shown else self._stage_of(delivery)
        if not shown:
            self.select(side, delivery, camera)
        self.activate(side)
        self.show_frame(side, frame)
        self.choose_landmark(side, landmark)
        return side

    def _stage_of(self, delivery: str) -> Side:
        stages = [one for one in SIDES if self.state(one).delivery == delivery]
        return stages[0] if stages else "athlete"

    # ----------------------------------------------------------------------- events and scale

    def mark_event(self, side: Side, event: str, time_s: float | None = None) -> None:
        """Mark an event at a time of the clip's own clock; at the shown frame when None."""
        delivery, camera = self._needs_camera(side)
        mark = Mark(time_s=self.time_s(side) if time_s is None else float(time_s))
        self._do(SetMark(delivery=delivery, camera=camera.name, event=event, mark=mark))

    def remove_mark(self, side: Side, event: str) -> None:
        """Take an event mark away."""
        delivery, camera = self._needs_camera(side)
        if event in camera.marks:
            self._do(SetMark(delivery=delivery, camera=camera.name, event=event, mark=None))

    def event_at_frame(self, side: Side) -> str:
        """Return the event at the shown frame, marked there or known by solved clocks; or empty."""
        camera = self.camera(side)
        if camera is not None:
            times_s = self.event_times_s(side)
            for key in EVENT_KEYS:
                if key not in times_s:
                    continue
                if camera.timing.frame_at(times_s[key]) == self._sides[side].frame:
                    return key
        return ""

    def set_scale(self, side: Side, scale: PlanarScale | None) -> None:
        """Set or remove how a stage's pixels become metres."""
        delivery, camera = self._needs_camera(side)
        self._do(SetScale(delivery=delivery, camera=camera.name, scale=scale))
