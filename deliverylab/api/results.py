"""Measure, compare, and ask what a result rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from deliverylab.core.compare.peak_order import PeakOrder
    from deliverylab.core.compare.published import Context, Level
    from deliverylab.core.compare.verdict import Difference
    from deliverylab.core.metrics.ball_fall import FallCheck
    from deliverylab.core.metrics.cross_check import CrossCheck
    from deliverylab.core.metrics.spec import Contribution, Result
    from deliverylab.core.metrics.what_helps import Help
    from deliverylab.core.model.delivery import Delivery


def measure(delivery: Delivery) -> tuple[Result, ...]:
    """Measure a delivery: every metric of the catalogue, with its u, or why it is not shown.

    ``deliverylab.core.report.tables.results_frame`` makes a pandas frame of them.
    """
    from deliverylab.core.metrics.evaluate import evaluate

    return evaluate(delivery)


def compare(
    a: Delivery | Sequence[Delivery], b: Delivery | Sequence[Delivery] | Level
) -> tuple[Difference, ...]:
    """Compare two sides: each difference a − b with its u and a verdict, clear ones first.

    Parameters
    ----------
    a : Delivery or sequence of Delivery
        The athlete's; of several the means are compared.
    b : Delivery, sequence of Delivery, or {"youth", "high school", "college"}
        What it is compared with; of a published group only what is defined alike.

    Raises
    ------
    InputValueError
        A side without any delivery.
    """
    from deliverylab.core.compare.difference import compare_parties
    from deliverylab.core.compare.parties import party_from

    return compare_parties(party_from(a), party_from(b))


def budget(delivery: Delivery, metric: str, event: str = "") -> tuple[Contribution, ...]:
    """Return what a result's u is made of, largest part first, each with what would help.

    Parameters
    ----------
    delivery : Delivery
        Whose.
    metric, event : str
        Key of the metric, and of the event where it is taken at events.

    Raises
    ------
    NotFoundError
        No such metric, or not at this event.
    """
    from deliverylab.core.errors import NotFoundError
    from deliverylab.core.metrics.catalogue import metric as metric_of

    events = metric_of(metric).result_events
    if event not in events:
        raise NotFoundError(
            "this metric is not taken at that event",
            where=f"{metric}, {event or 'no event'}",
            remedy=f"it is taken at: {', '.join(events) or 'no event'}",
        )
    found = (r for r in measure(delivery) if (r.metric, r.event) == (metric, event))
    return next(found).budget


def what_would_help(delivery: Delivery) -> tuple[Help, ...]:
    """Return what would make a delivery's results surer, the most helpful first."""
    from deliverylab.core.metrics import what_helps

    return what_helps.what_would_help(measure(delivery))


def cross_check(delivery: Delivery, *, max_draws: int = 400_000) -> tuple[CrossCheck, ...]:
    """Check the ± of every shown result by Monte Carlo (JCGM 101), up to so many draws each."""
    from deliverylab.core.metrics import cross_check as by_draws

    checks = (by_draws.cross_check(delivery, r, max_draws=max_draws) for r in measure(delivery))
    return tuple(check for check in checks if check is not None)


def peak_order(deliveries: Sequence[Delivery]) -> PeakOrder:
    """Return in which order pelvis, shoulder line and elbow are fastest, over five deliveries or more.

    Parameters
    ----------
    deliveries : sequence of Delivery
        Of one athlete, each with solved cameras; those that do not tell all peaks are left out.
    """
    from deliverylab.core.compare import peak_order as over_deliveries

    return over_deliveries.peak_order(deliveries)


def published(result: Result, level: Level | None = None) -> Context | None:
    """Return what is published of a result's own definition, as context; None where nothing is.

    Parameters
    ----------
    result : Result
        One that is shown.
    level : {"youth", "high school", "college"}, optional
        Group to name first.
    """
    from deliverylab.core.compare.published import context

    return context(result, level)


def fall_check(
    delivery: Delivery, camera: str | None = None, frames: tuple[int, int] | None = None
) -> FallCheck:
    """Check scale and capture rate by a ball that was tossed or dropped: g, with its u.

    Parameters
    ----------
    delivery : Delivery
        With a scale, and the landmark ``ball`` placed while it flies freely.
    camera : str, optional
        Which camera; the first without.
    frames : (int, int), optional
        First and last frame of the free flight; all that hold the ball without.

    Raises
    ------
    InputValueError
        No scale, too few positions, or too short a stretch.
    """
    from deliverylab.core.metrics.ball_fall import fall_check as check

    return check(delivery, delivery.camera(camera), *(frames or (0, None)))
