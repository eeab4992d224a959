from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListWidget, QListWidgetItem

from deliverylab.shell.drawing.two_lines import TwoLines


@pytest.fixture
def shown(qtbot):
    made = QListWidget()
    made.setItemDelegate(TwoLines(made))
    qtbot.addWidget(made)
    made.resize(240, 300)
    made.addItem("Stride\nlonger by 5 %")
    made.addItem("Stride")
    head = QListWidgetItem("Changed")
    head.setFlags(Qt.ItemFlag.NoItemFlags)
    made.addItem(head)
    made.show()
    return made


def _picture(shown, row):
    image = shown.viewport().grab(shown.visualItemRect(shown.item(row))).toImage()
    return np.frombuffer(image.constBits(), np.uint8).copy()


def test_two_lines_are_higher_than_one(shown):
    heights = [shown.visualItemRect(shown.item(row)).height() for row in range(3)]
    assert heights[0] > heights[1] + 8
    assert heights[1] == heights[2]


def test_what_is_chosen_looks_so_and_a_head_cannot_be(shown):
    before = _picture(shown, 1)
    shown.setCurrentRow(1)
    assert not np.array_equal(_picture(shown, 1), before)
    head = _picture(shown, 2)
    shown.setCurrentRow(2)
    assert np.array_equal(_picture(shown, 2), head)


def test_a_line_too_long_is_shortened(shown):
    shown.item(1).setText("W" * 90)
    assert shown.visualItemRect(shown.item(1)).width() <= 240
    assert _picture(shown, 1).size
