from __future__ import annotations

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage

from deliverylab.core.metrics.spec import Contribution
from deliverylab.shell.widgets.reading_row import ReadingRow, Rule
from tests.shell.test_value_text import difference_of, result_of

RESULT = result_of(
    definition="height of the hand at release",
    view="open-side",
    budget=(Contribution("placing", 0.015), Contribution("scale", 0.01)),
    cautions=("the camera was near",),
)


def _image(widget) -> QImage:
    return widget.grab().toImage()


def test_a_row_says_all_of_it_to_a_screen_reader(qtbot):
    row = ReadingRow(RESULT)
    qtbot.addWidget(row)
    row.show_result(RESULT, difference_of(), "metric")
    said = row._face.accessibleName()
    assert "0.50 ± 0.04 m" in said
    assert "difference +0.30 ± 0.10 m, higher" in said


def test_the_verdict_is_seen(qtbot):
    row = ReadingRow(RESULT)
    qtbot.addWidget(row)
    row.resize(300, 60)
    row.show()
    pictures = []
    for difference in (
        None,
        difference_of(),
        difference_of(-0.3, words="lower"),
        difference_of(verdict="within_error", words=""),
        difference_of(None, None, "not_comparable", ""),
    ):
        row.show_result(RESULT, difference, "metric")
        pictures.append(_image(row))
    for number, picture in enumerate(pictures):
        assert all(picture != other for other in pictures[number + 1 :])


def test_it_unfolds_by_click_and_by_key(qtbot):
    row = ReadingRow(RESULT, "how high")
    qtbot.addWidget(row)
    row.show_result(RESULT, None, "metric")
    row.show()
    qtbot.mouseClick(row._face, Qt.MouseButton.LeftButton)
    assert row.is_open
    qtbot.keyClick(row._face, Qt.Key.Key_Return)
    assert not row.is_open
    row.toggle()
    row.show_result(result_of(0.9, definition="another"), None, "imperial")
    assert "another" in row._detail.about.text()
    with qtbot.waitSignal(row.instant_wanted) as blocker:
        row._detail.after.linkActivated.emit("event")
    assert blocker.args == ["release"]


def test_a_hairline_is_painted(qtbot):
    rule = Rule()
    qtbot.addWidget(rule)
    rule.resize(60, 1)
    image = _image(rule)
    assert image.pixelColor(30, 0) != image.pixelColor(2, 0)


def test_what_is_estimated_says_so_in_sign_word_and_ink(qtbot):
    row = ReadingRow(RESULT)
    qtbot.addWidget(row)
    row.resize(300, 60)
    row.show()
    row.show_result(RESULT, None, "metric")
    measured = _image(row)
    estimated = msgspec.structs.replace(RESULT, status="estimated")
    row.show_result(estimated, None, "metric")
    assert "± 0.04 m, estimated" in row._face.accessibleName()
    assert _image(row) != measured
