"""A delivery of known truth as a person would record it: filmed, scaled, marked and placed.

What the person states is right on average: the truth lies around it by the u that is stated with it.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass, fields, replace
from typing import NamedTuple

import msgspec
import numpy as np

from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.inputs import CLICK_U_PX, default_u_px
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import ORIGINS, FloatArray, Track
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.synthetic.filming import (
    FilmingSetUp,
    clothing_offsets_m,
    film_positions,
    ruler_m,
)
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.workflow.trust_truth import Truth


@dataclass(frozen=True, kw_only=True)
class Care:
    """How carefully a person places, measures and marks: the u of what is put in.

    Attributes
    ----------
    placing_px, placing_m : float or None
        Standard uncertainty of a placed point, px, or m at the athlete; with neither each landmark
        has the program's default.
    clothing_m : float
        Standard deviation of a constant offset of each landmark that nobody knows of, m.
    u_yaw_deg, u_vertical_deg, u_point_px, u_length_m, u_height_m : float
        Of the yaw, the level, a scale point, the scale's length, the athlete's height.
    u_distance_share : float
        Of the camera's distance, as a share of it.
    u_plane_m : float
        How far the scale lay beside the plane of motion.
    is_row_time_entered : bool
        Whether the rolling shutter's row time is given to the program, which then corrects for it.
    is_exact : bool
        Nothing is drawn: everything stated is true and every mark exact, yet u is stated.
    """

    placing_px: float | None = None
    placing_m: float | None = None
    clothing_m: float = 0.0
    u_yaw_deg: float = 1.0
    u_vertical_deg: float = 0.3
    u_point_px: float = 1.0
    u_length_m: float = 0.005
    u_height_m: float = 0.01
    u_distance_share: float = 0.05
    u_plane_m: float = 0.05
    is_row_time_entered: bool = False
    is_exact: bool = False

    def __post_init__(self) -> None:
        """Check that no u is below zero.

        Raises
        ------
        InputValueError
            One is.
        """
        for field in fields(self):
            value = getattr(self, field.name)
            if value is not None and not value >= 0.0:
                raise InputValueError(
                    "this care cannot be", where=f"{field.name} {value:g}", remedy="give 0 or more"
                )

    def placing_u_px(self, metres_per_px: float) -> float | None:
        """Return u of a placed point, px; None where the program's default holds."""
        if self.placing_px is not None:
            return self.placing_px
        if self.placing_m is not None:
            return math.hypot(CLICK_U_PX, self.placing_m / metres_per_px)
        return None


class SimulatedDelivery(NamedTuple):
    """A delivery as recorded, and what is true of it."""

    delivery: Delivery
    truth: Truth


def simulated_delivery(
    synthetic: SyntheticDelivery,
    set_up: FilmingSetUp | None = None,
    care: Care | None = None,
    rng: np.random.Generator | None = None,
    *,
    frames: Collection[int] | None = None,
) -> SimulatedDelivery:
    """Record a delivery of known truth as a person would.

    Parameters
    ----------
    synthetic : SyntheticDelivery
        Sampled at the set-up's rate.
    set_up : FilmingSetUp, optional
        As stated; where `care` leaves a doubt the camera truly stands elsewhere.
    care : Care, optional
        How well everything is put in.
    rng : numpy.random.Generator, optional
        Where chance comes from.
    frames : collection of int, optional
        Frames in which landmarks are placed; all by default.

    Returns
    -------
    SimulatedDelivery
        Each event is marked on the frame nearest to it.
    """
    set_up, care = set_up or FilmingSetUp(), care or Care()
    rng = rng or np.random.default_rng(0)
    chance = _Chance(rng, 0.0 if care.is_exact else 1.0)
    true_set_up = replace(
        set_up,
        yaw_deg=float(np.clip(set_up.yaw_deg + chance.normal(care.u_yaw_deg), -45.0, 45.0)),
        distance_m=set_up.distance_m * max(0.5, 1.0 + chance.normal(care.u_distance_share)),
        focal_px=set_up.lens_px,
    )
    spec = synthetic.spec
    camera = Camera(
        name="phone",
        view=set_up.view,
        width_px=set_up.width_px,
        height_px=set_up.height_px,
        scale=_stated_scale(true_set_up, set_up, care, chance, synthetic),
        marks=_marks(synthetic, set_up.rate_hz, care),
        row_time_s=set_up.row_time_s if care.is_row_time_entered else 0.0,
        timing=Timing(n_frames=len(synthetic.times_s), stored_rate=_rate_text(set_up.rate_hz)),
    )
    athlete = Athlete(
        name="Figure",
        hand=spec.hand,
        height_m=spec.height_m + chance.normal(care.u_height_m),
        u_height_m=care.u_height_m,
        sex=spec.sex,
    )
    bare = Delivery(name="throw", athlete=athlete, cameras=(camera,))
    offsets_m = clothing_offsets_m(rng, care.clothing_m) if care.clothing_m else None
    places = film_positions(synthetic, true_set_up, offsets_m=offsets_m)
    if frames is not None:
        places[sorted(set(range(len(places))) - set(frames))] = np.nan
    tracks = _placed(places, care.placing_u_px(set_up.metres_per_px), bare, chance)
    filled = msgspec.structs.replace(camera, tracks=tracks)
    return SimulatedDelivery(msgspec.structs.replace(bare, cameras=(filled,)), Truth(synthetic))


