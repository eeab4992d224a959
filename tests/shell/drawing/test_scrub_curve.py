from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtGui import QColor, QImage, QPainter

from deliverylab.shell.drawing.scrub_curve import (
    curve_polygons,
    curve_scale,
    nice_levels,
    paint_no_values,
)
from deliverylab.shell.drawing.scrub_scene import ScrubCurve, ScrubLayout, ScrubScene

LAYOUT = ScrubLayout(900.0, 240.0, 0.0, 1.0, 1)


def curve_of(values, u=1.0, side="athlete") -> ScrubCurve:
    values = np.asarray(values, dtype=float)
    return ScrubCurve(side, np.linspace(0.0, 1.0, len(values)), values, np.full(len(values), u))


def test_the_models_band_has_room_where_all_bands_are_wanted():
    curve = curve_of([0.0, 10.0], u=3.0, side="model")
    narrow = curve_scale(ScrubScene(curves=(curve,)), LAYOUT)
    wide = curve_scale(ScrubScene(curves=(curve,), has_all_bands=True), LAYOUT)
    # ±2u beyond the values, and 6 % of everything as room
    assert narrow == pytest.approx((-0.6, 10.6))
    assert wide == pytest.approx((-6.0 - 0.06 * 22.0, 16.0 + 0.06 * 22.0))


def test_a_gap_breaks_the_line():
    values = np.sin(np.linspace(0.0, 6.0, 100))
    values[40:45] = np.nan
    stretches = curve_polygons(curve_of(values), LAYOUT, (-2.0, 2.0))
    assert [line.count() for line, _ in stretches] == [40, 55]


def test_the_band_is_the_expanded_uncertainty_on_both_sides():
    ((line, band),) = curve_polygons(curve_of(np.zeros(50), u=0.5), LAYOUT, (-2.0, 2.0))
    rect = LAYOUT.curve_rect
    assert line.boundingRect().height() == 0.0
    # ±2u of four units' height
    assert band.boundingRect().height() == pytest.approx(rect.height() * 2.0 / 4.0)
    assert band.boundingRect().center().y() == pytest.approx(line.first().y())


def test_the_scale_holds_line_and_band_and_both_deliveries():
    scene = ScrubScene(curves=(curve_of([0.0, 10.0], u=2.0), curve_of([-3.0, 4.0], side="model")))
    low, high = curve_scale(scene, LAYOUT)
    assert low < -4.0
    assert high > 14.0


def test_there_is_no_scale_where_nothing_is_measured():
    assert curve_scale(ScrubScene(), LAYOUT) is None
    assert curve_scale(ScrubScene(curves=(curve_of([np.nan, np.nan]),)), LAYOUT) is None


def test_between_places_the_value_is_interpolated_and_none_in_a_gap():
    curve = curve_of([0.0, 2.0, np.nan, 4.0, 5.0], u=0.5)
    assert curve.at(0.125) == pytest.approx((1.0, 0.5))
    assert np.isnan(curve.at(0.4)[0])
    assert np.isnan(curve.at(1.2)[0])


@given(low=st.floats(-500.0, 500.0), width=st.floats(0.02, 900.0))
def test_levels_are_few_and_inside(low, width):
    level, step = nice_levels(low, low + width)
    n_levels = int(np.floor((low + width - level) / step + 1e-9)) + 1
    assert level >= low - 1e-6
    assert 1 <= n_levels <= 4


def test_words_stand_clear_of_the_lines_that_cross_them(qapp):
    image = QImage(900, 240, QImage.Format.Format_RGB32)
    image.fill(QColor("red"))  # as if lines were everywhere
    colours = {"pane": QColor("black"), "faint": QColor("white")}

    def painted(scene, layout=LAYOUT):
        painter = QPainter(image)
        place = paint_no_values(painter, scene, layout, colours.__getitem__)
        painter.end()
        return place

    assert painted(ScrubScene()).isNull()
    assert painted(ScrubScene(curve_name="Tilt", curves=(curve_of([0.0, 1.0]),))).isNull()
    plate = painted(ScrubScene(curve_name="Tilt")).toRect().adjusted(1, 1, -1, -1)
    assert LAYOUT.curve_rect.contains(plate.toRectF())
    inks = {
        image.pixelColor(x, y).name()
        for x in range(plate.left(), plate.right())
        for y in range(plate.top(), plate.bottom())
    }
    assert "#ff0000" not in inks
    assert "#ffffff" in inks
    narrow = ScrubLayout(400.0, 240.0, 0.0, 1.0, 1)
    short = painted(ScrubScene(curve_name="Tilt"), narrow)
    assert 0.0 < short.width() <= narrow.curve_rect.width(), "said in fewer words, not cut off"
    why = painted(ScrubScene(curve_name="Tilt", reason="too few frames a second: film at 240"))
    assert why.width() != painted(ScrubScene(curve_name="Tilt")).width()
