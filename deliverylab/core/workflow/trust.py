"""How well would this set-up measure?  Many deliveries of known truth, put through the real thing.

Before anybody films: where to stand, how fast to film, how carefully to place.  It is a simulation
of our own figure; what a real body and a real phone do besides is not in it.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, wait
from dataclasses import asdict, dataclass
from multiprocessing import get_context
from typing import Any, NamedTuple

import numpy as np

from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.spec import Result
from deliverylab.core.synthetic.filming import FilmingSetUp
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.workflow.trust_delivery import Care, simulated_delivery

DEFAULT_N = 100
MIN_N, MAX_N = 2, 100_000
_CHUNK = 5
HEARTBEAT_S = 0.1
"""How long nobody is asked while processes start and work."""
_WORTH_A_PROCESS = 20
"""From so many deliveries on a second process gains more than its start costs."""


@dataclass(frozen=True, kw_only=True)
class MetricTrust:
    """What a set-up makes of one metric.

    Attributes
    ----------
    metric, event, name, unit, decimals
        As in the catalogue.
    n, n_shown : int
        Deliveries simulated, and how many of them show a value.
    rmse, bias : float
        Root-mean-square and mean of value less truth, in `unit`; NaN where none is shown.
    coverage : float
        Share of the shown values whose ± holds the truth, 0 to 1; NaN where none is shown.
    expanded_u : float
        Mean ± stated, in `unit`; NaN where none is shown.
    limited_by : str
        The largest part of u on average, as the budget names it; empty where none is shown.
    reason, remedy : str
        The commonest reason why it is not shown, with its remedy; empty where it always is.
    """

    metric: str
    event: str
    name: str
    unit: str
    decimals: int
    n: int
    n_shown: int
    rmse: float
    bias: float
    coverage: float
    expanded_u: float
    limited_by: str
    reason: str
    remedy: str

    @property
    def share_shown(self) -> float:
        """Share of the deliveries that show a value, 0 to 1."""
        return self.n_shown / self.n

    def as_row(self) -> dict[str, Any]:
        """Return the tidy row of tables and JSON; SI and degrees, None for what is not there."""
        row = asdict(self) | {"share_shown": self.share_shown}
        return {
            key: None if isinstance(value, float) and math.isnan(value) else value
            for key, value in row.items()
        }


class Outcome(NamedTuple):
    """One metric in one simulated delivery.

    Attributes
    ----------
    metric, event : str
        Which.
    error, expanded_u : float
        Value less truth, and the stated ±; NaN where it is not shown.
    parts : tuple of (str, float)
        Budget by source: squares of the parts of u.
    reason, remedy : str
        Why it is not shown.
    """

    metric: str
    event: str
    error: float
    expanded_u: float
    parts: tuple[tuple[str, float], ...]
    reason: str
    remedy: str


def trust(
    set_up: FilmingSetUp | None = None,
    care: Care | None = None,
    *,
    n: int = DEFAULT_N,
    base: DeliverySpec | None = None,
    seed: int = 1,
    n_workers: int = 2,
    progress: Callable[[int, int], object] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> tuple[MetricTrust, ...]:
    """Simulate how well a set-up would measure every metric.

    Parameters
    ----------
    set_up : FilmingSetUp, optional
        Where the phone stands, and how it films.
    care : Care, optional
        How carefully a person places, measures and marks.
    n : int
        Number of varied deliveries.
    base : DeliverySpec, optional
        Mean around which they vary; the published collegiate means by default.
    seed : int
        The same seed gives the same deliveries, however many processes work.
    n_workers : int
        Processes; 1 works in this one.
    progress : callable, optional
        Called with the number done and `n`, some times a second also where nothing new is done.
    is_cancelled : callable, optional
        Asked in between; when true what is done so far is returned, nothing if nothing is.

    Returns
    -------
    tuple of MetricTrust
        In the catalogue's order; metrics without a truth in the figure are left out.

    Raises
    ------
    InputValueError
        `n` out of range, or no delivery around this mean can be built.
    """
    if not MIN_N <= n <= MAX_N:
        raise InputValueError(
            "the number of deliveries cannot be used",
            where=f"{n}",
            remedy=f"give between {MIN_N} and {MAX_N}; 100 is usual",
        )
    job = _Job(set_up or FilmingSetUp(), care or Care(), base)
    seeds = np.random.SeedSequence(seed).spawn(n)
    chunks = [seeds[start : start + _CHUNK] for start in range(0, n, _CHUNK)]
    done: list[tuple[Outcome, ...]] = []
    is_alone = n_workers <= 1 or n < _WORTH_A_PROCESS
    for outcomes in _alone(job, chunks) if is_alone else _together(job, chunks, n_workers):
        done.extend(outcomes)
        if progress is not None:
            progress(len(done), n)
        if is_cancelled is not None and is_cancelled():
            break
    return summarise(done)


class _Job(NamedTuple):
    """What every delivery shares."""

    set_up: FilmingSetUp
    care: Care
    base: DeliverySpec | None

    def run(self, seeds: Sequence[np.random.SeedSequence]) -> list[tuple[Outcome, ...]]:
        return [one_delivery(self.set_up, self.care, self.base, seed) for seed in seeds]


def _alone(
    job: _Job, chunks: list[list[np.random.SeedSequence]]
) -> Iterator[list[tuple[Outcome, ...]]]:
    for chunk in chunks:
        yield job.run(chunk)


def _together(
    job: _Job, chunks: list[list[np.random.SeedSequence]], n_workers: int
) -> Iterator[list[tuple[Outcome, ...]]]:
    """Share the work among processes; where nobody reads on, nothing more is begun or waited for."""
    # Spawned, as a window's threads must not be forked.
    pool = ProcessPoolExecutor(n_workers, mp_context=get_context("spawn"))
    try:
        waiting: list[Future[list[tuple[Outcome, ...]]]] = [
            pool.submit(job.run, chunk) for chunk in chunks
        ]
        for each in waiting:  # in their order: sums come out the same to the last digit
            while not wait([each], HEARTBEAT_S).done:
                yield []
            yield each.result()
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


def one_delivery(
    set_up: FilmingSetUp, care: Care, base: DeliverySpec | None, seed: np.random.SeedSequence
) -> tuple[Outcome, ...]:
    """Simulate and measure one delivery: every metric that has a truth in the figure."""
    rng = np.random.default_rng(seed)
    figure = varied_delivery(rng, base, set_up.rate_hz)
    delivery, truth = simulated_delivery(figure, set_up, care, rng)
    outcomes = []
    for result in evaluate(delivery):
        true = truth.value(BY_KEY[result.metric], result.event)
        if math.isfinite(true):
            outcomes.append(_outcome(result, true))
    return tuple(outcomes)


def _outcome(result: Result, true: float) -> Outcome:
    if result.value is None or result.expanded_u is None:
        return Outcome(
            result.metric, result.event, math.nan, math.nan, (), result.reason, result.remedy
        )
    squares: dict[str, float] = defaultdict(float)
    for part in result.budget:
        squares[part.source] += part.u**2
    return Outcome(
        result.metric,
        result.event,
        result.value - true,
        result.expanded_u,
        tuple(squares.items()),
        "",
        "",
    )


def summarise(deliveries: Iterable[tuple[Outcome, ...]]) -> tuple[MetricTrust, ...]:
    """Put the outcomes of many deliveries together, one row a metric and event."""
    by_result: dict[tuple[str, str], list[Outcome]] = {}
    for outcome in (each for outcomes in deliveries for each in outcomes):
        by_result.setdefault((outcome.metric, outcome.event), []).append(outcome)
    return tuple(_summary(outcomes) for outcomes in by_result.values())


def _summary(outcomes: list[Outcome]) -> MetricTrust:
    spec, event = BY_KEY[outcomes[0].metric], outcomes[0].event
    shown = [each for each in outcomes if math.isfinite(each.error)]
    hidden = Counter((each.reason, each.remedy) for each in outcomes if math.isnan(each.error))
    reason, remedy = hidden.most_common(1)[0][0] if hidden else ("", "")
    errors = np.array([each.error for each in shown])
    margins = np.array([each.expanded_u for each in shown])
    squares: Counter[str] = Counter()
    for each in shown:
        squares.update(dict(each.parts))
    return MetricTrust(
        metric=spec.key,
        event=event,
        name=spec.name,
        unit=spec.unit,
        decimals=spec.decimals,
        n=len(outcomes),
        n_shown=len(shown),
        rmse=float(np.sqrt(np.mean(errors**2))) if shown else math.nan,
        bias=float(np.mean(errors)) if shown else math.nan,
        coverage=float(np.mean(np.abs(errors) <= margins)) if shown else math.nan,
        expanded_u=float(np.mean(margins)) if shown else math.nan,
        limited_by=squares.most_common(1)[0][0] if squares else "",
        reason=reason,
        remedy=remedy,
    )
