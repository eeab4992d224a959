"""The throwing arm of one view lifted to space by its known lengths, as a distribution of its bend.

An end that may be nearer or farther, and lengths known to a few per cent, make the bend anything but
linear in what goes in: near where a limb lies square to the line of sight its slope is infinite.  So
all that goes in is drawn, and what cannot be (a limb seen longer than it was drawn) is left out.

References
----------
.. [1] Taylor CJ (2000). Comput Vis Image Underst 80:349-363.
.. [2] JCGM 101:2008, Propagation of distributions using a Monte Carlo method.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from deliverylab.core.cameras.lift import meet_sphere
from deliverylab.core.cameras.planar import PlanarCamera
from deliverylab.core.metrics.depths import PLANE_U_M, expected_depths
from deliverylab.core.metrics.inputs import EventPositions
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.remedies import HEIGHT, LENGTHS, TELLING, TIMING
from deliverylab.core.metrics.setup import Setup, nearness
from deliverylab.core.metrics.spec import PLACING
from deliverylab.core.model.delivery import DepthChoice
from deliverylab.core.numerics.angles import flexion_deg
from deliverylab.core.vocabulary.landmarks import key_for_role
from deliverylab.core.vocabulary.segments import BY_ENDS, LIFTED_LIMBS

ARM = tuple(dict.fromkeys(end for limb in LIFTED_LIMBS for end in (limb.near_end, limb.far_end)))
N_PAIRS = 500
U_LENGTH_SHARE = 0.06
"""u of a limb's length by proportions of height, as a share: 4 % is about what is left of the spread
of forearms (SD 15 mm at 269 mm) where stature (correlation about 0.7) is known, from memory of the
anthropometric survey of Gordon CC et al. (1989), to be confirmed there; as much again is what
clothing of 10 mm at either end makes of it."""
U_TELLING_M = 0.05
"""How much nearer or farther an end must be for a person to tell which, m, as an SD: judgement."""
MIN_OUT_M = 0.02
"""How far a limb points out of the picture at least when draws are weighed, m: one alone must not
outweigh all others."""
MIN_POSSIBLE_SHARE = 0.025
"""Share of draws that must be possible; with fewer the limb is seen longer than it is, beyond U."""
TINY = 1e-9
"""Keeps the regression solvable where few draws are possible."""
NEAREST_PER_M, FARTHEST_PER_M = 1.0, 0.005
"""Bounds of one over the camera's distance, 1/m."""
_SHARED = (
    *("scale points",) * 4, "scale length", "level of the camera", "yaw of the camera",
    "distance of the camera", HEIGHT, "plane of the scale", "depth not seen", TIMING,
)  # fmt: skip
_INPUTS = (*_SHARED, LENGTHS, LENGTHS, *(PLACING,) * 6, TELLING, TELLING)
_LENGTHS, _POINTS, _TELLING = len(_SHARED), len(_SHARED) + 2, len(_SHARED) + 8


@dataclass(frozen=True)
class LiftedBend:
    """Flexion of the elbow, by its draws.

    Attributes
    ----------
    value_deg : float
        Mean; NaN where too few draws are possible.
    parts : dict of str to float
        Parts of u by source, degrees; their root of the sum of squares is the draws' SD.
    placing : dict of str to float
        Those of placing, by role.
    impossible_limb : str
        Name of the limb that is seen longer than it is; empty where none is.
    """

    value_deg: float
    parts: dict[str, float]
    placing: dict[str, float]
    impossible_limb: str = ""


def lifted_bend(
    positions: EventPositions, setup: Setup, choices: tuple[DepthChoice, ...]
) -> LiftedBend:
    """Lift the arm at one event and return how far the elbow bends.

    Parameters
    ----------
    positions : EventPositions
        With shoulder, elbow and wrist of the throwing arm.
    setup : Setup
        Whose athlete's height is known.
    choices : tuple of DepthChoice
        One a limb, from the trunk outward.
    """
    z = _standard_draws()
    xy_px, planar = _drawn_places(z, positions, setup), _drawn_camera(z, setup)
    rays, shoulder_m = _root(z, xy_px, planar, positions.event, setup)
    athlete = setup.athlete
    heights_m = (athlete.height_m or math.nan) + athlete.u_height_m * z[:, _SHARED.index(HEIGHT)]
    places, weights = [shoulder_m], np.ones(len(z))
    impossible_limb = ""
    for row, (limb, choice) in enumerate(zip(LIFTED_LIMBS, choices, strict=True)):
        share = _length_share(limb.near_end, limb.far_end, setup)
        length_m = share * heights_m * (1.0 + U_LENGTH_SHARE * z[:, _LENGTHS + row])
        nearest, step, is_bad = meet_sphere(rays[:, row + 1], places[-1], length_m)
        # whoever says which end is nearer errs where the two are hardly apart
        out_of_picture_m = np.linalg.norm(step, axis=1)
        is_right = out_of_picture_m + U_TELLING_M * z[:, _TELLING + row] > 0.0
        sign = np.where(is_right == (choice == "farther"), 1.0, -1.0)
        places.append(nearest + sign[:, None] * step)
        # a limb points anywhere on the sphere, of which the picture shows the rim broader
        weights = weights * ~is_bad / np.maximum(out_of_picture_m, MIN_OUT_M)
        if not impossible_limb and np.mean(weights > 0.0) < MIN_POSSIBLE_SHARE:
            impossible_limb = limb.name
    if impossible_limb:
        return LiftedBend(math.nan, {}, {}, impossible_limb)
    bend = flexion_deg(*places)
    is_possible = weights > 0.0
    return _summed(z[is_possible], bend[is_possible], weights[is_possible])


