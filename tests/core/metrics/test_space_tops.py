from __future__ import annotations

import math

import numpy as np
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.space_courses import asked_for
from deliverylab.core.metrics.space_sight import SpaceSight
from deliverylab.core.metrics.space_tops import (
    N_BESIDE,
    N_DRAWS,
    STEP_S,
    grid_s,
    highest,
    inner,
    noise,
    rates,
    top_of,
)
from deliverylab.core.synthetic.field_filming import FieldCare
from tests.core.metrics.solved import solved_delivery


def test_the_grid_begins_and_ends_with_the_events():
    times_s = grid_s(0.31, 0.457)
    assert inner(times_s)[[0, -1]] == pytest.approx([0.31, 0.457])
    assert len(times_s) == len(inner(times_s)) + 2 * N_BESIDE
    assert np.diff(times_s) == pytest.approx(np.diff(times_s)[0])
    assert times_s[1] - times_s[0] <= STEP_S


def test_rates_of_a_quartic_are_exact():
    times_s = grid_s(0.0, 0.2)
    slope = rates(3.0 * times_s**4 - times_s, times_s[1] - times_s[0])
    assert slope == pytest.approx(12.0 * inner(times_s) ** 3 - 1.0)


def test_the_highest_of_a_parabola_lies_between_instants():
    times_s = np.arange(0.0, 1.0, 0.1)
    value, time_s = highest(np.stack([-((times_s - 0.53) ** 2), times_s]), times_s)
    assert time_s == pytest.approx([0.53, 0.9])
    assert value == pytest.approx([0.0, 0.9])


def test_gaps_are_no_tops():
    times_s = np.arange(5.0)
    values = np.array([1.0, np.nan, 3.0, 2.0, np.nan])
    assert highest(values, times_s)[1] == pytest.approx(2.0, abs=0.5)


@pytest.mark.parametrize("order", [0, 1])
def test_noise_is_that_of_the_band_and_the_same_each_time(order):
    drawn = noise(200, 0.004, 12.0, order)
    assert drawn.shape == (N_DRAWS, 200)
    assert np.std(drawn) == pytest.approx(1.0, abs=1e-3)
    assert drawn is noise(200, 0.004, 12.0, order)
    # of a course below 12 Hz neighbours 4 ms apart scatter alike; 0.5 s apart they do not
    assert np.mean(drawn[:, 1:] * drawn[:, :-1]) > 0.9
    assert abs(np.mean(drawn[:, 125:] * drawn[:, :-125])) < 0.1


def test_the_scatter_of_places_is_taken_off_the_top():
    solved = solved_delivery(3, care=FieldCare(bias_m=0.010 / math.sqrt(3.0)))
    sight = SpaceSight(solved.delivery)
    times_s = grid_s(sight.instant("leg_lift").time_s, sight.instant("release").time_s)
    asked = asked_for(BY_KEY["peak_pelvis_speed"], sight, times_s, 12.0)
    top = top_of(asked, 1)
    assert 5.0 < top.raised < 150.0
    assert np.sqrt(np.sum(top.scatter**2)) > 20.0
    assert top.slope_per_s == 0.0
    assert top_of(asked, 1, -1.0).value < top.value
    assert top_of(asked).scatter == pytest.approx(0.0)
