"""First-order results of a synthetic delivery held against Monte Carlo."""

from __future__ import annotations

import pytest

from deliverylab.core.metrics.cross_check import cross_check
from deliverylab.core.metrics.evaluate import evaluate


def by_key(delivery):
    return {(r.metric, r.event): r for r in evaluate(delivery)}


@pytest.mark.parametrize("view", ["side", "rear"])
def test_first_order_u_is_the_spread_of_the_draws(view, request):
    delivery = request.getfixturevalue(view).delivery
    shown = [result for result in evaluate(delivery) if result.is_shown]
    assert len(shown) >= 7
    for result in shown:
        found = cross_check(delivery, result, max_draws=10_000)
        # 10 000 draws tell a spread to 0.7 %, three times that; what angles bend over one u and
        # what depth and yaw do together add up to a few percent
        assert found.drawn.u == pytest.approx(result.u, rel=0.08), (result.metric, result.event)
        assert found.drawn.value == pytest.approx(result.value, abs=0.25 * result.u)


def test_a_knee_is_validated_and_a_time_of_two_frames_is_not_normal(side):
    results = by_key(side.delivery)
    knee = cross_check(side.delivery, results["lead_knee_flexion", "release"])
    assert knee.is_validated
    assert knee.expanded_u == pytest.approx(1.96 * knee.result.u, rel=1e-3)
    # Two rectangles make a triangle: 95 % of it lie within √6 (1 − √0.05) = 1.902 u.
    time = cross_check(side.delivery, results["contact_to_release_time", ""], max_draws=100_000)
    half = 0.5 * (time.drawn.high - time.drawn.low)
    assert half == pytest.approx(1.902 * time.result.u, rel=0.01)


def test_a_result_that_is_not_shown_has_none(side):
    hidden = next(result for result in evaluate(side.delivery) if not result.is_shown)
    assert cross_check(side.delivery, hidden) is None


def test_the_row_says_what_was_found(side):
    stride = by_key(side.delivery)["stride_length", ""]
    row = cross_check(side.delivery, stride, max_draws=1000).as_row()
    assert row["mc_n_draws"] == 1000
    assert row["mc_low"] < row["mc_value"] < row["mc_high"]
    assert row["mc_is_settled"] is False
