from __future__ import annotations

import io

import numpy as np
import pytest
from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.compare.course import Target
from deliverylab.core.report.course_plot import _places, draw_course
from deliverylab.core.report.raster import render_png
from deliverylab.core.report.sketch import Cell
from tests.core.report.courses_drawn import course, visit

CELL = Cell(20.0, 20.0, 300.0, 180.0)


def _drawn(one):
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=(340.0, 220.0), invariant=True)
    draw_course(canvas, one, CELL, "metric")
    canvas.showPage()
    canvas.save()
    return render_png(target.getvalue(), dpi=144.0).astype(int)


def _means(picture):
    """Return where the squares of means are, px from the left and the top."""
    red, blue = picture[..., 0], picture[..., 2]
    rows, columns = np.nonzero((red > 150) & (red - blue > 120))
    ends = np.flatnonzero(np.diff(np.unique(columns)) > 3)
    parts = np.split(np.unique(columns), ends + 1)
    return [(part.mean(), rows[np.isin(columns, part)].mean()) for part in parts]


def test_a_larger_value_stands_higher_and_a_later_visit_further_right():
    (x0, y0), (x1, y1) = _means(_drawn(course(d=6.0)))
    assert x1 > x0 + 100
    assert y1 < y0 - 50
    (_, y0), (_, y1) = _means(_drawn(course(d=-6.0)))
    assert y1 > y0 + 50


def test_the_band_in_which_nothing_can_be_told_is_shaded():
    def is_shaded(picture):
        red, green, blue = (picture[..., k] for k in range(3))
        return np.count_nonzero((blue - green > 6) & (blue - red > 3))

    # the edges of letters are of such colours too
    assert is_shaded(_drawn(course())) > 5 * is_shaded(_drawn(course(detectable=None)))


def test_the_target_is_a_line_of_its_own():
    def n_teal(picture):
        red, green = picture[..., 0], picture[..., 1]
        return np.count_nonzero((green - red > 70) & (green > 100))

    assert n_teal(_drawn(course())) == 0
    wanted = Target(48.0, "more", "2026-03-01", "not reached")
    assert n_teal(_drawn(course(target=wanted))) > 100


def test_visits_stand_by_their_days_and_never_on_one_another():
    days = ["2026-01-01", "2026-01-02", "2026-12-31"]
    xs = _places([visit(day, 40.0) for day in days], CELL)
    assert xs == sorted(xs)
    assert xs[1] - xs[0] >= 0.1 * CELL.width
    assert xs[2] - xs[1] > 3 * (xs[1] - xs[0])
    assert _places([visit("2026-01-01", 40.0)], CELL) == [pytest.approx(170.0)]
    many = _places([visit(f"2026-01-{day:02d}", 40.0) for day in range(1, 21)], CELL)
    assert np.all(np.diff(many) > 5.0)
    assert CELL.left < many[0] < many[-1] < CELL.left + CELL.width


def test_a_course_without_any_scatter_can_be_drawn():
    flat = course(d=0.0, visits=(visit("2026-03-01", 40.0, 1), visit("2026-04-01", 40.0, 1)))
    assert len(_means(_drawn(flat))) == 2
