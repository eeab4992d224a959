"""The picture of the clip in its place."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.shell.widgets.walk_picture import TALLEST, WalkPicture
from tests.shell.gestures import click, tap


def picture(width=320, height=180):
    made = np.zeros((height, width, 3), np.uint8)
    made[:, : width // 2] = (200, 30, 30)
    made[:, width // 2 :] = (30, 30, 200)
    return made


@pytest.fixture
def shown(qtbot):
    made = WalkPicture()
    qtbot.addWidget(made)
    made.resize(320, 180)
    made.show()
    qtbot.waitExposed(made)
    return made


def test_words_stand_where_there_is_no_picture(shown):
    assert not shown.has_picture
    shown.show_picture(picture())
    assert shown.has_picture
    shown.say("No stop yet.")
    assert not shown.has_picture


def test_the_picture_fills_its_place_in_its_own_shape(shown):
    shown.show_picture(picture())
    seen = shown.grab().toImage()
    assert seen.pixelColor(80, 90).red() > 150
    assert seen.pixelColor(240, 90).blue() > 150
    assert shown.heightForWidth(320) == 180
    shown.show_picture(picture(180, 320))
    assert shown.heightForWidth(320) == round(TALLEST * 320)
    seen = shown.grab().toImage()
    assert seen.pixelColor(20, 90) == shown.palette().window().color()
    assert seen.pixelColor(150, 90).red() > 150


@pytest.mark.parametrize("how", ["click", "key"])
def test_it_can_be_pressed_to_see_it_large(shown, qtbot, how):
    with qtbot.waitSignal(shown.pressed):
        if how == "click":
            click(shown, QPointF(100, 90))
        else:
            tap(shown, Qt.Key.Key_Return)
