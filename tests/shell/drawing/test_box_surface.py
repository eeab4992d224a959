"""A box by drag, by two clicks, by keys; and one of several people by one click."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.shell.drawing.box_surface import SECOND
from deliverylab.shell.drawing.stage_boxes import StageBox
from deliverylab.shell.widgets.stage_canvas import StageCanvas
from tests.shell.gestures import click, drag, move, release, tap

PROMPT = "Drag a box round the athlete"
PEOPLE = (StageBox(100, 100, 400, 600, "1"), StageBox(800, 200, 1000, 600, "2"))


@pytest.fixture
def canvas(qtbot):
    made = StageCanvas()
    qtbot.addWidget(made)
    made.resize(771, 503)
    made.set_picture(np.full((720, 1280, 3), 90, np.uint8), (1280, 720))
    made.set_next_landmark("neck", "neck", "between the shoulders")
    made.show()
    qtbot.waitExposed(made)
    return made


@pytest.fixture
def drawn(canvas):
    boxes: list = []
    canvas.box_drawn.connect(lambda *box: boxes.append(box))
    return boxes


def at(canvas, x_px, y_px):
    return canvas.view.to_widget(x_px, y_px)


@pytest.mark.parametrize("is_mirrored", [False, True])
def test_one_drag_makes_a_box_from_any_corner(canvas, drawn, is_mirrored):
    canvas.set_mirrored(is_mirrored)
    canvas.pick_box(PROMPT)
    assert canvas.scene.request.name == PROMPT
    drag(canvas, [at(canvas, *place) for place in ((900, 600), (700, 400), (300, 120))])
    assert drawn == [pytest.approx((300, 120, 900, 600), abs=1e-6)]
    assert not canvas.is_picking
    assert canvas.scene.boxes == ()
    assert canvas.scene.request.name == "Next: neck"


def test_what_is_drawn_so_far_is_seen_without_a_loupe(canvas):
    canvas.pick_box(PROMPT)
    move(canvas, at(canvas, 300, 120))
    assert canvas._magnified() is None
    click(canvas, at(canvas, 300, 120))
    assert canvas.scene.request.name == SECOND
    move(canvas, at(canvas, 500, 320))
    assert canvas.scene.boxes[-1][:4] == pytest.approx((300, 120, 500, 320), abs=1e-6)
    canvas.grab()


def test_two_clicks_or_two_keys_make_a_box(canvas, drawn):
    canvas.pick_box(PROMPT)
    click(canvas, at(canvas, 300, 120))
    assert drawn == []
    click(canvas, at(canvas, 900, 600))
    canvas.pick_box(PROMPT)
    for place in ((310, 130), (910, 610)):
        move(canvas, at(canvas, *place))
        tap(canvas, Qt.Key.Key_Return)
    assert drawn == [
        pytest.approx((300, 120, 900, 600), abs=1e-6),
        pytest.approx((310, 130, 910, 610), abs=1e-6),
    ]


def test_a_box_ends_at_the_picture_and_a_trembling_hand_draws_none(canvas, drawn):
    canvas.pick_box(PROMPT)
    drag(canvas, [at(canvas, 300, 120), at(canvas, 302, 122)])
    assert drawn == []
    move(canvas, QPointF(5000, 5000))
    release(canvas, QPointF(5000, 5000))
    click(canvas, at(canvas, 5000, 5000))
    assert drawn == [pytest.approx((300, 120, 1279.5, 719.5), abs=1e-6)]


def test_a_click_takes_one_of_several_people_and_a_drag_still_draws(canvas, drawn):
    canvas.pick_box(PROMPT, PEOPLE)
    assert canvas.scene.boxes == PEOPLE
    click(canvas, at(canvas, 900, 400))
    assert drawn == [PEOPLE[1][:4]]
    canvas.pick_box(PROMPT, PEOPLE)
    drag(canvas, [at(canvas, 850, 250), at(canvas, 900, 300), at(canvas, 980, 580)])
    assert drawn[1] == pytest.approx((850, 250, 980, 580), abs=1e-6)
    canvas.pick_box(PROMPT, PEOPLE)
    move(canvas, at(canvas, 200, 300))
    tap(canvas, Qt.Key.Key_Return)
    assert drawn[2] == PEOPLE[0][:4]


def test_escape_gives_it_up_and_says_so(canvas, drawn):
    given_up: list = []
    canvas.box_given_up.connect(lambda: given_up.append(True))
    canvas.pick_box(PROMPT, PEOPLE)
    tap(canvas, Qt.Key.Key_Escape)
    assert given_up == [True]
    assert (canvas.is_boxing, canvas.scene.boxes) == (False, ())
    # points that are asked for take the box's place
    canvas.pick_box(PROMPT, PEOPLE)
    canvas.pick_points(1, ["a point"])
    assert not canvas.is_boxing
    assert canvas.scene.request.name == "a point"
    assert drawn == []
