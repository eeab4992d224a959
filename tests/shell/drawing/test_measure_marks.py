"""Where measurements and their words lie on the screen."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QImage, QPainter

from deliverylab.core.metrics.figure_marks import ArcMark, LineMark, RulerMark
from deliverylab.core.model.scale import Point
from deliverylab.shell.drawing import measure_marks
from deliverylab.shell.drawing.measure_marks import MeasureMarks, paint_measures
from deliverylab.shell.drawing.view_transform import ViewTransform


def said(text="47° ± 4", **fields):
    return {
        "metric": "m",
        "event": "release",
        "name": "n",
        "text": text,
        "is_in_space": False,
    } | fields


def arc(corner=(900, 500), text="47° ± 4", **fields):
    x, y = corner
    return ArcMark(
        **said(text, **fields),
        corner=Point(x, y),
        reference=Point(x + 40, y + 200),
        arm=Point(x - 60, y + 200),
    )


RULER = RulerMark(
    **said("1.52 ± 0.01 m"),
    start=Point(600, 900),
    end=Point(1300, 900),
    ticks=(Point(800, 900), Point(1000, 900)),
    feet=((Point(600, 860), Point(600, 900)),),
)
LINE = LineMark(**said("22° ± 4"), start=Point(800, 400), end=Point(1000, 420))
VIEW = ViewTransform(width=960.0, height=540.0).fitted()


def laid_out(marks, body=(), view=VIEW, tag=None):
    image = QImage(16, 16, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    metrics = QFontMetricsF(painter.font())
    places = [view.to_widget(*place) for place in body]
    measured = MeasureMarks(marks=marks, body=body)
    found = measure_marks._laid_out(measured, places, view, metrics, tag or QRectF())
    painter.end()
    return found


def painted(measured, view=VIEW):
    image = QImage(round(view.width), round(view.height), QImage.Format.Format_RGB32)
    image.fill(0)
    painter = QPainter(image)
    paint_measures(painter, measured, view)
    painter.end()
    return image


@pytest.mark.parametrize("mark", [arc(), RULER, LINE, arc(is_true=False)])
def test_every_kind_leaves_ink(qapp, mark):
    blank = QImage(960, 540, QImage.Format.Format_RGB32)
    blank.fill(0)
    assert painted(MeasureMarks(marks=(mark,))) != blank


def test_an_arc_is_drawn_about_its_corner_and_small_angles_are_drawn_larger(qapp):
    ((drawn, _, _),) = laid_out((arc(),))
    corner = VIEW.to_widget(900, 500)
    (line,) = drawn.solid
    reach = [math.hypot(p.x() - corner.x(), p.y() - corner.y()) for p in line]
    assert reach == pytest.approx([measure_marks.ARC_RADIUS] * len(reach))
    small = ArcMark(
        **said(), corner=Point(900, 500), reference=Point(900, 100), arm=Point(930, 100)
    )
    ((drawn, _, _),) = laid_out((small,))
    place = drawn.solid[0].first() - corner
    assert math.hypot(place.x(), place.y()) > 2.0 * measure_marks.ARC_RADIUS


def test_what_the_picture_does_not_show_is_words_with_a_line_to_their_place(qapp):
    ((drawn, plate, text),) = laid_out((arc(text="17° ± 1 in space", is_true=False),))
    assert drawn.solid == []
    (leader,) = drawn.dashed
    assert leader.p1() == VIEW.to_widget(900, 500)
    assert leader.p2() == plate.center()
    assert text == "17° ± 1 in space"


def test_a_ruler_has_its_ends_its_ticks_and_its_feet(qapp):
    ((drawn, plate, _),) = laid_out((RULER,))
    assert len(drawn.solid) == 1 + 2 + 2
    assert len(drawn.dashed) == 1
    assert plate.top() > VIEW.to_widget(600, 900).y(), "words of a level ruler stand below it"


def test_words_cover_neither_each_other_nor_the_body(qapp):
    marks = tuple(arc((900 + 12 * n, 500 + 9 * n), text=f"{n}° ± 4") for n in range(4))
    body = tuple((900.0 + 30 * n, 560.0) for n in range(8))
    laid = laid_out(marks, body)
    plates = [plate for _, plate, _ in laid]
    assert len(plates) == 4
    assert not any(a.intersects(b) for a in plates for b in plates if a is not b)
    covered = sum(plate.contains(VIEW.to_widget(*place)) for plate in plates for place in body)
    assert covered <= 1


def test_words_never_stand_under_the_events_name(qapp):
    ((_, plate, _),) = laid_out((arc(),))
    ((_, moved, _),) = laid_out((arc(),), tag=plate)
    assert not moved.intersects(plate)


def test_a_mark_between_two_events_is_drawn_under_the_name_of_either(qapp):
    stride = replace(RULER, event="")
    measured = MeasureMarks(marks=(stride,), event="foot_contact")
    assert painted(measured) == painted(MeasureMarks(marks=(stride,)))


def test_what_has_no_room_is_left_out_the_untrue_first(qapp):
    cramped = ViewTransform(width=150.0, height=60.0).fitted()
    marks = (arc(text="17° ± 1 in space", is_true=False), arc(), LINE, RULER, arc((910, 520)))
    laid = laid_out(marks, view=cramped)
    assert 0 < len(laid) < len(marks)
    assert "17° ± 1 in space" not in [text for _, _, text in laid]
    plates = [plate for _, plate, _ in laid]
    assert all(cramped.area.contains(plate) for plate in plates)


def test_marks_out_of_sight_have_no_words(qapp):
    away = VIEW.zoomed(20.0, QPointF(5.0, 5.0))
    assert laid_out((arc(), RULER), view=away) == []


def test_a_mirrored_picture_turns_the_marks_and_not_the_words(qapp):
    mirrored = ViewTransform(width=960.0, height=540.0, is_mirrored=True).fitted()
    ((plain, _, text),), ((turned, _, same),) = (
        laid_out((arc(),)),
        laid_out((arc(),), view=mirrored),
    )
    for a, b in zip(plain.solid[0], turned.solid[0], strict=True):
        assert b.x() == pytest.approx(960.0 - a.x())
        assert b.y() == pytest.approx(a.y())
    assert text == same


def test_beside_the_events_own_frame_they_are_paler(qapp):
    here, near = (
        painted(MeasureMarks(marks=(RULER,), is_own_frame=is_own)) for is_own in (True, False)
    )
    brightest = [
        max(image.pixelColor(x, y).lightness() for x in range(280, 680) for y in range(430, 470))
        for image in (here, near)
    ]
    assert brightest[1] < brightest[0] - 20
