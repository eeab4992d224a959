"""How fast a metric changes at its event, from the frames beside it."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Protocol

import numpy as np

from deliverylab.core.metrics.inputs import N_ROLES, EventPositions
from deliverylab.core.metrics.pose import Pose
from deliverylab.core.metrics.pose_batch import SeenBy, nominal_pose
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.vocabulary.views import Direction


class _Seeing(SeenBy, Protocol):
    """The facts of a camera, hashable."""

    def __hash__(self) -> int:
        """Hash by content."""
        ...


def slope_per_s(
    spec: MetricSpec,
    positions: EventPositions,
    camera: _Seeing,
    scale: PlanarScale,
    athlete: Athlete,
    plate_side: Direction | None,
    *,
    roles: tuple[str, ...] | None = None,
    start: Pose | None = None,
    end: Pose | None = None,
) -> float | None:
    """Return the metric's slope per real second; None where the neighbours are not placed.

    The posture one frame before and one after the event gives the slope; noise of the points makes
    it no smaller than it is, on average, so the timing part of u errs to the large side.

    Parameters
    ----------
    roles : tuple of str, optional
        Landmarks needed at this event; all of the metric's when None.
    start, end : Pose, optional
        Of a metric of two events the posture at the other one, which is held still.
    """
    moving = _beside(positions, camera, scale, athlete, plate_side)
    needed = spec.landmarks if roles is None else roles
    if spec.measure is None or not all(role in moving for role in needed):
        return None
    poses = [pose for pose in (start, moving, end) if pose is not None]
    before, after = (float(value) for value in spec.measure(*poses))
    slope = (after - before) / positions.step_s
    return slope if math.isfinite(slope) else None


@lru_cache(maxsize=64)
def _beside(
    positions: EventPositions,
    camera: _Seeing,
    scale: PlanarScale,
    athlete: Athlete,
    plate_side: Direction | None,
) -> Pose:
    """Return the postures one frame before and one after the event; all its metrics share them."""
    xy_px = np.full((2, N_ROLES, 2), np.nan)
    for column, seen in enumerate(positions.seen):
        if seen is not None and seen.before is not None and seen.after is not None:
            xy_px[0, column] = seen.before
            xy_px[1, column] = seen.after
    return nominal_pose(xy_px, camera, scale, athlete, plate_side)
