"""How fast a metric changes at its event, from the frames beside it."""

from __future__ import annotations

import math

import numpy as np

from deliverylab.core.metrics.inputs import N_ROLES, EventPositions
from deliverylab.core.metrics.pose_batch import SeenBy, nominal_pose
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.vocabulary.views import Direction


def slope_per_s(
    spec: MetricSpec,
    positions: EventPositions,
    camera: SeenBy,
    scale: PlanarScale,
    athlete: Athlete,
    plate_side: Direction | None,
) -> float | None:
    """Return the metric's slope per real second; None where the neighbours are not placed.

    The posture one frame before and one after the event gives the slope; noise of the points makes
    it no smaller than it is, on average, so the timing part of u errs to the large side.
    """
    xy_px = np.full((2, N_ROLES, 2), np.nan)
    for column, seen in enumerate(positions.seen):
        if seen is not None and seen.before is not None and seen.after is not None:
            xy_px[0, column] = seen.before
            xy_px[1, column] = seen.after
    pose = nominal_pose(xy_px, camera, scale, athlete, plate_side)
    if spec.measure is None or not all(role in pose for role in spec.landmarks):
        return None
    before, after = (float(value) for value in spec.measure(pose))
    slope = (after - before) / positions.step_s
    return slope if math.isfinite(slope) else None
