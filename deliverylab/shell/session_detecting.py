"""Landmarks that the detector suggests: the work, taking it over, and what waits for a person."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from PySide6.QtCore import QObject, Signal

from deliverylab.core.errors import UsageError
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.project import Project
from deliverylab.core.vocabulary.landmarks import role_for_key, role_name
from deliverylab.shell.session_film import Report
from deliverylab.shell.session_guess import SessionGuess
from deliverylab.shell.session_state import Side

if TYPE_CHECKING:
    from deliverylab.core.store.detector_files import FetchedDetector
    from deliverylab.core.workflow.detection import Detection, Waiting

Box = tuple[float, float, float, float]
EDGE_PX = 0.5
"""A pixel's edge lies this far before its centre, where the stage counts from."""


class Footage(NamedTuple):
    """What pictures a result was read from: it holds for no other."""

    project: Project
    clip: object
    timing: object


@dataclass(frozen=True, kw_only=True)
class WaitingPlace:
    """A landmark in a frame that the detector left to a person.

    Attributes
    ----------
    landmark, frame : str, int
    what : str
        Its name and where it is.
    why : str
        How many results need it, and why the detector's place is not taken.
    """

    landmark: str
    frame: int
    what: str
    why: str


@dataclass(frozen=True, kw_only=True)
class Queue:
    """What waits: those that results need, the most important first, and how many others."""

    places: tuple[WaitingPlace, ...] = ()
    n_others: int = 0
    has_marks: bool = True

    @property
    def n_all(self) -> int:
        """How many wait."""
        return len(self.places) + self.n_others


@dataclass(frozen=True, kw_only=True)
class _Kept:
    """A detection, and for what it holds."""

    footage: Footage
    found: Detection


