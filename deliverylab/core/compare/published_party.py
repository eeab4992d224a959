"""A published group as the partner of a comparison: its means of the same definition."""

from __future__ import annotations

import math

import msgspec

from deliverylab.core.compare.pooled import PooledResult
from deliverylab.core.compare.published import (
    PRINTED_DECIMALS,
    Level,
    PublishedSpread,
    spreads_of,
)
from deliverylab.core.compare.rank import Yardstick
from deliverylab.core.metrics.spec import Contribution, Result
from deliverylab.core.numerics.uncertainty import rectangular_u

NOT_PUBLISHED = "nothing of this definition is published"


def published_row(metric: str, event: str, level: Level) -> PublishedSpread | None:
    """Return what is published of a group; None where nothing of the metric's definition is."""
    rows = spreads_of(metric, event, level)
    return rows[0] if rows and rows[0].level == level else None


def published_result(own: Result, level: Level) -> PooledResult:
    """Return a published group's mean as the result that one's own is compared with.

    Parameters
    ----------
    own : Result
        Of the same metric and event; what is published is taken as measured the same way.
    level : {"youth", "high school", "college"}
        Which group.

    Returns
    -------
    PooledResult
        The group's mean, n and spread; u is the standard error of the mean, with n − 1 degrees of
        freedom, and the rounding of what is printed.  Not shown where nothing is published.
    """
    row = published_row(own.metric, own.event, level)
    name = f"published {level}"
    if row is None:
        absent = msgspec.structs.replace(
            own,
            delivery=name,
            status="not_shown",
            value=None,
            u=None,
            n_degrees_of_freedom=None,
            reason=NOT_PUBLISHED,
            remedy="",
            budget=(),
            cautions=(),
        )
        return PooledResult(absent, 0)
    error = row.spread / math.sqrt(row.n)
    rounding = rectangular_u(10.0 ** -PRINTED_DECIMALS[row.source])
    u = math.hypot(error, rounding)
    result = msgspec.structs.replace(
        own,
        delivery=name,
        status="measured",
        value=row.mean,
        u=u,
        n_degrees_of_freedom=(row.n - 1) * (u / error) ** 4,
        reason="",
        remedy="",
        camera="",
        view="",
        budget=(
            Contribution(f"mean of {row.n} {row.level} pitchers, {row.source}", error),
            Contribution("rounding of what is printed", rounding),
        ),
        cautions=(row.note,) if row.note else (),
    )
    return PooledResult(result, row.n, row.spread)


def published_yardstick(own: Result, level: Level) -> Yardstick | None:
    """Return the spread between the group's pitchers; None where nothing is published."""
    row = published_row(own.metric, own.event, level)
    if row is None:
        return None
    return Yardstick(row.spread, f"spread between {row.level} pitchers, {row.source}")
