from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from deliverylab.core.report.charts import (
    draw_chart,
    draw_whisker,
    nice_ticks,
    stretches,
    value_range,
)
from deliverylab.core.report.courses import Chart, Series
from deliverylab.core.report.raster import render_png
from deliverylab.core.report.sketch import Cell

NAN = np.nan


def _series(value, u=1.0):
    value = np.asarray(value, dtype=float)
    phase = np.linspace(0.0, 200.0, len(value))
    return Series(phase=phase, value=value, expanded_u=np.full(len(value), u))


def _chart(a, b, symbol="°"):
    return Chart(title="t", symbol=symbol, athlete=_series(a), model=_series(b))


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4))
def test_ticks_are_few_round_and_inside(low, span):
    ticks = nice_ticks(low, low + span)
    assert 1 <= len(ticks) <= 4
    assert all(low - 1e-6 * span <= tick <= low + span * (1 + 1e-6) for tick in ticks)


def test_ticks_of_a_known_range():
    assert nice_ticks(-4.0, 34.0) == [0.0, 10.0, 20.0, 30.0]
    assert nice_ticks(0.13, 0.52) == pytest.approx([0.2, 0.3, 0.4, 0.5])


def test_the_range_holds_the_bands():
    low, high = value_range(_chart([0.0, 10.0], [5.0, NAN]))
    assert low < -1.0
    assert high > 11.0
    assert value_range(_chart([NAN, NAN], [NAN, NAN])) == (0.0, 1.0)


def test_gaps_split_a_series():
    parts = stretches(_series([1.0, 2.0, NAN, 3.0, NAN, 4.0]))
    assert [(part.start, part.stop) for part in parts] == [(0, 2), (3, 4), (5, 6)]
    assert stretches(_series([NAN])) == []


def test_a_chart_says_its_events_scale_and_names_within_its_cell(canvas, text_boxes):
    cell = Cell(100.0, 500.0, 250.0, 120.0)
    chart = _chart(np.linspace(0, 30, 20), [*np.linspace(5, 20, 9), NAN, 20.0])
    draw_chart(canvas, chart, cell, ("Noor V.", "a model delivery with a long name " * 3))
    boxes = text_boxes(canvas.finish())
    said = " ".join(box.text for box in boxes)
    for word in ("leg lift", "foot contact", "release", "30°", "0°", "Noor V."):
        assert word in said
    assert min(box.left for box in boxes) >= 100.0 - 0.5
    assert max(box.right for box in boxes) <= 350.0 + 0.5
    assert min(box.bottom for box in boxes) >= 500.0
    assert max(box.top for box in boxes) <= 620.0


def test_both_curves_are_seen(canvas):
    chart = _chart(np.full(20, 10.0), np.full(20, 20.0))
    draw_chart(canvas, chart, Cell(100.0, 500.0, 250.0, 120.0), ("a", "b"))
    picture = render_png(canvas.finish(), dpi=144.0).astype(int)
    column = picture[2 * (842 - 604) : 2 * (842 - 514), 2 * 180]
    darkest = column.sum(axis=1).min()
    assert darkest < 250
    assert any(rgb[2] - rgb[1] > 40 for rgb in column)  # lilac somewhere


@pytest.mark.parametrize(("ratio", "margin", "is_crossing"), [(0.7, 0.3, False), (0.2, 0.8, True)])
def test_the_whisker_crosses_zero_only_within_error(canvas, ratio, margin, is_crossing):
    cell = Cell(100.0, 500.0, 100.0, 10.0)
    draw_whisker(canvas, ratio, margin, cell)
    picture = render_png(canvas.finish(), dpi=720.0)
    row = picture[round((842.0 - 505.0) * 10), 1000:2000].astype(int).sum(axis=1)
    is_dark = row < 200
    # just left of zero
    assert bool(is_dark[440:480].any()) == is_crossing
    assert is_dark[990]
