from __future__ import annotations

import pytest

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.vocabulary.views import VIEWS
from deliverylab.shell.widgets.delivery_form import DeliveryForm

BO = Athlete(name="Bo", hand="left", height_m=1.9, mass_kg=80.0, sex="male")


@pytest.fixture
def form(qtbot):
    made = DeliveryForm((BO,), "metric")
    qtbot.addWidget(made)
    return made


def test_a_known_athlete_fills_the_rest_in(form):
    form.athlete_name.setCurrentText("Bo")
    assert form.hand.value == "left"
    assert form.body_height.value == 1.9
    assert form.body_mass.value == 80.0
    assert form.sex.currentData() == "male"


def test_each_view_says_where_the_camera_stood(form):
    for view in VIEWS:
        form.view.setCurrentIndex(form.view.findData(view.key))
        assert view.standing in form._standing.text()


def test_the_capture_rate_is_a_number_or_as_stored(form):
    assert form.capture_rate_hz is None
    form.rate.setCurrentText("239,76")
    assert form.capture_rate_hz == 239.76
    form.rate.setCurrentText("fast")
    with pytest.raises(ValueError):
        _ = form.capture_rate_hz


def test_edits_are_told_and_nonsense_is_known(form, qtbot):
    with qtbot.waitSignal(form.edited):
        form.body_height.setText("tall")
    assert form.is_wrong
    with qtbot.waitSignal(form.edited):
        form.hand._buttons["left"].click()
    assert form.hand.value == "left"
