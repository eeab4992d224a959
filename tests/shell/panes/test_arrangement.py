from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction

from deliverylab.shell.panes.arrangement import ArrangementPane


@pytest.fixture
def line(placed_pair, qtbot):
    actions = []
    for text in ("Over", "Skeletons"):
        action = QAction(text)
        action.setCheckable(True)
        actions.append(action)
    made = ArrangementPane(placed_pair, actions)
    made.kept = actions
    qtbot.addWidget(made)
    made.resize(900, 32)
    made.show()
    return made


def test_it_says_what_is_laid_over_what(line, placed_pair):
    assert line.note == ""
    placed_pair.go_to_event("foot_contact")
    placed_pair.lay_over(True)
    assert line.note == "Dashed: Kim model, brought to one height, with the pelvis in common"
    placed_pair.set_anchor("foot")
    assert line.note.endswith("with the rubber, or the foot on it, in common")
    placed_pair.set_scale("model", None)
    placed_pair.lay_over(True)
    assert line.note.startswith("Kim model cannot be laid over: that takes a scale in both clips")


def test_a_button_goes_with_its_action_and_has_words_where_there_is_room(line):
    style = Qt.ToolButtonStyle
    assert {one.toolButtonStyle() for one in line.buttons} == {style.ToolButtonTextBesideIcon}
    line.resize(100, 32)
    assert {one.toolButtonStyle() for one in line.buttons} == {style.ToolButtonIconOnly}
    line.kept[0].setVisible(False)
    assert line.buttons[0].isHidden()
    assert not line.buttons[1].isHidden()
