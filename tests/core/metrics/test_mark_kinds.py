"""An arc's geometry in the picture."""

from __future__ import annotations

import math

import pytest

from deliverylab.core.metrics.mark_kinds import ArcMark, direction_rad
from deliverylab.core.model.scale import Point

SAID = {"metric": "m", "event": "release", "name": "knee", "text": "47°", "is_in_space": False}


def arc_of(reference, arm):
    return ArcMark(**SAID, corner=Point(100.0, 50.0), reference=reference, arm=arm)


def test_the_arc_runs_from_the_reference_to_the_arm():
    mark = arc_of(Point(100.0, 10.0), Point(160.0, 50.0))
    places = mark.arc(30.0)
    assert places[0] == pytest.approx((100.0, 20.0))
    assert places[-1] == pytest.approx((130.0, 50.0))
    assert all(math.dist(mark.corner, place) == pytest.approx(30.0) for place in places)
    assert mark.reach_px == 40.0


def test_the_turn_takes_the_shorter_way_and_has_a_sign():
    assert arc_of(Point(100.0, 10.0), Point(160.0, 50.0)).turn_deg == pytest.approx(90.0)
    assert arc_of(Point(100.0, 10.0), Point(40.0, 50.0)).turn_deg == pytest.approx(-90.0)
    # across the direction in which angles begin anew
    assert arc_of(Point(0.0, 49.0), Point(0.0, 51.0)).turn_deg == pytest.approx(-1.146, abs=1e-3)


def test_directions_are_clockwise_from_the_right():
    assert direction_rad(Point(0.0, 0.0), Point(1.0, 0.0)) == 0.0
    assert direction_rad(Point(0.0, 0.0), Point(0.0, 1.0)) == pytest.approx(math.pi / 2.0)
