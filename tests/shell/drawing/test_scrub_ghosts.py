from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF, QGuiApplication, QImage, QPainter

from deliverylab.shell.drawing import scrub_ghosts
from deliverylab.shell.drawing.scrub_paint import flag_rects, paint_flags
from deliverylab.shell.drawing.scrub_scene import Ghost, ScrubLayout, ScrubRow, ScrubScene
from deliverylab.shell.theme import theme

AXIS = np.arange(240) / 240.0
GHOST = Ghost(place=0.6, low=0.58, high=0.62, text="suggested")


def scene_of(**fields) -> ScrubScene:
    return ScrubScene((ScrubRow("athlete", "Bo", AXIS, AXIS, np.zeros(240), **fields),))


@pytest.fixture
def layout(qapp):
    return ScrubLayout(900.0, 240.0, 0.0, 1.0, 1)


def painted(scene, layout, lit="") -> QImage:
    image = QImage(900, 240, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.black)
    painter = QPainter(image)
    paint_flags(painter, scene, layout, theme().colour, "athlete", lit)
    painter.end()
    return image


def test_the_band_is_as_wide_as_the_margin_and_never_lost(layout):
    band = scrub_ghosts.band_rect(GHOST, layout)
    assert band.left() == pytest.approx(layout.x_of(0.58))
    assert band.right() == pytest.approx(layout.x_of(0.62))
    thin = scrub_ghosts.band_rect(Ghost(0.6, 0.6, 0.6, ""), layout)
    assert thin.width() == pytest.approx(scrub_ghosts.LEAST_BAND)
    at_the_end = scrub_ghosts.band_rect(Ghost(0.0, -0.1, 0.1, ""), layout)
    assert at_the_end.left() == layout.left


def test_ghosts_names_keep_clear_of_flags_names(layout):
    scene = scene_of(marks={"foot_contact": 0.6}, suggested={"foot_plant": GHOST})
    rects = flag_rects(scene, layout, "athlete", QFontMetricsF(QGuiApplication.font()))
    assert set(rects) == {"foot_contact", "foot_plant"}
    assert not rects["foot_contact"].intersects(rects["foot_plant"])


def test_a_ghosts_foot_is_hollow_and_a_flags_is_not(layout):
    x, y = round(layout.x_of(0.6)), round(layout.flags_height - 5.0)
    flag = painted(scene_of(marks={"release": 0.6}), layout)
    ghost = painted(scene_of(suggested={"release": GHOST}), layout)
    assert flag.pixelColor(x, y + 1).lightness() > 100
    assert ghost.pixelColor(x, y).lightness() < 60
    # its rim is drawn
    assert ghost.pixelColor(x, int(layout.flags_height - 6.5)).lightness() > 60


def test_a_doubted_mark_leaves_a_rim_where_it_is_suggested(layout):
    image = QImage(900, 240, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.black)
    painter = QPainter(image)
    scene = scene_of(marks={"release": 0.5}, doubted={"release": GHOST})
    scrub_ghosts.paint_doubts(painter, scene, layout, theme().colour, "athlete")
    painter.end()
    top = int(layout.flags_height - 6.5)
    assert image.pixelColor(round(layout.x_of(0.6)), top).lightness() > 50
    assert image.pixelColor(round(layout.x_of(0.5)), top).lightness() == 0
