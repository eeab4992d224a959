from __future__ import annotations

import pytest

from deliverylab.core.model.changes import replace
from deliverylab.core.workflow.space_set_up import standard_field_set_up
from deliverylab.shell.widgets.field_form import OWN, FieldForm


@pytest.fixture
def form(qtbot):
    made = FieldForm("metric")
    qtbot.addWidget(made)
    made.told = []
    made.edited.connect(made.told.append)
    made.show_field(standard_field_set_up(), "metric")
    made.show()
    return made


def choose(form, key):
    form.point.setCurrentIndex(form.point.findData(key))
    form.point.activated.emit(form.point.currentIndex())


def test_sizes_and_layouts_are_chosen(form):
    form.field_size.setCurrentIndex(form.field_size.findData("youth-46"))
    form.field_size.activated.emit(0)
    assert form.told[-1] == standard_field_set_up("youth-46")
    form.laid.setCurrentIndex(form.laid.findData("four-cones"))
    form.laid.activated.emit(0)
    assert form.told[-1] == standard_field_set_up("youth-46", "four-cones")


def test_places_are_edited_and_what_is_not_typed_keeps_its_exact_value(form):
    choose(form, "cone_right")
    assert form.places[1].text() == "-0.8 m"
    form.places[0].editingFinished.emit()
    assert form.told == []
    form.places[0].setText("1.95")
    form.margins[0].setText("6 cm")
    form.places[0].editingFinished.emit()
    point = form.told[-1].point("cone_right")
    assert point.place_m[:2] == (1.95, -0.8)
    assert point.u_m[:2] == (pytest.approx(0.03), 0.010)


def test_inches_are_read_and_a_minus_is_the_other_side(form):
    form.show_field(standard_field_set_up(), "imperial")
    choose(form, "cone_right")
    assert form.places[0].text() == "6 ft 6.7 in"
    form.places[1].setText("-3 ft")
    form.places[1].editingFinished.emit()
    assert form.told[-1].point("cone_right").place_m[1] == pytest.approx(-0.9144)


def test_what_nobody_measured_is_left_empty(form):
    choose(form, "cone_left")
    form.margins[2].setText("")
    form.margins[2].editingFinished.emit()
    assert form.told[-1].point("cone_left").u_m[2] is None


def test_what_is_no_length_changes_nothing(form):
    form.places[0].setText("far")
    form.places[0].editingFinished.emit()
    assert form.told == []
    assert form.places[0].is_wrong


def test_points_are_added_and_removed_and_the_layout_is_ones_own_then(form):
    form.add.menu().actions()[0].trigger()
    field = form.told[-1]
    assert len(field.points) == 7
    form.show_field(field, "metric")
    assert form.laid.currentText() == OWN
    assert not form._fold.isHidden()
    choose(form, field.points[-1].key)
    form.remove.click()
    assert form.told[-1] == standard_field_set_up()
    form.show_field(standard_field_set_up(), "metric")
    assert form.laid.findText(OWN) < 0
    # another size keeps one's own points
    form.show_field(field, "metric")
    form.field_size.setCurrentIndex(form.field_size.findData("softball-40"))
    form.field_size.activated.emit(0)
    assert form.told[-1] == replace(field, size="softball-40")
