from __future__ import annotations

import math

import pytest

from deliverylab.core.report.hand_strokes import ARC_SHARE, BARB_SHARE, hand_strokes


def test_a_line_and_a_freehand_line_are_their_points():
    points = ((0.0, 0.0), (3.0, 4.0), (5.0, 1.0))
    assert hand_strokes("line", points[:2], 10.0) == (points[:2],)
    assert hand_strokes("freehand", points, 10.0) == (points,)


def test_an_arrow_has_two_barbs_of_one_length_at_its_tip():
    shaft, barbs = hand_strokes("arrow", ((0.0, 0.0), (100.0, 0.0)), 20.0)
    assert shaft == ((0.0, 0.0), (100.0, 0.0))
    one, tip, other = barbs
    assert tip == (100.0, 0.0)
    assert [math.dist(tip, end) for end in (one, other)] == pytest.approx([20.0, 20.0])
    # both lean back, one on either side of the shaft
    assert one[0] < 100.0
    assert other[0] < 100.0
    assert one[1] == pytest.approx(-other[1])


def test_barbs_of_a_short_arrow_leave_its_shaft():
    _, (one, tip, _) = hand_strokes("arrow", ((0.0, 0.0), (10.0, 0.0)), 20.0)
    assert math.dist(one, tip) == pytest.approx(BARB_SHARE * 10.0)


def test_a_circle_goes_round_its_middle_through_its_rim():
    (rim,) = hand_strokes("circle", ((5.0, 5.0), (8.0, 9.0)), 0.0)
    assert [math.dist((5.0, 5.0), place) for place in rim] == pytest.approx([5.0] * len(rim))
    assert rim[0] == pytest.approx(rim[-1])


@pytest.mark.parametrize(("last", "sweep"), [((0.0, 50.0), 90.0), ((0.0, -50.0), -90.0)])
def test_an_arc_takes_the_shorter_way_between_its_arms(last, sweep):
    arms, arc = hand_strokes("arc", ((100.0, 0.0), (0.0, 0.0), last), 0.0)
    assert arms[1] == (0.0, 0.0)
    turns = [math.degrees(math.atan2(y, x)) for x, y in arc]
    assert turns[0] == pytest.approx(0.0)
    assert turns[-1] == pytest.approx(sweep)
    assert all(math.hypot(*place) == pytest.approx(ARC_SHARE * 50.0) for place in arc)


def test_an_arc_that_is_not_finished_is_the_line_so_far():
    points = ((0.0, 0.0), (1.0, 1.0))
    assert hand_strokes("arc", points, 0.0) == (points,)
