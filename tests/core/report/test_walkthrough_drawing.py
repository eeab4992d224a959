from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.walkthrough import Drawing
from deliverylab.core.report.walkthrough_crop import Placement
from deliverylab.core.report.walkthrough_drawing import dashes, draw_body, draw_by_hand
from deliverylab.core.report.walkthrough_style import (
    DASH_PX,
    GLOVE,
    HAND,
    MIDDLE,
    MODEL,
    THROWING,
    rgb,
)

PLACE = Placement(2.0, 10.0, 20.0, 200)
ARM = {"right_elbow": (40.0, 60.0), "right_wrist": (120.0, 60.0)}


def _canvas():
    return np.full((400, 500, 3), 90, np.uint8)


def _is(picture, colour, within=60):
    return np.abs(picture.astype(int) - np.array(rgb(colour))).max(axis=2) < within


def _drawn(points, hand="right", *, is_model=False, place=PLACE, unit=1.0):
    picture = _canvas()
    draw_body(picture, points, hand, place, is_model=is_model, unit=unit)
    return picture


def test_a_bone_lies_where_its_landmarks_are():
    picture = _drawn(ARM)
    amber = _is(picture, THROWING)
    # half way between the joints at y = 2 × 60 + 20, to half a pixel
    for column in (150, 170, 190):
        rows = np.flatnonzero(amber[:, column])
        assert rows.mean() == pytest.approx(140.0, abs=0.5)
        assert 3 <= len(rows) <= 7


def test_joints_are_where_their_landmarks_are():
    rows, columns = np.nonzero(_is(_drawn({"right_wrist": (120.0, 60.0)}), THROWING))
    assert (columns.mean(), rows.mean()) == pytest.approx((250.0, 140.0), abs=0.3)


def test_the_sides_differ_by_hue_and_by_shape():
    points = {"right_wrist": (60.0, 60.0), "left_wrist": (160.0, 60.0), "head_top": (100.0, 20.0)}
    picture = _drawn(points)
    for colour, middle in ((THROWING, 130), (GLOVE, 330), (MIDDLE, 210)):
        _, columns = np.nonzero(_is(picture, colour))
        assert columns.mean() == pytest.approx(middle, abs=0.5)
    # a square reaches into its corners, a circle does not
    amber, teal = _is(picture, THROWING), _is(picture, GLOVE)
    assert amber[134:147, 124:137][[0, 0, -1, -1], [0, -1, 0, -1]].any()
    assert not teal[132:149, 322:339][[0, 0, -1, -1], [0, -1, 0, -1]].any()


def test_a_left_hander_throws_with_the_left():
    picture = _drawn({"left_elbow": (40.0, 60.0), "left_wrist": (120.0, 60.0)}, "left")
    assert _is(picture, THROWING).any()
    assert not _is(picture, GLOVE).any()


def test_the_model_is_thinner_dashed_and_of_one_hue():
    picture = _drawn(ARM, is_model=True)
    lilac = _is(picture, MODEL)
    along = lilac[140, 105:235]
    assert 0.4 < along.mean() < 0.8, "dashes with gaps between"
    assert not _is(picture, THROWING).any()
    width = max(np.count_nonzero(lilac[:, column]) for column in range(120, 220))
    assert width < np.count_nonzero(_is(_drawn(ARM), THROWING)[:, 170])


def test_a_mirrored_body_is_turned_round():
    turned = PLACE._replace(is_mirrored=True)
    _, columns = np.nonzero(_is(_drawn({"right_wrist": (120.0, 60.0)}, place=turned), THROWING))
    assert columns.mean() == pytest.approx(2.0 * (199.0 - 120.0) + 10.0, abs=0.3)


def test_lines_grow_with_the_picture():
    small, large = (np.count_nonzero(_is(_drawn(ARM, unit=u), THROWING)) for u in (0.7, 2.0))
    assert large > 2 * small


def test_dashes_reach_both_ends():
    lines = dashes((0.0, 0.0), (100.0, 0.0), 1.0, DASH_PX)
    assert lines[0][0] == (0.0, 0.0)
    assert lines[-1][1] == pytest.approx((100.0, 0.0))
    assert len(lines) == 5
    assert dashes((5.0, 5.0), (5.0, 5.0), 1.0, DASH_PX) == [((5.0, 5.0), (5.0, 5.0))]


@pytest.mark.parametrize(
    ("kind", "points", "on_it"),
    [
        ("line", ((20.0, 30.0), (120.0, 30.0)), (70.0, 30.0)),
        ("arrow", ((20.0, 30.0), (120.0, 30.0)), (100.0, 30.0)),
        ("circle", ((70.0, 70.0), (100.0, 70.0)), (70.0, 100.0)),
        ("arc", ((20.0, 90.0), (70.0, 90.0), (70.0, 40.0)), (45.0, 90.0)),
        ("freehand", ((20.0, 30.0), (60.0, 60.0), (100.0, 30.0)), (40.0, 45.0)),
    ],
)
def test_what_is_drawn_by_hand_lies_where_it_was_drawn(kind, points, on_it):
    picture = _canvas()
    draw_by_hand(picture, [Drawing(side="athlete", kind=kind, points_px=points)], PLACE, 1.0)
    x, y = (round(place) for place in PLACE.to_picture(*on_it))
    assert _is(picture, HAND)[y - 1 : y + 2, x - 1 : x + 2].all()


def test_what_lies_far_outside_does_no_harm():
    picture = _canvas()
    points = ((-1e6, 30.0), (1e6, 30.0))
    draw_by_hand(picture, [Drawing(side="model", kind="line", points_px=points)], PLACE, 1.0)
    assert _is(picture, HAND)[80, 100:400].all()
