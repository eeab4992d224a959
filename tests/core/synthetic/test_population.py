"""Pitchers drawn around published means."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.population import SPREADS, varied_delivery, varied_spec
from deliverylab.core.synthetic.spec import DeliverySpec

N = 600


@pytest.fixture(scope="module")
def drawn():
    rng = np.random.default_rng(3)
    return [varied_spec(rng) for _ in range(N)]


@pytest.mark.parametrize("name", SPREADS)
def test_angles_have_the_stated_mean_and_spread(drawn, name):
    values = np.array([getattr(spec, name) for spec in drawn])
    sd = np.array(SPREADS[name])
    # four standard errors of a mean and of a standard deviation of N draws
    assert np.all(np.abs(values.mean(0) - getattr(DeliverySpec(), name)) < 4.0 * sd / np.sqrt(N))
    assert np.all(np.abs(values.std(0) / sd - 1.0) < 4.0 / np.sqrt(2.0 * N))


def test_a_pitcher_keeps_a_part_of_the_deviation(drawn):
    pelvis = np.array([spec.pelvis_deg for spec in drawn])
    assert np.corrcoef(pelvis[:, 2], pelvis[:, 4])[0, 1] == pytest.approx(0.7, abs=0.1)


def test_both_hands_and_any_start_within_a_frame(drawn):
    assert {spec.hand for spec in drawn} == {"left", "right"}
    starts = np.array([spec.lead_in_s for spec in drawn])
    assert np.ptp(starts) > 0.04


def test_another_mean_moves_the_draws():
    rng = np.random.default_rng(1)
    young = replace(DeliverySpec(), height_m=1.55, stride_percent_height=75.0)
    heights = [varied_spec(rng, young).height_m for _ in range(100)]
    assert np.mean(heights) == pytest.approx(1.55, abs=4.0 * 0.06 / 10.0)


def test_the_same_seed_gives_the_same_delivery():
    first, second = (varied_delivery(np.random.default_rng(5), rate_hz=60.0) for _ in range(2))
    np.testing.assert_array_equal(first.stacked_m(), second.stacked_m())


def test_a_mean_that_nobody_can_do_is_refused():
    with pytest.raises(InputValueError, match="no pitcher"):
        varied_delivery(
            np.random.default_rng(0), replace(DeliverySpec(), stride_percent_height=190.0)
        )
