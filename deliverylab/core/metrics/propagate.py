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
    placing, depth = _own_parts(own, batch, values[YAW_ROWS])
    return Propagated(float(values[0]), _shared_parts(shared), placing, depth)


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
    placing: tuple[dict[str, float], ...] = ()
    depth = 0.0
    for batch, values in ((start, moving_start), (end, moving_end)):
        own, own_depth = _own_parts(values[batch.own], batch, values[YAW_ROWS])
        placing += own
        depth = math.hypot(depth, own_depth)
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
    by_landmark : tuple of dict of str to float
        Parts of placing each role, one entry an event.
    depth : float
        Part of the unseen distance from the plane.
    """

    value: float
    shared: dict[str, float]
    by_landmark: tuple[dict[str, float], ...]
    depth: float

    @property
    def placing(self) -> float:
        """Part of placing all landmarks."""
        return math.hypot(*(u for parts in self.by_landmark for u in parts.values()))


def _shared_parts(values: FloatArray) -> dict[str, float]:
    signed = 0.5 * (values[:N_SHARED] - values[N_SHARED:])
    parts: dict[str, float] = {}
    for source, part in zip(SHARED_INPUTS, signed.tolist(), strict=True):
        if math.isfinite(part):
            parts[source] = math.hypot(parts.get(source, 0.0), part)
    return parts


def _own_parts(
    values: FloatArray, batch: PoseBatch, base: FloatArray
) -> tuple[tuple[dict[str, float]], float]:
    n, m = batch.n_points, batch.n_depths
    steps = values[: 2 * n + 2 * m].copy()
    steps[2 * n : 2 * n + m] -= base[0]
    steps[2 * n + m :] -= base[1]
    # A step into a degenerate posture tells nothing.
    steps[np.isnan(steps)] = 0.0
    both = 0.5 * (steps[:n] - steps[n : 2 * n])
    by_role = np.hypot(both[0::2], both[1::2]).tolist()
    depth = steps[2 * n :]
    parts = dict(zip(batch.pose.points, by_role, strict=False))
    return (parts,), math.sqrt(0.5 * float(depth @ depth))
