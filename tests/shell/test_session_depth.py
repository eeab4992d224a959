from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.shell.panes.readings import ReadingsPane
from deliverylab.shell.session import Session
from tests.core.metrics.test_lifted_results import filmed, told

FOUND = ("elbow_flexion", "foot_contact")


@pytest.fixture(scope="module")
def thrown():
    delivery, _ = filmed(build_delivery(DeliverySpec(), 240))
    return delivery


@pytest.fixture
def session(thrown, qapp):
    made = Session()
    bare = told(thrown, {})
    made.project.apply(SetDelivery(name=bare.name, delivery=bare))
    made.select("athlete", bare.name)
    return made


def result(session):
    return next(r for r in session.results("athlete") if (r.metric, r.event) == FOUND)


def test_two_clicks_give_an_estimate_and_undo_takes_it_back(session, thrown, qtbot):
    pane = ReadingsPane(session)
    qtbot.addWidget(pane)
    pane.show()
    pane.resize(340, 900)
    qtbot.waitExposed(pane)
    pane.refresh()
    qtbot.wait(20)
    asked = session.depth_questions("athlete")
    assert [(one.event, one.limb_name) for one in asked] == [
        ("foot_contact", "upper arm"), ("foot_contact", "forearm"),
        ("release", "upper arm"), ("release", "forearm"),
    ]  # fmt: skip
    for limb, choice in thrown.cameras[0].depth_choices["foot_contact"].items():
        button = pane.depths.buttons["foot_contact", limb, choice]
        with qtbot.waitSignal(session.results_updated):
            qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
        assert button.isChecked()
    assert result(session).status == "estimated"
    assert session.event_at_frame("athlete") == "foot_contact"
    face = pane.rows[FOUND]._face
    assert face.is_estimated
    assert "estimated" in face.margin
    session.undo_stack.undo()
    assert result(session).status == "not_shown"
    session.undo_stack.undo()
    assert session.camera("athlete").depth_choices == {}


def test_an_empty_stage_asks_nothing(session):
    assert session.depth_questions("model") == ()
