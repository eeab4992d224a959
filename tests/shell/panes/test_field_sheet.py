from __future__ import annotations

import pytest

from deliverylab.core.model.changes import SetDelivery
from deliverylab.shell.panes.field_sheet import FieldSheetPane
from tests.shell.conftest import delivery_of


@pytest.fixture
def pane(session, qtbot):
    session.project.apply(SetDelivery(name="Kim 1", delivery=delivery_of("Kim 1", hand="left")))
    session.select("athlete", "Kim 1")
    made = FieldSheetPane(session, "letter")
    qtbot.addWidget(made)
    return made


def test_it_begins_with_the_delivery_and_follows_what_is_chosen(pane, qtbot):
    assert pane.hand.currentData() == "left"
    assert pane.paper.currentData() == "letter"
    first = pane.sheet.pdf
    assert first.startswith(b"%PDF")
    pane.chooser.setCurrentIndex(pane.chooser.findData("softball-43"))
    pane.chooser.activated.emit(pane.chooser.currentIndex())
    second = pane.sheet.pdf
    assert second != first
    pane.side_m.setText("9 m")
    pane.side_m.editingFinished.emit()
    assert pane.sheet.pdf != second
    with qtbot.waitSignal(pane.paper_chosen, check_params_cb=lambda paper: paper == "a4"):
        pane.paper.setCurrentIndex(0)
        pane.paper.activated.emit(0)


def test_a_distance_that_cannot_be_is_said(pane):
    pane.rear_m.setText("40 m")
    pane.rear_m.editingFinished.emit()
    assert pane.problem.text()
    assert pane.sheet.pdf == b""
    pane.rear_m.setText("6 m")
    pane.rear_m.editingFinished.emit()
    assert pane.sheet.pdf.startswith(b"%PDF")


def test_it_is_saved_as_it_is_seen(pane, tmp_path, qtbot):
    with qtbot.waitSignal(pane.saved):
        pane.save(tmp_path / "sheet.pdf")
    assert (tmp_path / "sheet.pdf").read_bytes() == pane.sheet.pdf
