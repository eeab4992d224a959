"""Deliveries of known truth as a project holds them before their cameras are solved."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

import msgspec
import numpy as np

from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.field import CameraStand, ControlClick
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.synthetic.field_filming import FieldCare, FilmedField, Phone, film_field
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.workflow.space_set_up import field_set_up
from deliverylab.core.workflow.space_solve import SolveOutcome, solve

replace = msgspec.structs.replace


class TwoPhones(NamedTuple):
    """A delivery with field, clicks, stands, marks and tracks, not solved; its truth; what was filmed."""

    delivery: Delivery
    truth: SyntheticDelivery
    filmed: FilmedField

    @property
    def starts_s(self) -> np.ndarray:
        """When each clip's first frame was taken, on that camera's clock of `filmed`."""
        return np.array([float(each.times_s[0]) for each in self.filmed.delivery.tracks])

    @property
    def true_offsets_s(self) -> np.ndarray:
        """What a solve should find: added to a clip's real seconds it gives the first clip's."""
        return self.starts_s + self.filmed.offsets_s - self.starts_s[0]

    @property
    def cameras(self) -> tuple[PinholeCamera, ...]:
        """The true cameras, in the order of the delivery's."""
        return self.filmed.cameras


def two_phone_delivery(
    seed: int = 0,
    rates: tuple[float, ...] = (240.0, 60.0),
    *,
    phones: tuple[Phone, ...] | None = None,
    name: str = "Ana 1",
    care: FieldCare | None = None,
    cameras: tuple[PinholeCamera, ...] | None = None,
    points=None,
    is_marked: bool = True,
    only_events: bool = False,
) -> TwoPhones:
    """Film one varied delivery with phones at the open side and the rear.

    Parameters
    ----------
    seed : int
    rates : tuple of float
        Frames a second of each phone; `phones` says more.
    phones : tuple of Phone, optional
    name : str
        Of the delivery.
    care : FieldCare, optional
        How large the errors are.
    cameras : tuple of PinholeCamera, optional
        Phones left in place since another delivery: ``other.cameras``.
    points : tuple of ControlPoint, optional
        The standard field by default.
    is_marked : bool
        Whether events are marked in both clips, each in its nearest frame; else in the first only.
    only_events : bool
        Whether landmarks are placed in the frames of the events alone.
    """
    rng = np.random.default_rng(seed)
    truth = varied_delivery(rng)
    if phones is None:
        views = ("open-side", "rear", "front")
        phones = tuple(
            Phone(view=view, rate_hz=rate) for view, rate in zip(views, rates, strict=False)
        )
    filmed = film_field(truth, phones, rng, care=care, cameras=cameras, points=points)
    spec = truth.spec
    delivery = Delivery(
        name=name,
        athlete=Athlete(
            name="Ana",
            hand=spec.hand,
            height_m=round(filmed.delivery.facts.height_m, 4),
            sex=spec.sex,
        ),
        cameras=tuple(
            _camera(filmed, number, phone, truth, is_marked or number == 0, only_events)
            for number, phone in enumerate(phones)
        ),
        field=field_set_up(filmed.points),
    )
    return TwoPhones(delivery, truth, filmed)


def _camera(
    filmed: FilmedField,
    number: int,
    phone: Phone,
    truth: SyntheticDelivery,
    is_marked: bool,
    only_events: bool,
) -> Camera:
    """Return a clip whose own clock begins with its first frame."""
    tracks, set_up = filmed.delivery.tracks[number], filmed.set_ups[number]
    event_frames = {
        event: int(np.argmin(np.abs(tracks.times_s + filmed.offsets_s[number] - time_s)))
        for event, time_s in truth.events.items()
    }
    frames = sorted(set(event_frames.values())) if only_events else range(len(tracks.times_s))
    u_px = np.hypot(tracks.u_px, tracks.bias_px)
    own_s = np.arange(len(tracks.times_s)) / phone.rate_hz
    return Camera(
        name=phone.view,
        view=phone.view,
        width_px=phone.size_px[0],
        height_px=phone.size_px[1],
        timing=Timing(n_frames=len(tracks.times_s), stored_rate=str(Fraction(phone.rate_hz))),
        tracks={
            key: Track.of(
                (
                    frame,
                    Position(*map(float, tracks.places_px[frame, column]), float(u_px[column])),
                )
                for frame in frames
            )
            for column, key in enumerate(LANDMARK_KEYS)
            if key != "ball"
        },
        marks={event: Mark(time_s=float(own_s[frame])) for event, frame in event_frames.items()}
        if is_marked
        else {},
        stand=CameraStand(
            focal_px=set_up.focal_px,
            u_focal_share=set_up.u_focal_share,
            u_level_deg=set_up.u_level_deg,
            turn_deg=phone.turn_deg,
        ),
        control={key: ControlClick(x_px=x, y_px=y) for key, (x, y) in set_up.clicks_px.items()},
    )


class SolvedTwoPhones(NamedTuple):
    """A solved delivery in a project's record, what the solve said, and the truth."""

    phones: TwoPhones
    before: ProjectRecord
    record: ProjectRecord
    outcome: SolveOutcome

    @property
    def delivery(self) -> Delivery:
        """The solved delivery."""
        return self.record.deliveries[0]


@cache
def solved_two_phones() -> SolvedTwoPhones:
    """Return one delivery, 240 with 60 frames a second, solved through the project; once a run."""
    phones = two_phone_delivery(1)
    project = Project(ProjectRecord(deliveries=(phones.delivery,)))
    before = project.record
    outcome = solve(project, phones.delivery.name)
    project.apply(outcome.changes)
    return SolvedTwoPhones(phones, before, project.record, outcome)


def left_in_place(phones: TwoPhones, source: str) -> Delivery:
    """Return a delivery without field and clicks of its own, its cameras those of another one."""
    delivery = phones.delivery
    cameras = tuple(replace(camera, control={}) for camera in delivery.cameras)
    return replace(delivery, field=None, cameras_from=source, cameras=cameras)
