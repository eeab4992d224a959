"""The one way in: everything a person can do in the window, as intents."""

from __future__ import annotations

import contextlib
from pathlib import Path

from deliverylab.core.errors import DeliveryLabError, InputValueError
from deliverylab.core.model.changes import Batch, SetProjectField
from deliverylab.core.model.clip_changes import SetMark, SetScale
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.events import EVENT_KEYS
from deliverylab.shell.session_answers import LostClip
from deliverylab.shell.session_state import (
    SIDES,
    Side,
    SideState,
    other_side,
)
from deliverylab.shell.session_walkthrough import SessionWalkthrough

__all__ = ["SIDES", "LostClip", "Session", "Side", "SideState", "other_side"]


class Session(SessionWalkthrough):
    """A project in the window: its file, events and scale as intents.

    Questions are answered by `SessionAnswers`; what concerns whole deliveries stands in
    `SessionDeliveries`, a clip's times in `SessionFilm`, the ball in `SessionBall`, the cameras on the
    field in `SessionSpace`, one's own precision in `SessionPlacing`, suggested events in
    `SessionSuggesting`, which frames and clips are seen in `SessionViews`, the
    landmark detector in `SessionDetecting`, following through the clip in `SessionTracking`,
    what was looked at in `SessionReview`.  How two deliveries are shown stands in `SessionStages`,
    playing in `SessionPlay`, who is compared with whom in `SessionParties`, what the differences
    start with in `SessionChain`, what is worked on in `SessionPlan`, the walkthrough in
    `SessionWalkScript` and `SessionWalkthrough`.

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
        """Take the last edit back; where a landmark is not placed any more, its frame is shown."""
        self.undo_stack.undo()
        self._show_taken_back()

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
