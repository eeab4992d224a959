"""Remedies in the order of what they bring."""

from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.remedies import line
from deliverylab.core.metrics.spec import PLACING, Contribution, Result
from deliverylab.core.metrics.what_helps import what_would_help


def result_of(*budget, **changes):
    fields = {
        "delivery": "a", "metric": "lead_knee_flexion", "event": "release", "name": "Knee",
        "phase": "release", "unit": "deg", "decimals": 0, "status": "measured", "value": 40.0,
        "u": sum(part.u**2 for part in budget) ** 0.5, "budget": budget,
    }  # fmt: skip
    return Result(**(fields | changes))


def test_the_gain_is_that_of_halving_a_part():
    # u² = 9 + 16; half of the 4 leaves √(9 + 4) of 5
    hip, knee = (
        line(PLACING, u, role, "release") for u, role in ((4.0, "lead_hip"), (3.0, "lead_knee"))
    )
    first, second = what_would_help([result_of(hip, knee)])
    assert first.remedy == "place the lead hip at release again, zoomed in"
    assert first.gain == first.largest_gain == pytest.approx(1.0 - 13.0**0.5 / 5.0)
    assert second.gain == pytest.approx(1.0 - (16.0 + 9.0 / 4.0) ** 0.5 / 5.0)
    assert first.results == (("lead_knee_flexion", "release"),)


def test_one_remedy_counts_in_all_results_it_helps():
    scale, radar = line("scale length", 1.0), Contribution("radar gun", 1.0)
    first = result_of(scale)
    second = result_of(scale, radar, metric="ball_speed", event="")
    (found,) = what_would_help([first, second])
    # alone 1 − ½; of two equal parts 1 − √(1 − 3/8)
    assert found.gain == pytest.approx((0.5 + 1.0 - (5.0 / 8.0) ** 0.5) / 2.0)
    assert found.results == (("lead_knee_flexion", "release"), ("ball_speed", ""))


def test_what_is_not_shown_and_what_nobody_can_help_is_left_out():
    gone = result_of(status="not_shown", value=None, u=None)
    assert what_would_help([gone, result_of(Contribution("radar gun", 1.0))]) == ()
    assert what_would_help([]) == ()


def test_the_advice_for_a_delivery_follows_what_is_stated(side):
    camera = side.delivery.cameras[0]
    scale = msgspec.structs.replace(camera.scale, u_vertical_deg=4.0)
    camera = msgspec.structs.replace(camera, scale=scale)
    crooked = msgspec.structs.replace(side.delivery, cameras=(camera,))
    usual, leaning = (what_would_help(evaluate(each)) for each in (side.delivery, crooked))
    plumb = "click a plumb line for the vertical"

    def gain(found):
        return next(one.gain for one in found if one.remedy == plumb)

    assert gain(leaning) > 5.0 * gain(usual)
    assert all(0.0 <= one.gain <= one.largest_gain < 1.0 for one in usual)
    assert [one.gain for one in usual] == sorted((one.gain for one in usual), reverse=True)
