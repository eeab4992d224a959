from __future__ import annotations

import pytest

from deliverylab.core.model.field import CameraStand
from deliverylab.shell.widgets.phone_form import PhoneForm


@pytest.fixture
def form(qtbot):
    made = PhoneForm()
    qtbot.addWidget(made)
    made.told = []
    made.edited.connect(made.told.append)
    return made


def test_it_shows_and_tells_how_a_phone_stood(form):
    form.show_stand(CameraStand(zoom=2.0, u_level_deg=None, turn_deg=-45.0))
    assert (form.zoom.value(), form.level.isChecked(), form.turn.value) == (2.0, False, -45.0)
    form.level.click()
    assert form.told[-1] == CameraStand(zoom=2.0, u_level_deg=1.0, turn_deg=-45.0)
    form.turn.setText("30")
    form.turn.editingFinished.emit()
    assert form.told[-1].turn_deg == 30.0


def test_what_is_not_edited_tells_nothing_and_keeps_its_exact_value(form):
    form.show_stand(CameraStand(zoom=1.26, focal_px=1500.0))
    form.zoom.editingFinished.emit()
    assert form.told == []
    form.level.click()
    assert form.told[-1] == CameraStand(zoom=1.26, focal_px=1500.0, u_level_deg=None)


def test_a_turn_that_cannot_be_is_not_taken(form):
    form.turn.setText("400")
    form.turn.editingFinished.emit()
    assert form.told == []
