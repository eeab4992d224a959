"""How alike an athlete's deliveries of one session are: the spread of every metric over them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from deliverylab.core.compare.pooled import pooled_results
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.numerics.agreement import Interval, Spread
from deliverylab.core.units import Unit


@dataclass(frozen=True)
class Repeatability:
    """Spread of one metric over a session.

    Attributes
    ----------
    metric, event, name, unit, decimals
        As of a result.
    n : int
        Deliveries that show it alike.
    mean : float
        In the metric's unit.
    spread : float
        Their standard deviation, n − 1 degrees of freedom: the athlete's own and that of measuring.
    spread_interval : Interval
        95 % confidence interval of that, by the chi-square distribution.
    placing_u : float
        What placing and marking alone let them scatter by, standard uncertainty.
    """

    metric: str
    event: str
    name: str
    unit: Unit
    decimals: int
    n: int
    mean: float
    spread: float
    spread_interval: Interval
    placing_u: float

    @property
    def athlete_spread(self) -> float | None:
        """What is left of the spread for the athlete; None where measuring alone explains it."""
        square = self.spread**2 - self.placing_u**2
        return math.sqrt(square) if square > 0.0 else None

    def as_row(self) -> dict[str, Any]:
        """Return the tidy row of tables and JSON; SI and degrees."""
        return {
            "metric": self.metric,
            "event": self.event,
            "name": self.name,
            "unit": self.unit,
            "n": self.n,
            "mean": self.mean,
            "spread": self.spread,
            "spread_low": self.spread_interval.low,
            "spread_high": self.spread_interval.high,
            "u_placing": self.placing_u,
            "spread_athlete": self.athlete_spread,
        }


def repeatability(deliveries: Sequence[Delivery]) -> tuple[Repeatability, ...]:
    """Return the spread of every metric that two deliveries or more show alike.

    Parameters
    ----------
    deliveries : sequence of Delivery
        Of one athlete and session.

    Returns
    -------
    tuple of Repeatability
        In the catalogue's order; empty with fewer than two deliveries.
    """
    if len(deliveries) < 2:
        return ()
    means = pooled_results("", deliveries)
    shown = {mean.result.metric for mean in means if mean.n > 1}
    found = []
    for mean in means:
        result = mean.result
        if mean.spread is None or result.value is None or metric(result.metric).twin in shown:
            continue
        found.append(
            Repeatability(
                metric=result.metric,
                event=result.event,
                name=result.name,
                unit=result.unit,
                decimals=result.decimals,
                n=mean.n,
                mean=result.value,
                spread=mean.spread,
                spread_interval=Spread(mean.spread, mean.n - 1).interval(),
                placing_u=mean.own_u,
            )
        )
    return tuple(found)