class _Chance(NamedTuple):
    """Errors of what is put in: drawn, or none where everything stated is true."""

    rng: np.random.Generator
    share: float

    def normal(self, u: float) -> float:
        return float(self.share * self.rng.normal(0.0, u))


def _stated_scale(
    true: FilmingSetUp,
    stated: FilmingSetUp,
    care: Care,
    chance: _Chance,
    synthetic: SyntheticDelivery,
) -> PlanarScale:
    """Return the scale as clicked and typed."""
    off_plane_m = chance.normal(care.u_plane_m)
    ruler = ruler_m(true, off_plane_m)
    clicks = true.camera(synthetic.spec.hand).project(ruler)
    a, b = clicks + chance.share * chance.rng.normal(0.0, care.u_point_px, (2, 2))
    length_m = float(np.linalg.norm(ruler[1] - ruler[0]))
    return PlanarScale(
        a=Point(*a.tolist()),
        b=Point(*b.tolist()),
        length_m=length_m + chance.normal(care.u_length_m),
        u_length_m=care.u_length_m,
        u_point_px=care.u_point_px,
        vertical_deg=chance.normal(care.u_vertical_deg),
        u_vertical_deg=care.u_vertical_deg,
        distance_m=stated.distance_m,
        u_distance_m=care.u_distance_share * stated.distance_m,
        yaw_deg=stated.yaw_deg,
        u_yaw_deg=care.u_yaw_deg,
    )


def _marks(synthetic: SyntheticDelivery, rate_hz: float, care: Care) -> dict[str, Mark]:
    """Mark each event in the frame nearest to it: the truth is equally likely within a frame."""
    return {
        event: Mark(time_s=time_s if care.is_exact else round(time_s * rate_hz) / rate_hz)
        for event, time_s in synthetic.events.items()
    }


def _rate_text(rate_hz: float) -> str:
    return str(round(rate_hz)) if rate_hz == round(rate_hz) else f"{rate_hz:.6g}"


def _placed(
    places_px: FloatArray, u_px: float | None, bare: Delivery, chance: _Chance
) -> dict[str, Track]:
    """Place every landmark in every frame; each placing has an error of its own."""
    default = default_u_px(bare, bare.cameras[0])
    tracks = {}
    for column, key in enumerate(LANDMARK_KEYS):
        frames = np.flatnonzero(np.isfinite(places_px[:, column, 0]))
        if not len(frames):
            continue
        u = default[key] if u_px is None else u_px
        errors = chance.share * chance.rng.normal(0.0, u, (len(frames), 2))
        tracks[key] = Track(
            frames,
            places_px[frames, column] + errors,
            np.full(len(frames), np.nan if u_px is None else u_px),
            np.full(len(frames), ORIGINS.index("placed"), dtype=np.uint8),
        )
    return tracks
