"""What a speed that is off says of rate and scale."""

from __future__ import annotations

import pytest

from deliverylab.core.metrics.ball_checks import radar_agreement, rate_hint, scale_hint


def test_two_speeds_within_their_margins_agree():
    # |38.0 - 37.1| / hypot(1.2, 0.45) = 0.702
    check = radar_agreement(38.0, 1.2, 37.1, 0.45, 240.0)
    assert check.is_agreeing
    assert check.e_n == pytest.approx(0.702, abs=0.001)
    assert check.difference_m_s == pytest.approx(0.9)
    assert check.hint == ""


@pytest.mark.parametrize(
    ("measured", "hint"),
    [
        (19.3, "the capture rate is likely 240, not 120"),
        (9.4, "the capture rate is likely 480, not 120"),
        (4.8, "the capture rate is likely 960, not 120"),
        (75.0, "the capture rate is likely 60, not 120"),
        (32.0, "lengths may come out 16% too short"),
        (46.0, "lengths may come out 21% too long"),
    ],
)
def test_a_reading_that_is_off_says_what_is_likely_wrong(measured, hint):
    check = radar_agreement(measured, 0.8, 38.0, 0.45, 120.0)
    assert not check.is_agreeing
    assert check.hint.startswith(hint)
    assert (check.rate_factor is not None) == hint.startswith("the capture rate")


def test_a_rate_of_many_digits_stays_readable():
    assert rate_hint(8.0, 30000 / 1001) == "the capture rate is likely 239.8, not 29.97"
    assert rate_hint(1.3, 240.0) == ""


def test_a_scale_hint_says_which_way():
    assert "10% too long" in scale_hint(1.1)
    assert "10% too short" in scale_hint(0.9)
