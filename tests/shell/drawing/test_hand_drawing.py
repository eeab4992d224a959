"""Drawing by hand on a stage: by drags, by clicks, by keys, until Esc ends it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from PySide6.QtCore import Qt

from deliverylab.core.model.walkthrough import Drawing
from deliverylab.shell.widgets.stage_canvas import StageCanvas
from tests.shell.gestures import click, drag, move, press, release, tap


@pytest.fixture
def canvas(qtbot):
    made = StageCanvas()
    qtbot.addWidget(made)
    made.resize(771, 503)
    made.set_picture(np.full((720, 1280, 3), 90, np.uint8), (1280, 720), is_exact=False)
    made.set_next_landmark("neck", "neck", "between the shoulders")
    made.show()
    qtbot.waitExposed(made)
    return made


@pytest.fixture
def drawn(canvas):
    drawings: list = []
    canvas.drawn_by_hand.connect(lambda kind, points: drawings.append((kind, points)))
    return drawings


def at(canvas, x_px, y_px):
    return canvas.view.to_widget(x_px, y_px)


def near(points):
    return [pytest.approx(point, abs=0.06) for point in points]


@pytest.mark.parametrize("is_mirrored", [False, True])
@pytest.mark.parametrize("kind", ["arrow", "line", "circle"])
def test_a_drag_draws_from_its_start_to_its_end(canvas, drawn, kind, is_mirrored):
    canvas.set_mirrored(is_mirrored)
    canvas.draw_by_hand(kind)
    drag(canvas, [at(canvas, *place) for place in ((300, 120), (500, 200), (700, 400))])
    assert [one for one, _ in drawn] == [kind]
    assert list(drawn[0][1]) == near([(300, 120), (700, 400)])
    # the next one can be drawn at once, and nothing was placed on a picture that is not exact
    assert canvas.is_drawing
    drag(canvas, [at(canvas, 100, 100), at(canvas, 200, 100)])
    assert len(drawn) == 2


def test_two_clicks_draw_as_well_and_what_is_begun_follows_the_pointer(canvas, drawn):
    canvas.draw_by_hand("line")
    assert canvas.scene.request.hint == "drag from end to end"
    click(canvas, at(canvas, 300, 120))
    assert canvas.scene.request.hint == "now its other end"
    move(canvas, at(canvas, 600, 300))
    assert list(canvas.scene.pen.places) == near([(300, 120), (600, 300)])
    click(canvas, at(canvas, 640, 300))
    assert list(drawn[0][1]) == near([(300, 120), (640, 300)])


def test_an_angle_takes_three_clicks_and_backspace_takes_one_back(canvas, drawn):
    canvas.draw_by_hand("arc")
    click(canvas, at(canvas, 300, 120))
    click(canvas, at(canvas, 350, 300))
    tap(canvas, Qt.Key.Key_Backspace)
    assert canvas.scene.request.hint == "now where both arms meet"
    click(canvas, at(canvas, 400, 300))
    click(canvas, at(canvas, 500, 120))
    assert drawn[0][0] == "arc"
    assert list(drawn[0][1]) == near([(300, 120), (400, 300), (500, 120)])


def test_freehand_follows_the_hand_in_small_steps(canvas, drawn):
    canvas.draw_by_hand("freehand")
    circle = [
        (600 + 100 * math.cos(turn), 300 + 100 * math.sin(turn)) for turn in np.linspace(0, 6, 60)
    ]
    drag(canvas, [at(canvas, *place) for place in circle])
    kind, points = drawn[0]
    assert kind == "freehand"
    assert len(points) > 20
    assert all(math.dist(point, (600, 300)) == pytest.approx(100, abs=1.0) for point in points)
    # a pointer that goes on without the button draws nothing
    move(canvas, at(canvas, 100, 100))
    assert canvas.scene.picks == []


def test_keys_draw_where_the_pointer_is(canvas, drawn):
    canvas.draw_by_hand("arrow")
    move(canvas, at(canvas, 300, 120))
    tap(canvas, Qt.Key.Key_Return)
    move(canvas, at(canvas, 500, 220))
    tap(canvas, Qt.Key.Key_Return)
    assert list(drawn[0][1]) == near([(300, 120), (500, 220)])


def test_a_hand_that_trembled_draws_nothing_and_a_drag_ends_inside_the_picture(canvas, drawn):
    canvas.draw_by_hand("freehand")
    drag(canvas, [at(canvas, 300, 120), at(canvas, 302, 120)])
    assert drawn == []
    canvas.draw_by_hand("line")
    drag(canvas, [at(canvas, 1200, 700), at(canvas, 1500, 900)])
    assert list(drawn[0][1]) == near([(1200, 700), (1279.5, 719.5)])


def test_escape_ends_it_and_asks_for_landmarks_again(canvas, drawn, qtbot):
    canvas.draw_by_hand("arrow")
    press(canvas, at(canvas, 300, 120))
    with qtbot.waitSignal(canvas.drawing_ended):
        tap(canvas, Qt.Key.Key_Escape)
    release(canvas, at(canvas, 600, 220))
    assert not canvas.is_drawing
    assert drawn == []
    assert canvas.scene.request.name == "Next: neck"


def test_there_is_no_loupe_and_other_tools_put_the_pen_down(canvas):
    canvas.draw_by_hand("arrow")
    move(canvas, at(canvas, 300, 120))
    assert canvas._magnified() is None
    canvas.pick_box("Drag a box")
    assert not canvas.is_drawing
    canvas.draw_by_hand("circle")
    canvas.pick_points(1, ["the rubber"])
    assert not canvas.is_drawing
    assert canvas.is_picking


def test_what_was_drawn_is_seen_where_it_was_drawn(canvas):
    plain = canvas.grab().toImage()
    canvas.show_drawings(
        [Drawing(side="athlete", kind="line", points_px=((400.0, 300.0), (800.0, 300.0)))]
    )
    place = at(canvas, 600, 300).toPoint()
    shown = canvas.grab().toImage()
    assert shown.pixelColor(place) != plain.pixelColor(place)
    assert shown.pixelColor(place).name() == "#ffe08a"
    canvas.show_drawings([])
    assert canvas.grab().toImage() == plain
