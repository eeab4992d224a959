from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from deliverylab.core.model.changes import SetDelivery, replace
from deliverylab.core.model.space import SetUpFinding
from deliverylab.shell.panes.cameras import NOT_SOLVED, CamerasPane
from tests.core.workflow.two_phones import solved_two_phones


@pytest.fixture
def show(session, qtbot):
    def put(delivery):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
        session.select("athlete", delivery.name)
        pane = CamerasPane(session, "athlete")
        qtbot.addWidget(pane)
        pane.resize(1060, 640)
        pane.show()
        return pane

    return put


def texts(pane):
    return [label.text() for label in pane.findChildren(QLabel) if not label.isHidden()]


def test_phones_clicks_and_clocks_are_told(show, qtbot):
    pane = show(solved_two_phones().delivery)
    assert "Good" in pane.answer.text
    assert "m away" in pane.plan.accessibleName()
    shown = texts(pane)
    assert "open-side (open side)" in shown
    assert "rear" in shown
    assert shown.count("off square") == 2
    assert shown.count("rubber, front left corner") == 2
    assert shown.count("◆") == 1
    assert any("than open-side." in text for text in shown)
    qtbot.waitUntil(lambda: not pane.curve.isHidden(), timeout=20_000)
    assert pane.curve.pdf.startswith(b"%PDF")
    assert "events marked in both clips" in pane.curve._sheets[0].accessibleDescription()


def test_units_are_the_readers(show, session, qtbot):
    pane = show(solved_two_phones().delivery)
    session.set_unit_system("imperial")
    assert " ft away" in pane.plan.accessibleName()
    qtbot.waitUntil(lambda: any(text.endswith(" in") for text in texts(pane)))


def test_what_is_found_is_said_and_nothing_more_worked_out(show):
    solved = solved_two_phones().delivery
    found = SetUpFinding(
        key="swapped", severity="refused", what="cones are exchanged", where="rear", remedy="click"
    )
    pane = show(replace(solved, space=replace(solved.space, findings=(found,))))
    assert pane.answer.text.startswith("Refused")
    assert "Cones are exchanged" in pane.answer.text
    assert pane.curve.isHidden()


def test_before_a_solve_it_says_what_to_do(show, session, qtbot):
    pane = show(replace(solved_two_phones().delivery, space=None))
    assert NOT_SOLVED in pane.answer.text
    with qtbot.waitSignal(pane.field_wanted):
        qtbot.mouseClick(pane.field, Qt.MouseButton.LeftButton)
    with qtbot.waitSignal(pane.closed):
        session.remove_delivery(session.state("athlete").delivery)


def test_at_its_least_width_nothing_is_cut_off(show, qtbot):
    pane = show(solved_two_phones().delivery)
    qtbot.waitUntil(lambda: not pane.curve.isHidden(), timeout=20_000)
    area = pane._area
    assert area.widget().minimumSizeHint().width() <= area.viewport().width()
