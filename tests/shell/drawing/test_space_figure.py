from __future__ import annotations

import time

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.workflow.space_figure import Trails, space_figure
from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.space_figure import (
    CLOSEST,
    FARTHEST,
    HIPS,
    SEEN_M,
    SpaceBody,
    SpaceScene,
    Turn,
    paint_space,
    standing_views,
)
from tests.shell.filmed_twice import named

AREA = QRectF(0.0, 0.0, 300.0, 300.0)
BUDGET_S = 0.008


@pytest.fixture(scope="module")
def figure():
    return space_figure(named(2, "Bo model"))


@pytest.fixture
def scene(figure):
    at_s = figure.timeline.times_s[1]
    body = SpaceBody(points_m=figure.points_at(at_s), hand="right", trails=figure.trails(at_s))
    model = SpaceBody(points_m=figure.points_at(at_s + 0.05), hand="right")
    return SpaceScene(athlete=body, model=model, separation="separation 40° ± 8")


def _painted(scene, turn):
    image = QImage(300, 300, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    paint_space(painter, scene, turn, AREA)
    painter.end()
    return image


def _share_of(image, colour, tolerance=30):
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(300, 300, 4)[..., 2::-1]
    wanted = np.array([colour.red(), colour.green(), colour.blue()])
    return float(np.mean(np.abs(pixels.astype(int) - wanted).max(axis=-1) < tolerance))


def _axes(turn):
    """Return where a metre along X, Y and Z leads in the picture, px."""
    ends = turn.to_widget(np.vstack([np.zeros(3), np.eye(3)]), AREA)
    return ends[1:] - ends[0]


def test_standing_views_show_the_field_as_one_knows_it():
    views = standing_views("right")
    x, y, z = _axes(views["above"])
    assert x[0] > 50.0
    assert abs(x[1]) < 1e-6, "the plate lies to the right"
    assert y[1] < -50.0, "first base is up"
    assert np.hypot(*z) < 1e-6, "heights are not seen"
    side_x, _, side_z = _axes(views["side"])
    assert side_x[0] > 50.0
    assert side_z[1] < -50.0
    behind_x, behind_y, _ = _axes(views["behind"])
    assert behind_y[0] < -50.0
    assert abs(behind_x[0]) < 1e-6
    _, plate_y, _ = _axes(views["plate"])
    assert plate_y[0] > 50.0
    assert _axes(standing_views("left")["side"])[0][0] < -50.0, "a left-hander's chest is there"


def test_from_above_angles_on_the_ground_are_true():
    places = standing_views("right")["above"].to_widget(
        np.array([[0.0, 0.0, 1.2], [np.cos(0.6), np.sin(0.6), 0.3]]), AREA
    )
    dx, dy = places[1] - places[0]
    assert np.arctan2(-dy, dx) == pytest.approx(0.6)


def test_turning_keeps_lengths_and_stays_within_its_bounds():
    turn = Turn()
    for _ in range(40):
        turn = turn.turned(13.0, -7.0)
    assert turn.pitch_deg == -90.0
    assert 0.0 <= turn.azimuth_deg < 360.0
    assert Turn().zoomed(100.0).zoom == CLOSEST
    assert Turn().zoomed(0.001).zoom == FARTHEST
    # by parallel projection a metre takes as much across the picture as down, however it is turned
    assert np.linalg.norm(_axes(turn), axis=0) == pytest.approx(300.0 / SEEN_M)


def test_sides_keep_their_colours_and_the_model_its_own(scene, qapp):
    image = _painted(scene, Turn())
    for colour in (palette.THROWING, palette.GLOVE, palette.MODEL):
        assert _share_of(image, colour) > 0.0008
    scene.model = None
    assert _share_of(_painted(scene, Turn()), palette.MODEL) < 0.0002


def test_what_is_not_known_is_not_drawn(scene, qapp):
    points = scene.athlete.points_m.copy()
    for key in LANDMARK_KEYS:
        if "throwing" in palette.side_of(key, "right"):
            points[INDEX[key]] = np.nan
    scene.model = None
    scene.athlete = SpaceBody(points_m=points, hand="right")
    image = _painted(scene, Turn())
    assert _share_of(image, palette.THROWING) < 0.0002
    assert _share_of(image, palette.GLOVE) > 0.0008


def test_trails_can_be_left_out_and_may_be_empty(scene, qapp):
    with_trails = _share_of(_painted(scene, Turn()), palette.THROWING, 60)
    scene.has_trails = False
    assert _share_of(_painted(scene, Turn()), palette.THROWING, 60) < with_trails
    nothing = np.zeros((0, 3))
    empty = Trails(hand=nothing, hips=nothing.reshape(0, 2, 3), shoulders=nothing.reshape(0, 2, 3))
    scene.has_trails = True
    scene.athlete = SpaceBody(points_m=scene.athlete.points_m, hand="right", trails=empty)
    assert _share_of(_painted(scene, Turn()), palette.THROWING, 60) < with_trails


def test_only_from_above_the_lines_of_hips_and_shoulders_are_drawn_out(scene, qapp):
    scene.has_trails = False
    above = standing_views("right")["above"]
    seen = [_share_of(_painted(scene, turn), palette.PICKED) for turn in (above, Turn())]
    assert seen[0] > 0.0005 > 5 * seen[1]
    assert QColor(HIPS) != QColor(palette.PICKED)


def test_an_empty_scene_shows_the_field(qapp):
    image = _painted(SpaceScene(), standing_views("right")["above"])
    assert _share_of(image, palette.GROUND) > 0.5
    assert _share_of(image, palette.INK) > 0.005, "the rubber"


def test_it_is_painted_within_its_budget(scene, qapp):
    image = QImage(300, 300, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    times_s = []
    for turn_deg in range(60):
        began_s = time.perf_counter()
        paint_space(painter, scene, Turn(azimuth_deg=float(turn_deg)), AREA)
        times_s.append(time.perf_counter() - began_s)
    painter.end()
    # the fastest: on a busy machine the others tell how busy it is
    assert min(times_s) < BUDGET_S
