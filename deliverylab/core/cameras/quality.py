"""How far a solution can be trusted: what it alone leaves unsure of the body's directions.

The residual of clicks says nothing about it: four corners of a rubber fit many cameras to half a
pixel.  The predicted standard deviation of directions does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.joint_solve import Solution
from deliverylab.core.cameras.pinhole import N_PARAMETERS
from deliverylab.core.cameras.triangulate import triangulate

Array = NDArray[np.float64]
Trust = Literal["good", "doubtful", "refused"]

WARN_DEG = 0.5
REFUSE_WITH_BODY_DEG = 1.0
REFUSE_DEG = 0.75
"""Limits of judgement. Own simulation (bench_two_cameras.py, 20 solves of each of ten fields): the
figure and what cameras really add to the worst angle agree within a fifth."""
PLACES_M = np.array([[0.0, 0.0, 1.0], [0.7, 0.0, 1.0], [0.8, -0.4, 1.5], [1.5, 0.0, 0.4]])
"""Where limbs are while somebody throws: hips at lift and stride, the arm, the front leg."""
LIMB_M = 0.4


@dataclass(frozen=True, kw_only=True)
class SolutionQuality:
    """What the cameras leave unsure.

    Attributes
    ----------
    directions_deg : Array, shape (n_places, 3), deg
        Predicted SD of a limb's direction along X, Y and Z, at `PLACES_M`, worst way round;
        infinite where a camera does not see the place.
    worst_deg : float
        Root mean square over places of the worst of the three: the figure to show.
    trust : {"good", "doubtful", "refused"}
    """

    directions_deg: Array
    worst_deg: float
    trust: Trust


def solution_quality(solution: Solution) -> SolutionQuality:
    """Predict how unsure directions of limbs are by the cameras alone."""
    n = N_PARAMETERS * len(solution.cameras)
    covariance = solution.covariance[:n, :n]
    half = 0.5 * LIMB_M * np.eye(3)
    ends = np.stack([PLACES_M[:, None] - half, PLACES_M[:, None] + half])
    places = np.stack([camera.project(ends) for camera in solution.cameras])
    slopes = triangulate(solution.cameras, places, np.array(1.0)).by_calibration
    by_direction = (slopes[1] - slopes[0]) / LIMB_M
    spread = by_direction @ covariance @ np.swapaxes(by_direction, -1, -2)
    # a direction moves only across itself
    for axis in range(3):
        spread[:, axis, axis] = 0.0
        spread[:, axis, :, axis] = 0.0
    # cameras of a failed solve may look away from where limbs are
    is_seen = np.isfinite(spread).all(axis=(-2, -1))
    largest = np.linalg.eigvalsh(np.where(is_seen[..., None, None], spread, 0.0))[..., -1]
    sd_deg: Array = np.degrees(np.sqrt(np.where(is_seen, np.maximum(largest, 0.0), np.inf)))
    worst = float(np.sqrt(np.mean(np.max(sd_deg, axis=-1) ** 2)))
    return SolutionQuality(directions_deg=sd_deg, worst_deg=worst, trust=_trust(solution, worst))


def _trust(solution: Solution, worst_deg: float) -> Trust:
    has_body = solution.unknowns.n_deliveries > 0
    limit = REFUSE_WITH_BODY_DEG if has_body else REFUSE_DEG
    if not worst_deg <= limit or solution.adjustment.n_free:
        return "refused"
    return "good" if worst_deg <= WARN_DEG else "doubtful"
