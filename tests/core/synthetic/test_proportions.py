from __future__ import annotations

import pytest

from deliverylab.core.synthetic.proportions import BALL_RADIUS_M, proportions


def test_male_lengths_follow_the_published_ratios():
    size = proportions(1.741, "male")
    # de Leva P (1996) J Biomech 29:1223-1230: thigh .2425, shank .2493, foot .1482 of stature
    assert size.thigh / 1.741 == pytest.approx(0.2425, abs=5e-5)
    assert size.shank / 1.741 == pytest.approx(0.2493, abs=5e-5)
    assert size.foot / 1.741 == pytest.approx(0.1482, abs=6e-5)


def test_lengths_grow_with_height_and_differ_by_sex():
    short, tall = proportions(1.5, "female"), proportions(1.8, "female")
    assert tall.forearm / short.forearm == pytest.approx(1.2)
    assert tall.thigh < proportions(1.8, "male").thigh


def test_ball_lies_between_the_limits_of_the_rule():
    # Official Baseball Rules 3.01: circumference 9 to 9 1/4 in
    assert 9.0 < 2 * 3.14159265 * BALL_RADIUS_M / 0.0254 < 9.25
