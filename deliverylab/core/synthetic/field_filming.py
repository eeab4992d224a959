"""A delivery of known truth filmed by several phones on a field with taped cones.

Everything a person does has its error: places of points and of cones, levels, stated focal lengths,
landmarks that sit a constant beside the joint in each view, clocks that start by hand.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_facts import BodyFacts, FilmedDelivery
from deliverylab.core.cameras.body_tracks import CameraTracks
from deliverylab.core.cameras.control import ControlPoint, standard_field
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.pinhole import PinholeCamera, axes_of
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.synthetic.filming import clothing_offsets_m
from deliverylab.core.vocabulary.field import BY_KEY
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, key_for_role
from deliverylab.core.vocabulary.views import square_azimuth_deg

Array = NDArray[np.float64]

TARGET_M = np.array([0.85, 0.0])
START_RANGE_S = 0.1


@dataclass(frozen=True, kw_only=True)
class Phone:
    """One phone as meant: view, turn from it, place and lens.

    Attributes
    ----------
    view : str
    turn_deg : float
        Turn from the view, anticlockwise from above: 45 stands between two views.
    distance_m, height_m : float
        Level distance from the middle of a stride, and height of the lens above the rubber.
    rate_hz, focal_px : float
    size_px : tuple of int
    """

    view: str
    turn_deg: float = 0.0
    distance_m: float = 6.0
    height_m: float = 1.2
    rate_hz: float = 240.0
    focal_px: float = 1500.0
    size_px: tuple[int, int] = (1920, 1080)


@dataclass(frozen=True, kw_only=True)
class FieldCare:
    """How large the errors are, as standard deviations.

    Attributes
    ----------
    placing_px, bias_m : float
        Of one placing, and of what each camera sees beside the joint all the time (a direction).
    click_px : float
    focal_share, level_deg, yaw_deg : float
        Of the stated focal length, and of how the phone really stands.
    body_share : float
        Of stated height.
    field_scale : float
        Times each control point's own u.
    """

    placing_px: float = 2.0
    bias_m: float = 0.010
    click_px: float = 1.0
    focal_share: float = 0.10
    level_deg: float = 1.0
    yaw_deg: float = 4.0
    body_share: float = 0.005
    field_scale: float = 1.0


@dataclass(frozen=True, kw_only=True)
class FilmedField:
    """What the phones give, and the truth behind it.

    Attributes
    ----------
    set_ups : tuple of CameraSetUp
    points : tuple of ControlPoint
    delivery : FilmedDelivery
        Its offsets start at 0, whatever the truth is.
    cameras : tuple of PinholeCamera
        The true ones.
    offsets_s : Array, shape (n_cameras,)
        The true ones.
    true_points_m : dict of str to Array
    """

    set_ups: tuple[CameraSetUp, ...]
    points: tuple[ControlPoint, ...]
    delivery: FilmedDelivery
    cameras: tuple[PinholeCamera, ...]
    offsets_s: Array
    true_points_m: dict[str, Array] = field(default_factory=dict)


def stand(phone: Phone, hand: str, care: FieldCare, rng: np.random.Generator) -> PinholeCamera:
    """Stand a phone about as meant."""
    azimuth_deg = square_azimuth_deg(phone.view, "left" if hand == "left" else "right")
    azimuth = np.radians(azimuth_deg + phone.turn_deg + rng.normal(0.0, care.yaw_deg))
    pitch, roll = np.radians(rng.normal(0.0, care.level_deg, 2))
    level = np.array([np.cos(azimuth), np.sin(azimuth)])
    place = TARGET_M - phone.distance_m * rng.uniform(0.9, 1.1) * level
    return PinholeCamera(
        position_m=np.array([*place, phone.height_m + rng.normal(0.0, 0.1)]),
        axes=axes_of(azimuth, pitch, roll),
        focal_px=phone.focal_px,
        size_px=phone.size_px,
    )


def true_places(
    points: tuple[ControlPoint, ...], scale: float, rng: np.random.Generator
) -> dict[str, Array]:
    """Draw where control points really are, within the u they state."""
    places: dict[str, Array] = {}
    for point in points:
        error = scale * rng.normal(0.0, 1.0, 3) * np.nan_to_num(point.u_m, posinf=0.0)
        start = places[point.above] if point.above else np.zeros(3)
        places[point.key] = start + np.array(point.place_m) + error
    return places


def film_field(
    truth: SyntheticDelivery,
    phones: tuple[Phone, ...],
    rng: np.random.Generator,
    *,
    points: tuple[ControlPoint, ...] | None = None,
    care: FieldCare | None = None,
    cameras: tuple[PinholeCamera, ...] | None = None,
) -> FilmedField:
    """Film a delivery with several phones.

    Parameters
    ----------
    truth : SyntheticDelivery
    phones : tuple of Phone
    rng : numpy.random.Generator
        Where chance comes from.
    points : tuple of ControlPoint, optional
        The standard field of a baseball mound by default.
    care : FieldCare, optional
    cameras : tuple of PinholeCamera, optional
        Phones left in place since another delivery.
    """
    care = care or FieldCare()
    points = standard_field(BY_KEY["baseball"]) if points is None else points
    hand = truth.spec.hand
    cameras = cameras or tuple(stand(phone, hand, care, rng) for phone in phones)
    places = true_places(points, care.field_scale, rng)
    offsets_s = np.array([0.0, *rng.uniform(-START_RANGE_S, START_RANGE_S, len(phones) - 1)])
    set_ups = tuple(
        CameraSetUp(
            name=f"{phone.view} {phone.turn_deg:g}",
            azimuth_deg=square_azimuth_deg(phone.view, hand) + phone.turn_deg,
            size_px=phone.size_px,
            focal_px=camera.focal_px * float(np.exp(rng.normal(0.0, care.focal_share))),
            u_focal_share=care.focal_share,
            u_level_deg=care.level_deg,
            clicks_px={key: _clicked(camera, place, care, rng) for key, place in places.items()},
            u_click_px=care.click_px,
        )
        for phone, camera in zip(phones, cameras, strict=True)
    )
    delivery = FilmedDelivery(
        tracks=tuple(
            _tracks(truth, camera, phone, offset, care, rng)
            for phone, camera, offset in zip(phones, cameras, offsets_s, strict=True)
        ),
        offsets_s=(0.0,) * (len(phones) - 1),
        standing=_standing(truth),
        facts=BodyFacts(
            height_m=truth.spec.height_m * (1.0 + float(rng.normal(0.0, care.body_share))),
            female_share=1.0 if truth.spec.sex == "female" else 0.0,
        ),
    )
    return FilmedField(
        set_ups=set_ups,
        points=points,
        delivery=delivery,
        cameras=cameras,
        offsets_s=offsets_s,
        true_points_m=places,
    )


def _clicked(
    camera: PinholeCamera, place_m: Array, care: FieldCare, rng: np.random.Generator
) -> tuple[float, float]:
    x, y = camera.project(place_m) + rng.normal(0.0, care.click_px, 2)
    return float(x), float(y)


def _tracks(
    truth: SyntheticDelivery,
    camera: PinholeCamera,
    phone: Phone,
    offset_s: float,
    care: FieldCare,
    rng: np.random.Generator,
) -> CameraTracks:
    """Place all landmarks but the ball in all frames of one phone's clip."""
    last_s = float(truth.times_s[-1])
    start_s = max(0.0, -offset_s) + float(rng.uniform(0.0, 1.0 / phone.rate_hz))
    times_s = np.arange(start_s, last_s - max(0.0, offset_s), 1.0 / phone.rate_hz)
    positions = truth.motion.positions_at(times_s + offset_s)
    stacked = np.stack([positions[key] for key in LANDMARK_KEYS], axis=1)
    places = camera.project(stacked + clothing_offsets_m(rng, care.bias_m))
    places += rng.normal(0.0, care.placing_px, places.shape)
    places[:, LANDMARK_KEYS.index("ball")] = np.nan
    n = len(LANDMARK_KEYS)
    bias_px = care.bias_m * camera.focal_px / phone.distance_m
    return CameraTracks(
        times_s=times_s,
        places_px=places,
        u_px=np.full(n, care.placing_px),
        bias_px=np.full(n, bias_px),
    )


def _standing(truth: SyntheticDelivery) -> tuple[tuple[str, float], ...]:
    """Return feet that stand: the drive foot at leg lift, the lead foot once it is planted."""
    feet = {"drive": truth.events["leg_lift"], "lead": truth.events["foot_plant"]}
    return tuple(
        (key_for_role(f"{side}_{part}", truth.spec.hand), time_s)
        for side, time_s in feet.items()
        for part in ("heel", "toe")
    )
