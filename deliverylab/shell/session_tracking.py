"""Landmarks followed through the clip: the work, taking it over, and following corrections anew."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QObject, Signal

from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import Batch, Change
from deliverylab.core.model.clip_changes import SetPosition, SetPositions
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.landmarks import role_for_key, role_name
from deliverylab.shell.commands import ChangeCommand
from deliverylab.shell.session_detecting import Footage
from deliverylab.shell.session_film import Report
from deliverylab.shell.session_sides import SessionSides
from deliverylab.shell.session_state import Side

if TYPE_CHECKING:
    from deliverylab.core.workflow.filling import Filling, OpenGap
    from deliverylab.core.workflow.steadying import Steadying
    from deliverylab.core.workflow.tracking import LostStretch, Tracking

FOLLOWED = "tracked"


class Correction(NamedTuple):
    """A place that a person set or took away where the landmark is tracked."""

    delivery: str
    camera: str
    landmark: str
    frame: int


@dataclass(frozen=True, kw_only=True)
class LostPlace:
    """A stretch in which a landmark is not vouched for: where it begins, and the words for it."""

    landmark: str
    frame: int
    what: str
    why: str


@dataclass(frozen=True, kw_only=True)
class Followed:
    """What came of following or bridging: points taken over, and the stretches without any."""

    n_points: int
    n_landmarks: int
    lost: tuple[LostPlace, ...]
    n_bridged: int = 0
    """Places that following bridged, where it did not see the landmark surely."""


class SessionTracking(SessionSides):
    """Answers and intents about following landmarks through a clip.

    Attributes
    ----------
    follows_corrections : bool
        Whether the frames beside a corrected place are followed anew.

    Signals
    -------
    corrected(object)
        A `Correction`; undoing and redoing are none.
    """

    corrected = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        self.follows_corrections = True
        super().__init__(parent)

    def set_following_corrections(self, is_wanted: bool) -> None:
        """Say whether the frames beside a corrected place are followed anew."""
        self.follows_corrections = is_wanted

    # ------------------------------------------------------------------------------- the work

    def tracking_work(
        self, side: Side, landmarks: Iterable[str] | None = None
    ) -> Callable[[Report], Tracking]:
        """Return the work that follows landmarks, all that are placed without a choice.

        Raises
        ------
        DeliveryLabError
            There is no clip on that stage.
        """
        name, camera = self._needs_camera(side)
        delivery, path = self.project.delivery(name), self.path
        chosen = None if landmarks is None else tuple(landmarks)

        def work(report: Report) -> Tracking:
            from deliverylab.core.workflow.tracking import track

            return track(delivery, camera, path, landmarks=chosen, progress=report)

        return work

    def take_tracking(self, side: Side, footage: Footage | None, tracking: Tracking) -> Followed:
        """Take over what was followed, in one step, where nothing was placed or hidden meanwhile.

        Raises
        ------
        UsageError
            The stage shows other pictures now.
        """
        from deliverylab.core.workflow.tracking import BESIDE, tracking_change

        delivery, camera = self._unchanged(side, footage, "landmarks were followed")
        change = tracking_change(delivery, camera, _without_hidden(camera, tracking))
        self._do(change)
        n_by_key = [
            sum(place is not None and place.origin == "tracked" for place in places.values())
            for places in change.positions.values()
        ]
        n_bridged = sum(
            place is not None and place.origin == "filled"
            for places in change.positions.values()
            for place in places.values()
        )
        return Followed(
            n_points=sum(n_by_key),
            n_bridged=n_bridged,
            n_landmarks=sum(n > 0 for n in n_by_key),
            lost=tuple(
                _lost(delivery, one, one.text)
                for one in sorted(
                    tracking.lost, key=lambda one: (one.reason == BESIDE, -one.n_frames)
                )
            ),
        )

    def steadying_work(self, side: Side) -> Callable[[Report], Steadying]:
        """Return the work that finds how a stage's camera moved, against the shown frame.

        Raises
        ------
        DeliveryLabError
            There is no clip on that stage.
        """
        name, camera = self._needs_camera(side)
        delivery, path, frame = self.project.delivery(name), self.path, self.state(side).frame

        def work(report: Report) -> Steadying:
            from deliverylab.core.workflow.steadying import steady

            return steady(delivery, camera, path, reference_frame=frame, progress=report)

        return work

    def take_steadying(self, side: Side, footage: Footage | None, found: Steadying) -> str:
        """Take the camera's own motion out, where it moved; return what was found.

        Raises
        ------
        DeliveryLabError
            The stage shows other pictures now, or the background tells too little.
        """
        from deliverylab.core.workflow.steadying import steadying_change

        delivery, camera = self._unchanged(side, footage, "the background was looked at")
        self._do(steadying_change(delivery, camera, found))
        return found.text

    def put_motion_back(self, side: Side) -> bool:
        """Take a camera as still again; return whether its motion was taken out."""
        from deliverylab.core.model.motion_changes import SetCameraMotion

        name, camera = self._needs_camera(side)
        if camera.motion is None:
            return False
        self._do(SetCameraMotion(delivery=name, camera=camera.name, motion=None))
        return True

    def filling_work(self, side: Side) -> Callable[[Report], Filling]:
        """Return the work that bridges the short gaps of a stage's clip.

        Raises
        ------
        DeliveryLabError
            There is no clip on that stage.
        """
        name, camera = self._needs_camera(side)
        delivery, record = self.project.delivery(name), self.record

        def work(_report: Report) -> Filling:
            from deliverylab.core.workflow.filling import fill

            return fill(delivery, camera, record)

        return work

    def take_filling(self, side: Side, footage: Footage | None, filling: Filling) -> Followed:
        """Take bridges over, in one step, where nothing came meanwhile; tell which gaps stay open.

        Raises
        ------
        UsageError
            The stage shows other pictures now.
        """
        from deliverylab.core.workflow.filling import REFUSED_TEXT, filling_change

        delivery, camera = self._unchanged(side, footage, "gaps were bridged")
        empty = {
            key: {
                frame: place
                for frame, place in places.items()
                if not camera.is_occluded(key, frame)
                and ((now := camera.track(key).at(frame)) is None or now.origin == "filled")
            }
            for key, places in filling.positions.items()
        }
        self._do(filling_change(delivery, camera, dataclasses.replace(filling, positions=empty)))
        n_by_key = [len(places) for places in empty.values()]
        stretches = sorted(filling.still_open, key=lambda one: one.first_frame - one.last_frame)
        return Followed(
            n_points=sum(n_by_key),
            n_landmarks=sum(n > 0 for n in n_by_key),
            lost=tuple(_lost(delivery, one, REFUSED_TEXT[one.reason]) for one in stretches),
        )

    def _unchanged(self, side: Side, footage: Footage | None, done: str) -> tuple[Delivery, Camera]:
        """Return what a stage shows, if its pictures are still those that work was done for.

        Raises
        ------
        UsageError
            They are not.
        """
        name, camera = self._needs_camera(side)
        if footage is None or not self._holds(side, footage):
            raise UsageError(f"the clip was changed while {done}", where=name, remedy="do it again")
        return self.project.delivery(name), camera

    def tracking_landmark(self, side: Side) -> str:
        """Return the landmark that is current, or else asked for; or empty."""
        return self.current_landmark(side) or self.next_landmark(side)

    # ---------------------------------------------------------------------------- corrections

    def _do(self, change: Change, *, gesture: object = None) -> None:
        super()._do(change, gesture=gesture)
        if not self.follows_corrections:
            return
        for one in change.changes if isinstance(change, Batch) else (change,):
            if isinstance(one, SetPosition) and self._is_tracked(one):
                where = (one.delivery, one.camera, one.landmark, one.frame)
                self.corrected.emit(Correction(*where))

    def _is_tracked(self, change: SetPosition) -> bool:
        track = self.project.camera(change.delivery, change.camera).track(change.landmark)
        return any(position.origin == FOLLOWED for _, position in track)

    def last_edit(self) -> Change | None:
        """Return the edit that undo would take back; None without any."""
        command = self.undo_stack.command(self.undo_stack.index() - 1)
        return command.change if isinstance(command, ChangeCommand) else None

    def correction_work(
        self, corrections: Sequence[Correction]
    ) -> Callable[[Report], list[tuple[Correction, Tracking]]]:
        """Return the work that follows landmarks anew in the gaps beside corrected places."""
        deliveries, path = {one.name: one for one in self.record.deliveries}, self.path

        def work(report: Report) -> list[tuple[Correction, Tracking]]:
            from deliverylab.core.workflow.tracking import track
            from deliverylab.core.workflow.tracking_start import gaps_around

            done = []
            for one in corrections:
                delivery = deliveries[one.delivery]
                camera = delivery.camera(one.camera)
                if camera.clip is None:
                    continue
                frames = gaps_around(camera, one.landmark, one.frame)
                found = track(
                    delivery, camera, path, landmarks=[one.landmark], frames=frames,
                    progress=report,
                )  # fmt: skip
                done.append((one, found))
            return done

        return work

    def take_corrections(
        self, edit: Change | None, done: Sequence[tuple[Correction, Tracking]]
    ) -> None:
        """Take over what was followed anew: with the edit that called for it, if it is the last."""
        from deliverylab.core.workflow.tracking import tracking_change

        changes: list[SetPositions] = []
        names = []
        for one, tracking in done:
            delivery = self.project.delivery(one.delivery)
            camera = delivery.camera(one.camera)
            changes.append(tracking_change(delivery, camera, _without_hidden(camera, tracking)))
            names.append(role_name(role_for_key(one.landmark, delivery.athlete.hand)))
        if not changes:
            return
        label = f"Follow {', '.join(dict.fromkeys(names))} anew"
        change = Batch(label=label, changes=tuple(changes))
        inverse = self.project.apply(change)
        if inverse != change:
            self.undo_stack.push(ChangeCommand(self.project, change, inverse, follows=edit))


def _without_hidden(camera: Camera, tracking: Tracking) -> Tracking:
    """Return what was followed without frames in which the landmark was said to be hidden since."""
    seen = [
        {
            key: {at: place for at, place in places.items() if not camera.is_occluded(key, at)}
            for key, places in found.items()
        }
        for found in (tracking.positions, tracking.bridged)
    ]
    return dataclasses.replace(tracking, positions=seen[0], bridged=seen[1])


def _lost(delivery: Delivery, one: LostStretch | OpenGap, why: str) -> LostPlace:
    """Return a stretch that has no places, in words."""
    name = role_name(role_for_key(one.landmark, delivery.athlete.hand))
    first, last = one.first_frame, one.last_frame
    frames = f"frame {first}" if first == last else f"frames {first} to {last}"
    return LostPlace(
        landmark=one.landmark,
        frame=first,
        what=f"{name[:1].upper()}{name[1:]}, {frames}",
        why=why[:1].upper() + why[1:],
    )
