"""How fast a metric changes at its event, from the frames beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from deliverylab.core.metrics.depths import usual_depths
from deliverylab.core.metrics.inputs import N_ROLES, EventPositions
from deliverylab.core.metrics.pose import Pose
from deliverylab.core.metrics.pose_batch import nominal_pose
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.spec import MetricSpec


def slope_per_s(
    spec: MetricSpec,
    positions: EventPositions,
    setup: Setup,
    roles: tuple[str, ...],
    before: Sequence[Pose] = (),
    after: Sequence[Pose] = (),
) -> float | None:
    """Return the metric's slope per real second; None where the neighbours are not placed.

    The posture one frame before and one after the event gives the slope; noise of the points makes
    it no smaller than it is, on average, so the timing part of u errs to the large side.

    Parameters
    ----------
    spec : MetricSpec
        A metric of one posture or of two.
    positions : EventPositions
        At the event that moves.
    setup : Setup
        What turns pixels into metres.
    roles : tuple of str
        Landmarks needed at this event.
    before, after : sequence of Pose
        Of a metric of two events the posture at the earlier or later one, which is held still.
    """
    moving = _beside(positions, setup)
    if spec.measure is None or not all(role in moving for role in roles):
        return None
    low, high = (float(value) for value in spec.measure(*before, moving, *after))
    slope = (high - low) / positions.step_s
    return slope if math.isfinite(slope) else None


def _beside(positions: EventPositions, setup: Setup) -> Pose:
    """Return the postures one frame before and one after the event."""
    xy_px = np.full((2, N_ROLES, 2), np.nan)
    for column, seen in enumerate(positions.seen):
        if seen is not None and seen.before is not None and seen.after is not None:
            xy_px[0, column] = seen.before
            xy_px[1, column] = seen.after
    return nominal_pose(xy_px, setup, usual_depths(positions.event, setup))
