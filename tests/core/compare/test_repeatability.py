from __future__ import annotations

import math

import pytest

from deliverylab.core.compare.repeatability import repeatability
from tests.core.compare.thrown import delivery, knee, remember


def _session(values, own=1.0):
    ones = [delivery(f"Ana {number}") for number, _ in enumerate(values, start=1)]
    return [remember(one, knee(one, v, own=own)) for one, v in zip(ones, values, strict=True)]


def test_the_spread_of_a_session_with_its_interval():
    (found,) = repeatability(_session([36.0, 40.0, 44.0, 40.0]))
    assert (found.n, found.mean) == (4, pytest.approx(40.0))
    assert found.spread == pytest.approx(math.sqrt(32.0 / 3.0))
    # chi-square 3 degrees of freedom, 2.5 and 97.5 %: 0.2158 and 9.348, from common tables
    assert found.spread_interval.low == pytest.approx(math.sqrt(32.0 / 9.348), rel=1e-3)
    assert found.spread_interval.high == pytest.approx(math.sqrt(32.0 / 0.2158), rel=1e-3)
    assert found.athlete_spread == pytest.approx(math.sqrt(32.0 / 3.0 - 1.0))


def test_a_spread_that_placing_explains_leaves_nothing_for_the_athlete():
    (found,) = repeatability(_session([39.5, 40.0, 40.5], own=2.0))
    assert found.athlete_spread is None
    assert found.as_row()["spread_athlete"] is None


def test_one_delivery_or_one_value_repeats_nothing():
    assert repeatability(_session([40.0])) == ()
    assert repeatability(_session([40.0, None])) == ()
    assert repeatability([]) == ()
