from __future__ import annotations

import math

import msgspec
import numpy as np
import pytest

from deliverylab.core.compare import pooled as module
from deliverylab.core.compare.pooled import (
    BETWEEN,
    ENOUGH_ALONE,
    PooledResult,
    joint_u,
    measured_alike,
    pooled,
    pooled_results,
    results_of,
)
from deliverylab.core.compare.shared_errors import Taken
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.spec import factor_for
from deliverylab.core.synthetic.spec import DeliverySpec
from tests.core.compare.thrown import delivery, knee, taken
from tests.published.filmed import filmed


def test_the_mean_of_values_that_scatter_more_than_their_placing():
    mean = pooled("all", taken([36.0, 40.0, 44.0], own=1.0, yaw=0.5))
    assert (mean.result.value, mean.n, mean.spread) == (pytest.approx(40.0), 3, pytest.approx(4.0))
    # u² = s²/n + shared²
    assert mean.result.u == pytest.approx(math.hypot(4.0 / math.sqrt(3.0), 0.5))
    # G.4: ν = u⁴ / ((s/√n)⁴ / (n − 1))
    between = 4.0 / math.sqrt(3.0)
    assert mean.result.n_degrees_of_freedom == pytest.approx(
        (between**2 + 0.25) ** 2 / (between**4 / 2.0)
    )
    assert mean.result.delivery == "all"
    assert {part.source for part in mean.result.budget} == {BETWEEN, "yaw of the camera"}
    assert sum(part.u**2 for part in mean.result.budget) == pytest.approx(mean.result.u**2)


def test_a_spread_that_came_out_small_by_chance_does_not_make_the_mean_surer():
    mean = pooled("all", taken([40.0, 40.1], own=2.0, yaw=0.5))
    assert mean.result.u == pytest.approx(math.hypot(2.0 / math.sqrt(2.0), 0.5))
    assert mean.result.n_degrees_of_freedom is None
    assert mean.own_u == pytest.approx(2.0)


def test_more_deliveries_never_get_below_what_they_share():
    means = [pooled("all", taken([40.0] * n, own=2.0, yaw=1.0)).result.u for n in (2, 8, 32, 128)]
    assert means == sorted(means, reverse=True)
    assert means[-1] > 1.0


def test_a_u_from_few_repeats_keeps_its_degrees_of_freedom():
    ones = taken([40.0, 40.1], own=2.0)
    told = [Taken(t.delivery, knee(t.delivery, 40.0, n_degrees_of_freedom=6.0)) for t in ones]
    assert pooled("all", told).result.n_degrees_of_freedom == pytest.approx(6.0)


def test_only_what_was_measured_alike_is_pooled():
    ones = [delivery(f"Ana {n}") for n in (1, 2, 3, 4, 5)]
    rear = delivery("Ana 6", view="rear")
    results = [
        knee(ones[0], 40.0),
        knee(ones[1], 42.0),
        knee(ones[2], 60.0, basis="from the rubber"),
        knee(ones[3], 70.0, status="estimated"),
        knee(ones[4], None),
    ]
    mixed = [*map(Taken, ones, results), Taken(rear, knee(rear, 80.0))]
    assert [one.result.value for one in measured_alike(mixed)] == [40.0, 42.0]
    mean = pooled("all", mixed)
    assert (mean.n, mean.result.value) == (2, pytest.approx(41.0))
    # both sides show the same plane
    closed = delivery("Ana 7", view="closed-side")
    assert pooled("all", [*mixed, Taken(closed, knee(closed, 44.0))]).n == 3


def test_one_that_shows_it_stands_for_itself():
    ones = taken([40.0, None])
    mean = pooled("all", ones)
    assert (mean.n, mean.spread, mean.result.u) == (1, None, ones[0].result.u)
    assert mean.result.delivery == "all"


def test_none_that_shows_it_says_why_of_each():
    gone = pooled("all", taken([None, None]))
    assert (gone.n, gone.result.is_shown, gone.result.reason) == (0, False, "no scale")
    one, two = taken([None, None])
    other = Taken(two.delivery, knee(two.delivery, None, reason="not marked"))
    assert pooled("all", [one, other]).result.reason == "Ana 1: no scale; Ana 2: not marked"