@lru_cache(maxsize=1)
def _standard_draws() -> FloatArray:
    """Return standard normal draws, each with its opposite, shape (2 N_PAIRS, n_inputs).

    Always the same ones: a value must not tremble while a point beside it is moved.
    """
    half = np.random.default_rng(20000).standard_normal((N_PAIRS, len(_INPUTS)))
    draws: FloatArray = np.concatenate((half, -half))
    draws.setflags(write=False)
    return draws


def _drawn_places(z: FloatArray, positions: EventPositions, setup: Setup) -> FloatArray:
    """Return the arm's places from the picture's middle, at instants around the mark, (n, 3, 2), px."""
    late_s = positions.u_instant_s(ARM) * z[:, _SHARED.index(TIMING)]
    columns = []
    for row, role in enumerate(ARM):
        seen = positions.of(role)
        if seen is None:
            return np.full((len(z), len(ARM), 2), np.nan)
        own = seen.u_px * z[:, _POINTS + 2 * row : _POINTS + 2 * row + 2]
        columns.append(np.array([seen.x_px, seen.y_px]) - setup.middle_px + own)
        if seen.before is not None and seen.after is not None:
            speed = (np.array(seen.after) - np.array(seen.before)) / positions.step_s
            columns[-1] = columns[-1] + late_s[:, None] * np.nan_to_num(speed)
    return np.stack(columns, axis=1)


def _drawn_camera(z: FloatArray, setup: Setup) -> PlanarCamera:
    scale, middle = setup.scale, setup.middle_px
    kappa, u_kappa = nearness(scale)
    ruler = np.array([scale.a, scale.b]) - middle
    return PlanarCamera(
        ruler + scale.u_point_px * z[:, :4].reshape(-1, 2, 2),
        scale.length_m + scale.u_length_m * z[:, 4],
        scale.vertical_deg + scale.u_vertical_deg * z[:, 5],
        scale.yaw_deg + scale.u_yaw_deg * z[:, 6],
        np.clip(kappa + u_kappa * z[:, 7], FARTHEST_PER_M, NEAREST_PER_M),
    )


def _root(
    z: FloatArray, xy_px: FloatArray, planar: PlanarCamera, event: str, setup: Setup
) -> tuple[FloatArray, FloatArray]:
    """Return the lines of sight, (n, 3, 3), and the shoulder's place, (n, 3), m, from the camera.

    The shoulder lies where it usually does off the plane of motion; with D the camera's distance it
    is D + q cos ψ − p sin ψ deep for a place p along that plane and q behind it.
    """
    usual = expected_depths((ARM[0],), event, setup)
    depth_m = usual.mean_m[0] + abs(usual.steps_m[0, 0]) * z[:, _SHARED.index("depth not seen")]
    depth_m = depth_m + PLANE_U_M * z[:, _SHARED.index("plane of the scale")]
    along_m = planar.to_plane(xy_px[:, :1], depth_m[:, None])[:, 0, 0]
    yaw = np.radians(planar.yaw_deg)
    distance_m = 1.0 / planar.nearness_per_m
    deep_m = distance_m + depth_m * np.cos(yaw) - along_m * np.sin(yaw)
    slopes = xy_px * (planar.metres_per_px() / distance_m)[:, None, None]
    rays = np.concatenate((slopes, np.ones((*slopes.shape[:2], 1))), axis=-1)
    return rays, deep_m[:, None] * rays[:, 0]


def _length_share(proximal: str, distal: str, setup: Setup) -> float:
    """Return a limb's usual length as a share of the athlete's height."""
    athlete = setup.athlete
    segment = BY_ENDS[key_for_role(proximal, athlete.hand), key_for_role(distal, athlete.hand)]
    return segment.usual_length(athlete.sex) or math.nan


def _summed(z: FloatArray, bend_deg: FloatArray, weights: FloatArray) -> LiftedBend:
    """Return mean and parts of the SD of draws: by regression on what went in, and what is left."""
    shares_of_draws = weights / np.sum(weights)
    value = float(shares_of_draws @ bend_deg)
    u = math.sqrt(float(shares_of_draws @ (bend_deg - value) ** 2))
    rows = np.sqrt(shares_of_draws)[:, None] * (z - shares_of_draws @ z)
    off = np.sqrt(shares_of_draws) * (bend_deg - value)
    slopes = np.linalg.solve(rows.T @ rows + TINY * np.eye(len(_INPUTS)), rows.T @ off)
    shares = slopes**2 * np.sum(rows**2, axis=0)
    parts: dict[str, float] = {}
    placing: dict[str, float] = {}
    for number, (source, share) in enumerate(zip(_INPUTS, shares.tolist(), strict=True)):
        table, key = parts, source
        if source == PLACING:
            table, key = placing, ARM[(number - _POINTS) // 2]
        table[key] = math.hypot(table.get(key, 0.0), math.sqrt(share))
    # what no input explains by itself is that of a limb that may point either way
    known = float(np.sum(shares))
    if known > u**2:
        down = u / math.sqrt(known)
        return LiftedBend(
            value,
            {key: down * part for key, part in parts.items()},
            {key: down * part for key, part in placing.items()},
        )
    parts[TELLING] = math.hypot(parts[TELLING], math.sqrt(u**2 - known))
    return LiftedBend(value, parts, placing)
