"""What the window works on: the project, its undo stack, and what the two stages show."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QUndoStack

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.changes import Batch, Change, SetCamera, SetDelivery
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.events import ORDER
from deliverylab.core.vocabulary.landmarks import PLACING_ORDER, Hand, key_for_role
from deliverylab.shell.commands import ChangeCommand

Side = Literal["athlete", "model"]
SIDES: tuple[Side, Side] = ("athlete", "model")
UNTITLED = "Untitled"


@cache
def placing_keys(hand: Hand) -> tuple[str, ...]:
    """Return the 20 body landmarks in the order in which they are asked for."""
    return tuple(key_for_role(role, hand) for role in PLACING_ORDER)


def other_side(side: Side) -> Side:
    """Return the other stage."""
    return "model" if side == "athlete" else "athlete"


@dataclass
class SideState:
    """What one stage shows.

    Attributes
    ----------
    delivery, camera : str or None
        Names; None while there is nothing to show.
    frame : int
        Frame index of the clip.
    chosen, current : str
        Landmark keys: asked for explicitly, and last placed or chosen (moved by nudges); or empty.
    after : int
        Place in the guided order from which the next unplaced landmark is looked for.
    skipped : set of str
        Landmarks passed over in this frame.
    """

    delivery: str | None = None
    camera: str | None = None
    frame: int = 0
    chosen: str = ""
    current: str = ""
    after: int = 0
    skipped: frozenset[str] = frozenset()


def _opening_frame(camera: Camera) -> int:
    """Return the frame that is shown first: the first marked event's, else the clip's first."""
    marked = sorted(camera.marks, key=lambda key: ORDER[key])
    if not marked:
        return camera.first_frame
    frame = camera.timing.frame_at(camera.marks[marked[0]].time_s)
    return min(max(frame, camera.first_frame), camera.end_frame)


class SessionState(QObject):
    """The project and the two stages; results come with `SessionAnswers`, intents with `Session`.

    Attributes
    ----------
    project : Project
        The model; only this package edits it.
    path : Path or None
        Where it was opened from or saved to.
    undo_stack : QUndoStack
        All edits of this project since it was opened.
    is_linked : bool
        Whether the partner follows at the same phase.
    active_side : {"athlete", "model"}
        The stage that keys go to.

    Signals
    -------
    changed(frozenset of str)
        The model changed; what is touched.
    results_updated()
        Results are out of date and will be computed when asked for (once per turn of the loop).
    selection_changed(str)
        Another delivery or camera is on this stage.
    frame_changed(str, int)
        Side and frame.
    next_landmark_changed(str, str), current_landmark_changed(str, str)
        Side and landmark key, or empty.
    title_changed(str), saved(str), display_changed()
        Title with its modified mark; path; mirrored, linked, active side or units changed.
    """

    changed = Signal(object)
    results_updated = Signal()
    selection_changed = Signal(str)
    frame_changed = Signal(str, int)
    next_landmark_changed = Signal(str, str)
    current_landmark_changed = Signal(str, str)
    title_changed = Signal(str)
    saved = Signal(str)
    display_changed = Signal()
    _results_wanted = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.path: Path | None = None
        self._file_state: str | None = None
        self.is_linked = True
        self._mirror_choice: bool | None = None
        self.active_side: Side = "athlete"
        self.undo_stack = QUndoStack(self)
        self.undo_stack.cleanChanged.connect(self._on_clean_changed)
        self._sides: dict[Side, SideState] = {side: SideState() for side in SIDES}
        self._announced: dict[tuple[str, Side], str] = {}
        self._gesture: object = None
        self._n_gestures = 0
        self._is_results_due = False
        # queued, not timed: Qt paints after what is queued, so that a dragged point and the
        # numbers that follow it are painted together, once
        self._results_wanted.connect(self._on_results_wanted, Qt.ConnectionType.QueuedConnection)
        self._adopt(Project(), None)

    # ------------------------------------------------------------------------------- questions

    @property
    def record(self) -> ProjectRecord:
        """The project as it is now."""
        return self.project.record

    @property
    def unit_system(self) -> UnitSystem:
        """The reader's units."""
        return self.record.unit_system

    @property
    def is_mirrored(self) -> bool:
        """Whether left-handers are drawn mirrored: as chosen, else where two hands are compared."""
        if self._mirror_choice is not None:
            return self._mirror_choice
        shown = [self.delivery(side) for side in SIDES]
        return len({one.athlete.hand for one in shown if one is not None}) > 1

    @property
    def is_modified(self) -> bool:
        """Whether there is anything to save."""
        return not self.undo_stack.isClean()

    @property
    def name(self) -> str:
        """The project's title, else its file's name."""
        return self.record.title or (self.path.stem if self.path else UNTITLED)

    @property
    def head(self) -> tuple[str, str]:
        """Title and organisation, either of which may be empty."""
        return self.record.title, self.record.organisation

    @property
    def title(self) -> str:
        """The window's title; ``[*]`` stands where Qt puts the modified mark."""
        return f"{self.name}[*]"

    def delivery_names(self) -> tuple[str, ...]:
        """Return the names of all deliveries, in their order."""
        return tuple(delivery.name for delivery in self.record.deliveries)

    def cameras_of(self, delivery: str) -> tuple[Camera, ...]:
        """Return the cameras of a delivery."""
        return self.project.delivery(delivery).cameras

    def state(self, side: Side) -> SideState:
        """Return what a stage shows; for reading only."""
        return self._sides[side]

    def delivery(self, side: Side) -> Delivery | None:
        """Return the delivery on a stage, or None."""
        name = self._sides[side].delivery
        return None if name is None else self.project.delivery(name)

    def camera(self, side: Side) -> Camera | None:
        """Return the camera on a stage, or None."""
        delivery = self.delivery(side)
        name = self._sides[side].camera
        return None if delivery is None or name is None else delivery.camera(name)

    def time_s(self, side: Side) -> float:
        """Return the time of the shown frame on the clip's own clock, seconds; 0 without one."""
        camera = self.camera(side)
        return 0.0 if camera is None else float(camera.timing.times_s[self._sides[side].frame])

    def next_landmark(self, side: Side) -> str:
        """Return the landmark asked for in the shown frame; which comes next knows `SessionFlow`."""
        return self._sides[side].chosen

    def current_landmark(self, side: Side) -> str:
        """Return the landmark that nudges move: last placed or chosen in this frame; or empty."""
        state, camera = self._sides[side], self.camera(side)
        if camera is None or camera.track(state.current).at(state.frame) is None:
            return ""
        return state.current

    # --------------------------------------------------------------------------------- keeping

    def _adopt(self, project: Project, path: Path | None) -> None:
        """Work on another project from now on."""
        self.project = project
        self.path = path
        self._file_state = None
        project.observe(self._on_project_changed)
        self._gesture = None
        self._mirror_choice = None
        # before the stack tells the title: whoever listens must not look for what is gone
        for state in self._sides.values():
            state.__dict__.update(SideState().__dict__)
        self.active_side = "athlete"
        self.undo_stack.clear()
        self._announced.clear()
        self._follow_pair()
        self._settle()
        for side in SIDES:
            self.selection_changed.emit(side)
        self.changed.emit(frozenset({"project", "deliveries", "positions", "marks", "scale"}))
        self.display_changed.emit()
        self._announce_landmarks()
        self._want_results()
        self.title_changed.emit(self.title)

    def _do(self, change: Change, *, gesture: object = None) -> None:
        """Carry an edit out and put it on the undo stack; one that changes nothing leaves no step.

        Raises
        ------
        DeliveryLabError
            The edit does not fit; nothing has happened.
        """
        inverse = self.project.apply(change)
        if inverse != change:
            command = ChangeCommand(self.project, change, inverse, gesture or self._gesture)
            self.undo_stack.push(command)

    def _on_project_changed(self, change: Change) -> None:
        touches = change.touches
        self._follow_renames(change)
        if touches & {"deliveries", "project"}:
            self._follow_pair()
            self._settle()
            self.display_changed.emit()
            self.title_changed.emit(self.title)
        self.changed.emit(touches)
        self._announce_landmarks()
        self._want_results()

    def _want_results(self) -> None:
        """Tell once, when the present turn of the loop is over, that results are others now."""
        if not self._is_results_due:
            self._is_results_due = True
            self._results_wanted.emit()

    def _on_results_wanted(self) -> None:
        self._is_results_due = False
        self.results_updated.emit()

    def _on_clean_changed(self, _is_clean: bool) -> None:
        self.title_changed.emit(self.title)

    def _follow_renames(self, change: Change) -> None:
        """Keep a delivery and its camera on their stage when they get other names."""
        for one in change.changes if isinstance(change, Batch) else (change,):
            for state in self._sides.values():
                if isinstance(one, SetDelivery) and one.delivery is not None:
                    if state.delivery == one.name:
                        state.delivery = one.delivery.name
                elif (
                    isinstance(one, SetCamera)
                    and one.camera is not None
                    and (state.delivery, state.camera) == (one.delivery, one.name)
                ):
                    state.camera = one.camera.name

    def _follow_pair(self) -> None:
        """Put the project's pair on the stages, where it names deliveries that exist."""
        pair = self.record.pair
        if pair is not None and set(pair) <= set(self.delivery_names()):
            for side, name in zip(SIDES, pair, strict=True):
                if self._sides[side].delivery != name:
                    self._put(side, name, None)

    def _settle(self) -> None:
        """See to it that the stages show what exists; the first delivery if they show nothing."""
        names = self.delivery_names()
        for side in SIDES:
            state = self._sides[side]
            if state.delivery is not None and state.delivery not in names:
                self._put(side, None, None)
            if side == "athlete" and state.delivery is None and names:
                self._put(side, names[0], None)
            if state.delivery is None:
                continue
            cameras = self.project.delivery(state.delivery).cameras
            if state.camera not in {camera.name for camera in cameras}:
                self._put(side, state.delivery, None)
            camera = self.camera(side)
            if camera is not None:
                frame = min(max(state.frame, camera.first_frame), camera.end_frame)
                if frame != state.frame:
                    state.frame = frame
                    self.frame_changed.emit(side, frame)

    def _put(self, side: Side, delivery: str | None, camera: str | None) -> None:
        """Show this delivery's camera (its first when None) on a stage, from its first event."""
        state = SideState(delivery=delivery)
        if delivery is not None:
            owner = self.project.delivery(delivery)
            if owner.cameras:
                shown = owner.camera(camera)
                state.camera = shown.name
                state.frame = _opening_frame(shown)
        # the object stays the same, so that nobody holds a stale one
        self._sides[side].__dict__.update(state.__dict__)
        self.selection_changed.emit(side)
        self.frame_changed.emit(side, state.frame)

    def _announce_landmarks(self) -> None:
        """Tell who listens when the next or the current landmark is another than before."""
        for side in SIDES:
            for kind, key, signal in (
                ("next", self.next_landmark(side), self.next_landmark_changed),
                ("current", self.current_landmark(side), self.current_landmark_changed),
            ):
                if self._announced.get((kind, side)) != key:
                    self._announced[kind, side] = key
                    signal.emit(side, key)

    def _needs_camera(self, side: Side) -> tuple[str, Camera]:
        """Return the names that an edit of a stage's clip needs.

        Raises
        ------
        DeliveryLabError
            Nothing is on that stage.
        """
        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None:
            raise DeliveryLabError(
                "there is no delivery here yet", remedy="add one first: drop a clip on the window"
            )
        return delivery.name, camera
