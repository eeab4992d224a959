"""In which order pelvis, shoulder line and elbow are fastest, over several deliveries.

How long after one peak the next one comes is not told by one delivery: two phones tell either instant to
some hundredths of a second.  Over five deliveries or more the order shows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.space_peaks import Peak, peak_of
from deliverylab.core.metrics.space_sight import space_sight
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Delivery

FEWEST_DELIVERIES = 5
PARTS: dict[str, str] = {
    "peak_pelvis_speed": "pelvis",
    "peak_shoulder_line_speed": "shoulder line",
    "peak_elbow_extension_speed": "elbow",
}
"""Metrics whose peaks are put in order, and what they are called; in the order that is usual."""


@dataclass(frozen=True)
class PartTiming:
    """When a part of the body is fastest, over all deliveries that tell it.

    Attributes
    ----------
    metric, name : str
    mean_percent, spread_percent : float
        Mean and standard deviation, 0 at foot contact and 100 at release.
    """

    metric: str
    name: str
    mean_percent: float
    spread_percent: float


@dataclass(frozen=True)
class PairOrder:
    """Which of two parts is fastest first, as number of deliveries.

    Attributes
    ----------
    first, second : str
        Names of the parts, in the usual order.
    n_before, n_after : int
        Deliveries in which the first is earlier, and later, by more than the ± of their difference.
    n_open : int
        Deliveries in which the two are not told apart.
    """

    first: str
    second: str
    n_before: int
    n_after: int
    n_open: int


@dataclass(frozen=True)
class PeakOrder:
    """The order of the peaks over several deliveries.

    Attributes
    ----------
    deliveries : tuple of str
        Those that tell all peaks.
    left_out : dict of str to str
        Those that do not, and why.
    absence : Absence or None
        Why no order is told; then `parts` and `pairs` are empty.
    parts : tuple of PartTiming
    pairs : tuple of PairOrder
        Each part with the next.
    n_in_order : int
        Deliveries in which each part is clearly earlier than the next.
    """

    deliveries: tuple[str, ...]
    left_out: dict[str, str]
    absence: Absence | None = None
    parts: tuple[PartTiming, ...] = ()
    pairs: tuple[PairOrder, ...] = ()
    n_in_order: int = 0

    def as_row(self) -> dict[str, Any]:
        """Return it for JSON."""
        return asdict(self)


def peak_order(deliveries: Sequence[Delivery]) -> PeakOrder:
    """Return the order in which pelvis, shoulder line and elbow are fastest.

    Parameters
    ----------
    deliveries : sequence of Delivery
        Of one athlete, each filmed by two solved cameras.

    Notes
    -----
    Two parts are told apart in a delivery where their instants differ by more than twice the standard
    uncertainty of the difference, without the marks of events, which both share.
    """
    told: dict[str, list[Peak]] = {}
    left_out: dict[str, str] = {}
    for delivery in deliveries:
        peaks = [peak_of(BY_KEY[key], space_sight(delivery)) for key in PARTS]
        reason = next((each.reason for each in peaks if isinstance(each, Absence)), "")
        if reason:
            left_out[delivery.name] = reason
        else:
            told[delivery.name] = [each for each in peaks if isinstance(each, Peak)]
    if len(told) < FEWEST_DELIVERIES:
        n = len(told)
        absence = Absence(
            f"{'only ' if n else ''}{n or 'no'} deliver{'y tells' if n == 1 else 'ies tell'} all "
            f"peaks; {FEWEST_DELIVERIES} are needed",
            "film more deliveries with both phones at 240 frames a second",
        )
        return PeakOrder(tuple(told), left_out, absence)
    orders = np.array([_orders(peaks) for peaks in told.values()])
    names = tuple(PARTS.values())
    by_name = {each.name: each for each in deliveries}
    percent = np.array([_percent(by_name[name], peaks) for name, peaks in told.items()])
    return PeakOrder(
        deliveries=tuple(told),
        left_out=left_out,
        parts=tuple(
            PartTiming(key, name, float(np.mean(column)), float(np.std(column, ddof=1)))
            for (key, name), column in zip(PARTS.items(), percent.T, strict=True)
        ),
        pairs=tuple(
            PairOrder(
                *pair,
                *(int(np.count_nonzero(column == sign)) for sign in (1, -1, 0)),
            )
            for pair, column in zip(pairwise(names), orders.T, strict=True)
        ),
        n_in_order=int(np.count_nonzero((orders == 1).all(axis=1))),
    )


def _orders(peaks: Sequence[Peak]) -> list[int]:
    """Return for each part and the next 1 where it is clearly earlier, −1 later, 0 where open."""
    orders = []
    for first, second in pairwise(peaks):
        later_s = second.top.time_s - first.top.time_s
        limit_s = COVERAGE_FACTOR * math.hypot(first.u_time_s, second.u_time_s)
        orders.append(int(np.sign(later_s)) if abs(later_s) > limit_s else 0)
    return orders


def _percent(delivery: Delivery, peaks: Sequence[Peak]) -> list[float]:
    """Return the peaks' instants between foot contact and release, %."""
    sight = space_sight(delivery)
    contact, release = sight.instant("foot_contact"), sight.instant("release")
    if contact is None or release is None:
        return [math.nan] * len(peaks)
    took_s = release.time_s - contact.time_s
    return [100.0 * (each.top.time_s - contact.time_s) / took_s for each in peaks]
