from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.shell.widgets.step_row import StepRow


def test_each_state_has_its_own_shape_and_word(qtbot):
    row = StepRow("scale", "Scale")
    qtbot.addWidget(row)
    pictures, said = [], []
    for state in ("done", "next", "missing"):
        row.show_state(state, "two points")
        pictures.append(row._shape.pixmap().toImage())
        said.append(row.accessibleName())
    assert row.detail == "two points"
    assert pictures[0] != pictures[1] != pictures[2] != pictures[0]
    assert said == [
        "Scale: done. two points",
        "Scale: next. two points",
        "Scale: not yet. two points",
    ]


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Space])
def test_it_is_pressed_by_mouse_and_key(qtbot, key):
    row = StepRow("scale", "Scale")
    qtbot.addWidget(row)
    row.show()
    for press in (
        lambda: qtbot.mouseClick(row, Qt.MouseButton.LeftButton),
        lambda: qtbot.keyClick(row, key),
    ):
        with qtbot.waitSignal(row.pressed) as blocker:
            press()
        assert blocker.args == ["scale"]


def test_its_words_are_whole_in_a_column_that_is_full(qtbot):
    row = StepRow("cameras", "Cameras")
    qtbot.addWidget(row)
    row.resize(150, 30)
    row.show()
    row.show_state("next", "a long sentence about what is still to be done in either of two clips")
    needed = row.layout().heightForWidth(row.width())
    assert row.minimumHeight() >= needed > 60
    row.show_state("done", "solved")
    assert row.minimumHeight() < needed
