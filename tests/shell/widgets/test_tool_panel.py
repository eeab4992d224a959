from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication

from deliverylab.core.errors import InputValueError
from deliverylab.shell.drawing.text_label import text_label
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.widgets.tool_panel import ToolPanel, Working


@pytest.fixture
def panel(qtbot):
    made = ToolPanel("Ball", "athlete")
    qtbot.addWidget(made)
    made.column.addWidget(made.problem)
    made.column.addWidget(made.working)
    made.show()
    return made


def test_nothing_is_a_window_of_its_own_while_it_is_made(qapp):
    shown = {one for one in QApplication.topLevelWidgets() if one.isVisible()}
    label, verdict = text_label("Said"), Verdict()
    assert {one for one in QApplication.topLevelWidgets() if one.isVisible()} == shown
    label.deleteLater()
    verdict.deleteLater()


def test_a_verdict_says_what_came_out_and_offers_at_most_one_thing(qtbot):
    verdict = Verdict()
    qtbot.addWidget(verdict)
    assert verdict.text == ""
    verdict.say("Found.", "In 8 frames.", "good", "Undo")
    assert verdict.text == "Found. In 8 frames."
    with qtbot.waitSignal(verdict.action_chosen):
        verdict.button.click()
    verdict.say("")
    assert verdict.isHidden()


def test_what_fails_is_said_and_a_fault_of_the_program_is_not_swallowed(panel):
    panel.show_problem(InputValueError("no scale", remedy="set the scale first"))
    assert panel.problem.text() == "No scale. Set the scale first."
    with pytest.raises(ZeroDivisionError):
        panel.show_problem(ZeroDivisionError())


def test_work_goes_on_beside_the_window_and_can_be_stopped(qtbot):
    working = Working()
    qtbot.addWidget(working)
    done = []
    working.do(lambda report: report(0.5) or 7, done.append, done.append)
    assert working.isVisible() or not working.is_busy
    qtbot.waitUntil(lambda: not working.is_busy)
    assert done == [7]
    assert working.isHidden()

    def endless(report):
        while True:
            report(0.1)

    working.do(endless, done.append, done.append)
    working.do(lambda _report: 8, done.append, done.append)
    working.stop.click()
    qtbot.waitUntil(lambda: not working.is_busy)
    assert done == [7]


def test_it_is_left_by_its_cross_and_by_done(panel, qtbot):
    for button in (panel._close, panel.done):
        with qtbot.waitSignal(panel.closed):
            button.click()
