from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from deliverylab.shell.drawing.scroll_column import scroll_column


@pytest.mark.parametrize("takes_focus", [False, True])
def test_it_scrolls_up_and_down_only(qtbot, takes_focus):
    area = scroll_column(takes_focus=takes_focus)
    qtbot.addWidget(area)
    label = QLabel("\n".join("a rather long line of words" for _ in range(40)))
    label.setWordWrap(True)
    area.setWidget(label)
    area.resize(120, 80)
    area.show()
    assert area.verticalScrollBar().maximum() > 0
    assert not area.horizontalScrollBar().isVisible()
    assert label.width() == area.viewport().width()
    assert (area.focusPolicy() != Qt.FocusPolicy.NoFocus) is takes_focus