class SessionDetecting(SessionGuess):
    """Answers and intents about the landmark detector.

    Signals
    -------
    waiting_changed(str)
        Something else waits for a person on this stage's clip.
    """

    waiting_changed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        self._detections: dict[tuple[str, str], _Kept] = {}
        self._drawn_boxes: dict[tuple[str, str], tuple[Footage, Box]] = {}
        super().__init__(parent)

    # ----------------------------------------------------------------------------- the detector

    def has_detector(self) -> bool:
        """Return whether somebody has fetched the detector; that nobody has is a normal state.

        Raises
        ------
        InputValueError
            Its file is damaged.
        """
        from deliverylab.core.store.detector_files import detector_weights

        return detector_weights() is not None

    def detector_work(self) -> Callable[[Report], FetchedDetector]:
        """Return the work that fetches the detector: only ever done when a person asks for it."""

        def work(_report: Report) -> FetchedDetector:
            from deliverylab.core.store.detector_files import fetch_detector

            return fetch_detector()

        return work

    # ------------------------------------------------------------------------------ the work

    def footage(self, side: Side) -> Footage | None:
        """Return which pictures a stage's positions are read from."""
        camera = self.camera(side)
        return None if camera is None else Footage(self.project, camera.clip, camera.timing)

    def detection_box(self, side: Side) -> Box | None:
        """Return the box drawn round the athlete: left, top, width, height, px; None without."""
        kept = self._drawn_boxes.get(self._shown(side))
        return None if kept is None or not self._holds(side, kept[0]) else kept[1]

    def set_detection_box(
        self, side: Side, corners: tuple[float, float, float, float] | None
    ) -> None:
        """Keep the box between two corners, left, top, right, bottom in the frame, px; or none."""
        footage = self.footage(side)
        self._drawn_boxes.pop(self._shown(side), None)
        if corners is not None and footage is not None:
            left, top, right, bottom = (round(number + EDGE_PX) for number in corners)
            box = (float(left), float(top), float(right - left), float(bottom - top))
            self._drawn_boxes[self._shown(side)] = footage, box

    def detection_work(self, side: Side, step: int = 1) -> Callable[[Report], Detection]:
        """Return the work that looks for landmarks in every `step`-th frame of a stage's clip.

        Raises
        ------
        DeliveryLabError
            Nothing is there to look at.
        """
        name, camera = self._needs_camera(side)
        delivery, path, box = self.project.delivery(name), self.path, self.detection_box(side)

        def work(report: Report) -> Detection:
            from deliverylab.core.workflow.detecting import detect, installed_network

            network = installed_network()
            return detect(delivery, camera, path, network, box=box, step=step, progress=report)

        return work

    def people_in(self, error: BaseException) -> tuple[Box, ...]:
        """Return the boxes of the people among whom the work could not choose; none else.

        They are left, top, right and bottom in the frame, px, the largest first.
        """
        from deliverylab.core.workflow.detecting_run import SeveralPeopleError

        if not isinstance(error, SeveralPeopleError):
            return ()
        return tuple(
            (left - EDGE_PX, top - EDGE_PX, left + width - EDGE_PX, top + height - EDGE_PX)
            for left, top, width, height in error.boxes
        )

    def take_detection(self, side: Side, footage: Footage | None, found: Any) -> int:
        """Take over what is believed, in one step; return how many points that are.

        `found` is what the work of `detection_work` gave, and `footage` what the stage showed then.

        Raises
        ------
        UsageError
            The stage shows other pictures now.
        """
        from deliverylab.core.workflow.detecting import detection_change

        name, camera = self._needs_camera(side)
        if footage is None or not self._holds(side, footage):
            raise UsageError(
                "the clip was changed while the landmarks were looked for", where=name,
                remedy="look for them again",
            )  # fmt: skip
        self._detections[self._shown(side)] = _Kept(footage=footage, found=found)
        change = detection_change(self.project.delivery(name), camera, found)
        self._do(change)
        self.waiting_changed.emit(side)
        return sum(
            position is not None
            for places in change.positions.values()
            for position in places.values()
        )

    # ------------------------------------------------------------------------------ what waits

    def detection(self, side: Side) -> Detection | None:
        """Return what was found in a stage's clip last; None before that."""
        kept = self._detections.get(self._shown(side))
        return kept.found if kept is not None and self._holds(side, kept.footage) else None

    def waiting(self, side: Side) -> Queue:
        """Return what still waits on a stage's clip: neither placed since, nor said to be hidden."""
        camera, found = self.camera(side), self.detection(side)
        if camera is None or found is None:
            return Queue()
        open_ones = [one for one in found.waiting if _is_open(camera, one)]
        needed = [one for one in open_ones if one.n_results or not camera.marks]
        return Queue(
            places=tuple(self._in_words(side, camera, one) for one in needed),
            n_others=len(open_ones) - len(needed),
            has_marks=bool(camera.marks),
        )

    def waiting_frames(self, side: Side) -> tuple[int, ...]:
        """Return the frames in which something waits that results need, ascending."""
        camera, found = self.camera(side), self.detection(side)
        if camera is None or found is None:
            return ()
        needed = (one for one in found.waiting if one.n_results)
        return tuple(sorted({one.frame for one in needed if _is_open(camera, one)}))

    def _in_words(self, side: Side, camera: Camera, one: Waiting) -> WaitingPlace:
        from deliverylab.core.vocabulary.events import BY_KEY
        from deliverylab.core.workflow.detection import REASON_TEXT

        delivery = self.delivery(side)
        hand = "right" if delivery is None else delivery.athlete.hand
        name = role_name(role_for_key(one.landmark, hand))
        here = [
            BY_KEY[key].name
            for key, mark in camera.marks.items()
            if camera.timing.frame_at(mark.time_s) == one.frame
        ]
        where = f"frame {one.frame}" + (f", {here[0]}" if here else "")
        reason = REASON_TEXT[one.reason]
        needs = f"{one.n_results} result{'s' if one.n_results != 1 else ''} need"
        needs += "s it: " if one.n_results == 1 else " it: "
        return WaitingPlace(
            landmark=one.landmark,
            frame=one.frame,
            what=f"{name[:1].upper()}{name[1:]}, {where}",
            why=(needs if one.n_results else "") + reason,
        )

    def _shown(self, side: Side) -> tuple[str, str]:
        state = self.state(side)
        return state.delivery or "", state.camera or ""

    def _holds(self, side: Side, footage: Footage) -> bool:
        """Return whether a stage still shows the pictures that something was read from."""
        now = self.footage(side)
        return (
            now is not None
            and now.project is footage.project
            and now.clip == footage.clip
            and now.timing is footage.timing
        )


def _is_open(camera: Camera, one: Waiting) -> bool:
    return camera.track(one.landmark).at(one.frame) is None and not camera.is_occluded(
        one.landmark, one.frame
    )
