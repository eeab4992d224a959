"""From postures to a metric's value and the parts of its u, in one vectorised pass an event.

Inputs shared by two events (the scale, the level, the yaw, the distance, the height) are stepped
together, so their part of a difference between the events cancels as it should.

References
----------
.. [1] JCGM 100:2008, 5.1.3 note 2 and 5.2.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.pose_batch import N_SHARED, SHARED_INPUTS, YAW_INPUT, PoseBatch
from deliverylab.core.metrics.spec import Measure

YAW_ROWS = [1 + YAW_INPUT, 1 + N_SHARED + YAW_INPUT]
"""Rows in which only the yaw is stepped: what the depths, stepped at those yaws, start from."""


def measure_one(measure: Measure, batch: PoseBatch) -> Propagated:
    """Return a one-event metric's value and the parts of its u, without timing and projection.

    Parameters
    ----------
    measure : callable
        ``measure(pose)``, called once on all rows.
    batch : PoseBatch
        Postures of all stepped inputs.
    """
    values = measure(batch.pose)
    shared = values[batch.shared]
    own = values[batch.own]
    return Propagated(
        float(values[0]), _shared_parts(shared), *_own_parts(own, batch, values[YAW_ROWS])
    )


def measure_two(measure: Measure, start: PoseBatch, end: PoseBatch) -> Propagated:
    """Return a two-event metric's value and the parts of its u, shared inputs stepped together.

    Parameters
    ----------
    measure : callable
        ``measure(start, end)``.
    start, end : PoseBatch
        Postures of all stepped inputs at each event; placing and depth at the two are independent.
    """
    nominal, common = slice(0, 1), slice(0, 1 + 2 * N_SHARED)
    together = measure(start.part(common), end.part(common))
    moving_start = measure(start.pose, end.part(nominal))
    moving_end = measure(start.part(nominal), end.pose)
    placing, depth = 0.0, 0.0
    for batch, values in ((start, moving_start), (end, moving_end)):
        own = _own_parts(values[batch.own], batch, values[YAW_ROWS])
        placing, depth = math.hypot(placing, own[0]), math.hypot(depth, own[1])
    return Propagated(float(together[0]), _shared_parts(together[1:]), placing, depth)


@dataclass(frozen=True)
class Propagated:
    """A value and the parts of its u that come from positions and camera.

    Attributes
    ----------
    value : float
        The metric; NaN when the posture is degenerate.
    shared : dict of str to float
        Parts by shared input, signed.
    placing, depth : float
        Parts of placing the landmarks, and of their unseen distance from the plane.
    """

    value: float
    shared: dict[str, float]
    placing: float
    depth: float


def _shared_parts(values: FloatArray) -> dict[str, float]:
    signed = 0.5 * (values[:N_SHARED] - values[N_SHARED:])
    parts: dict[str, float] = {}
    for source, part in zip(SHARED_INPUTS, signed.tolist(), strict=True):
        if math.isfinite(part):
            parts[source] = math.hypot(parts.get(source, 0.0), part)
    return parts


def _own_parts(values: FloatArray, batch: PoseBatch, base: FloatArray) -> tuple[float, float]:
    n, m = batch.n_points, batch.n_depths
    placing = 0.5 * (values[:n] - values[n : 2 * n])
    depth = np.concatenate((values[2 * n : 2 * n + m] - base[0], values[2 * n + m :] - base[1]))
    return (
        math.sqrt(float(np.nansum(placing**2))),
        math.sqrt(float(np.nansum(depth**2)) / 2.0),
    )