def test_of_one_delivery_they_are_its_results():
    of = filmed("Ana 1", DeliverySpec(), u_px=math.nan)
    assert [each.result for each in pooled_results("Ana 1", [of])] == list(evaluate(of))


def test_results_of_many_are_remembered_by_who_they_are():
    ones = [filmed(f"Ana {n}", DeliverySpec(), u_px=math.nan) for n in (1, 2)]
    known = [results_of(one) for one in ones]
    assert [results_of(one) is was for one, was in zip(ones, known, strict=True)] == [True, True]
    before = pooled_results("both", ones)
    again = pooled_results("both", ones)
    assert all(x is y for x, y in zip(before, again, strict=True))
    for n in range(module._N_KEPT + 3):
        module._RESULTS[n] = (ones[0], known[0])
    results_of(filmed("Ana 3", DeliverySpec(), u_px=math.nan))
    assert len(module._RESULTS) <= module._N_KEPT
    module._RESULTS.clear()


def test_a_day_that_is_corrected_makes_a_mean_anew():
    may = [
        msgspec.structs.replace(
            filmed(f"Ana {n}", DeliverySpec(), u_px=math.nan), date="2026-05-14"
        )
        for n in (1, 2)
    ]
    before = pooled_results("both", may)
    june = [may[0], msgspec.structs.replace(may[1], date="2026-06-01")]
    after = pooled_results("both", june)
    stride = next(n for n, mean in enumerate(before) if mean.result.metric == "stride_length")
    # the camera stood anew, so that its yaw and its distance average out
    assert after[stride].result.u < before[stride].result.u
    assert after[stride].result.value == before[stride].result.value


# ------------------------------------------------------------------------- two means of few


def test_two_means_of_few_take_their_spread_together():
    a = pooled("a", taken([36.0, 40.0, 44.0], own=1.0, yaw=0.5))
    b = pooled("b", taken([50.0, 52.0], own=1.0, yaw=0.5))
    scatter = math.sqrt((2 * 16.0 + 1 * 2.0) / 3.0)
    between = scatter * math.sqrt(1.0 / 3.0 + 1.0 / 2.0)
    u, dof = joint_u(a, b)
    assert u == pytest.approx(math.sqrt(between**2 + 2 * 0.25))
    assert dof == pytest.approx(u**4 / (between**4 / 3.0))


def test_enough_on_both_sides_stand_alone_and_single_ones_have_no_spread():
    many = pooled("a", taken([36.0, 40.0, 44.0, 41.0, 39.0], own=1.0))
    assert many.n == ENOUGH_ALONE
    assert joint_u(many, many) is None
    assert joint_u(many, PooledResult(many.result, 1)) is None
    steady = pooled("a", taken([40.0, 40.0], own=2.0))
    assert joint_u(steady, steady) == (pytest.approx(2.0), None)


@pytest.mark.parametrize("athlete_sd", [0.0, 1.0, 2.0])
@pytest.mark.parametrize("n", [2, 3, 5])
def test_stated_u_of_a_difference_of_means_holds_the_truth(n, athlete_sd):
    rng = np.random.default_rng(n)
    n_draws, n_held = 1500, 0
    for _ in range(n_draws):
        sides = []
        for _ in range(2):
            values = 40.0 + rng.normal(0.0, 0.6) + rng.normal(0.0, math.hypot(2.0, athlete_sd), n)
            sides.append(pooled("", taken(values.tolist(), own=2.0, yaw=0.6)))
        a, b = sides
        joint = joint_u(a, b)
        if joint is None:
            u2 = [each.result.u**2 for each in sides]
            dofs = [each.result.n_degrees_of_freedom or math.inf for each in sides]
            doubt = sum(v**2 / dof for v, dof in zip(u2, dofs, strict=True))
            joint = math.sqrt(sum(u2)), sum(u2) ** 2 / doubt if doubt else None
        u, dof = joint
        n_held += abs(a.result.value - b.result.value) <= factor_for(dof) * u
    # 95.45 % with t for few deliveries; three standard errors of so many draws are 1.6 %
    assert n_held / n_draws > 0.9545 - 0.016
