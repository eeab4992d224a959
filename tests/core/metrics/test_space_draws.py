"""First-order results in space held against draws."""

from __future__ import annotations

import math

import numpy as np
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.cross_check import cross_check
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.space_draws import SpacePostures
from deliverylab.core.metrics.space_sight import SPACE_VIEW, SpaceSight
from deliverylab.core.synthetic.field_filming import FieldCare
from tests.core.metrics.solved import solved_delivery


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(11, care=FieldCare(bias_m=0.010 / math.sqrt(3.0)))


def test_first_order_u_is_the_spread_of_the_draws(solved):
    shown = [r for r in evaluate(solved.delivery) if r.is_shown and r.view == SPACE_VIEW]
    assert len(shown) >= 45
    for result in shown:
        found = cross_check(solved.delivery, result, max_draws=10_000)
        # 10 000 draws tell a spread to 0.7 %; an elbow or layback bends within one u
        assert found.drawn.u == pytest.approx(result.u, rel=0.08), (result.metric, result.event)
        assert found.drawn.value == pytest.approx(result.value, abs=0.3 * result.u)


def test_cameras_are_drawn_once_for_both_instants(solved):
    """What a wrong camera does to both ends of a stride cancels in part: drawn as it is counted."""
    result = next(r for r in evaluate(solved.delivery) if r.metric == "stride_length_m")
    draws = SpacePostures(BY_KEY[result.metric], result, SpaceSight(solved.delivery))
    values = draws.values(np.random.default_rng(1), 4000)
    assert np.std(values) < result.u * 1.05
    assert draws.moved == {"leg_lift", "foot_plant"}
