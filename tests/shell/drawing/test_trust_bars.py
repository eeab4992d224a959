from __future__ import annotations

from PySide6.QtGui import QFont, QFontMetricsF

from deliverylab.shell.drawing.trust_bars import TrustBar, TrustHead, columns, numbers
from tests.shell.drawing.expected import expected


def _image(bar, one):
    bar.show_expectation(one, "metric")
    return bar.grab().toImage()


def test_columns_follow_each_other_inside_the_width(qapp):
    places = columns(700.0, QFontMetricsF(QFont()))
    assert len(places) == 5
    ends = [left + width for left, width in places]
    assert all(end <= left for end, (left, _) in zip(ends, places[1:], strict=False))
    assert ends[-1] <= 700.0


def test_numbers_are_one_decimal_finer_in_the_readers_units():
    assert numbers(expected(), "metric") == ("1.0", "3.0°")
    length = expected(error=0.0254, margin=0.0508, unit="m", decimals=2)
    assert numbers(length, "metric") == ("0.025", "0.051 m")
    assert numbers(length, "imperial")[1].endswith(" in")


def test_a_wider_margin_is_a_longer_bar_and_an_error_lies_in_it(qtbot):
    bar = TrustBar()
    qtbot.addWidget(bar)
    bar.resize(700, bar.sizeHint().height())
    bar.show()
    sure, unsure = _image(bar, expected(margin=2.0)), _image(bar, expected(margin=10.0))
    left, width = columns(700.0, QFontMetricsF(bar._type))[1]
    middle = bar.height() // 2
    x = round(left + 0.5 * width)
    assert sure.pixelColor(x, middle) != unsure.pixelColor(x, middle)
    far_off = _image(bar, expected(error=8.0, margin=10.0))
    assert far_off.pixelColor(x, middle) != unsure.pixelColor(x, middle)
    bar.set_stale(True)
    assert bar.grab().toImage() != far_off


def test_what_is_not_always_shown_says_how_often(qtbot):
    bar = TrustBar()
    qtbot.addWidget(bar)
    bar.show_expectation(expected(n_shown=7), "metric")
    assert "shown in 7 of 10; else: not seen from there; film from elsewhere" in bar.toolTip()
    assert "useful up to ± 12°" in bar.toolTip()
    assert bar.accessibleName() == "Stride at release: expected error 1.0, ± 3.0°"


def test_the_head_names_the_columns(qtbot):
    head = TrustHead()
    qtbot.addWidget(head)
    head.resize(700, head.sizeHint().height())
    blank = head.grab().toImage()
    assert len({blank.pixelColor(x, y).rgba() for x in range(700) for y in range(0, 20, 3)}) > 1
