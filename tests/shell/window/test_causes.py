from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from tests.shell.compared import compared
from tests.shell.gestures import click, tap

__all__ = ["compared"]
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def window(open_window, compared):
    made = open_window(compared)
    made.stages["athlete"].canvas.setFocus()
    return made


def test_shift_c_shows_the_causes_in_the_place_of_the_frames_and_back(window):
    canvas = window.stages["athlete"].canvas
    assert window.scrub.isVisible()
    tap(canvas, Qt.Key.Key_C, SHIFT)
    assert window.causes.isVisible()
    assert not window.scrub.isVisible()
    assert window.actions_by_key["causes"].isChecked()
    assert window.stages["athlete"].isVisible()
    window.actions_by_key["causes"].trigger()
    assert not window.causes.isVisible()
    assert window.scrub.isVisible()
    assert not window.actions_by_key["causes"].isChecked()


def test_from_the_key_to_the_frames_of_a_consequence_is_one_click(window, compared):
    window.actions_by_key["causes"].trigger()
    boxes = window.causes.canvas.drawing.boxes
    box = next(each for each in boxes if each.placed.node.event == "release")
    click(window.causes.canvas, box.place.center())
    assert compared.event_at_frame("athlete") == "release"
    assert compared.event_at_frame("model") == "release"


def test_a_link_that_was_left_out_comes_back_by_the_notice(window, compared):
    window.actions_by_key["causes"].trigger()
    before = compared.chain()
    boxes = window.causes.canvas.drawing.boxes
    follower = next(each for each in boxes if not each.placed.is_start)
    click(window.causes.canvas, follower.place.center())
    window.causes.link_buttons[0].click()
    assert compared.library().without_links
    assert "Left out: " in window.notices.text
    window.notices.action_chosen.emit()
    assert not compared.library().without_links
    assert compared.chain() == before


def test_without_a_partner_the_frames_come_back(window, compared):
    window.actions_by_key["causes"].trigger()
    compared.select("model", None)
    assert not window.causes.isVisible()
    assert window.scrub.isVisible()
    assert not window.actions_by_key["causes"].isEnabled()


def test_causes_beside_published_means_stay_without_a_second_clip(window, compared):
    window.actions_by_key["causes"].trigger()
    compared.choose_partner("published youth")
    compared.select("model", None)
    assert window.causes.isVisible()
    assert window.actions_by_key["causes"].isEnabled()
    assert window.causes.canvas.drawing.boxes
