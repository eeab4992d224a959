from __future__ import annotations

import msgspec
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QToolButton

from deliverylab.core.model.changes import SetDelivery
from deliverylab.shell.panes.space import SpacePane
from deliverylab.shell.space_watch import SpaceWatch
from tests.shell.filmed_twice import filmed_twice
from tests.shell.gestures import drag, tap

__all__ = ["filmed_twice"]


@pytest.fixture
def opened(qtbot):
    """A function that shows the pane over a session."""

    def open_on(session):
        pane = SpacePane(session, SpaceWatch(session))
        qtbot.addWidget(pane)
        pane.resize(300, 420)
        pane.show()
        return pane

    return open_on


@pytest.fixture
def pane(opened, filmed_twice, qtbot):
    made = opened(filmed_twice)
    qtbot.waitUntil(lambda: made.canvas.scene.athlete is not None, timeout=10_000)
    return made


def _button(pane, name):
    return next(one for one in pane.findChildren(QToolButton) if one.accessibleName() == name)


def test_the_figure_follows_the_frame(pane, filmed_twice):
    filmed_twice.go_to_event("foot_contact")
    contact = pane.canvas.scene
    filmed_twice.go_to_event("release")
    release = pane.canvas.scene
    assert (contact.athlete.points_m != release.athlete.points_m).any()
    assert (contact.model.points_m != release.model.points_m).any()
    assert pane.words == "thin: Bo model, same phase and height"


def test_limbs_and_how_even_they_are_stand_below(pane, qtbot):
    qtbot.waitUntil(lambda: len(pane.limbs.splitlines()) == 9, timeout=10_000)
    assert pane.limbs.startswith("Lengths over the throw, and how they spread:")


def test_it_follows_the_other_clip_as_well(pane, filmed_twice):
    filmed_twice.go_to_event("foot_contact")
    before = pane.canvas.scene.athlete.points_m
    filmed_twice.select("athlete", "Ana 3", "rear")
    filmed_twice.go_to_event("foot_contact")
    after = pane.canvas.scene.athlete.points_m
    # the rear clip's nearest frame lies up to half a frame away
    assert after == pytest.approx(before, abs=0.03, nan_ok=True)


def test_a_partner_taken_away_goes_from_the_figure(pane, filmed_twice, qtbot):
    filmed_twice.select("model", None)
    qtbot.waitUntil(lambda: pane.canvas.scene.model is None, timeout=10_000)
    assert pane.canvas.scene.athlete is not None


def test_buttons_and_keys_choose_the_side(pane):
    above = _button(pane, "From above")
    above.click()
    assert pane.canvas.view == "above"
    assert above.isChecked()
    tap(pane.canvas, Qt.Key.Key_B)
    assert _button(pane, "From behind").isChecked()
    assert not above.isChecked()
    drag(pane.canvas, [QPointF(50, 50), QPointF(80, 60)])
    assert not _button(pane, "From behind").isChecked()
    above.click()
    above.click()
    assert above.isChecked(), "a second click does not leave it unchosen while it is shown"


def test_trails_go_and_come(pane, filmed_twice):
    filmed_twice.go_to_event("release")
    assert pane.canvas.scene.athlete.trails is not None
    tap(pane.canvas, Qt.Key.Key_T)
    assert pane.canvas.scene.athlete.trails is None
    tap(pane.canvas, Qt.Key.Key_T)
    assert pane.canvas.scene.athlete.trails is not None


def test_a_clip_too_few_or_no_solve_leads_to_what_helps(opened, filmed_twice, placed_pair, qtbot):
    pane = opened(placed_pair)
    assert "One clip shows one side only" in pane.empty.text
    with qtbot.waitSignal(pane.action_wanted) as caught:
        pane.empty.button.click()
    assert caught.args == ["athlete", "add_camera"]


def test_without_a_solve_it_leads_to_the_field(opened, filmed_twice, qtbot):
    unsolved = msgspec.structs.replace(filmed_twice.delivery("athlete"), space=None)
    filmed_twice.project.apply(SetDelivery(name="Ana 3", delivery=unsolved))
    pane = opened(filmed_twice)
    assert "not solved" in pane.empty.text
    with qtbot.waitSignal(pane.action_wanted) as caught:
        pane.empty.button.click()
    assert caught.args == ["athlete", "field"]


def test_hidden_it_asks_for_nothing(opened, filmed_twice, qtbot):
    pane = opened(filmed_twice)
    qtbot.waitUntil(lambda: pane.canvas.scene.athlete is not None, timeout=10_000)
    pane.hide()
    shown = pane.canvas.scene
    filmed_twice.go_to_event("release")
    assert pane.canvas.scene is shown
    pane.show()
    assert pane.canvas.scene is not shown
