from __future__ import annotations

import pytest

from deliverylab.shell.quantity_edit import QuantityEdit, as_text, parse


@pytest.mark.parametrize(
    ("text", "quantity", "system", "value"),
    [
        ("1.86", "length", "metric", 1.86),
        ("1,86 m", "length", "metric", 1.86),
        ("186", "length", "metric", 1.86),
        ("73", "length", "imperial", 73 * 0.0254),
        ("6 ft 1 in", "length", "imperial", 73 * 0.0254),
        ("6'1\"", "length", "metric", 73 * 0.0254),
        ("82", "mass", "metric", 82.0),
        # NIST Handbook 44, appendix C: 1 lb = 0.45359237 kg, 1 mi/h = 0.44704 m/s, both exact
        ("180", "mass", "imperial", 180 * 0.45359237),
        ("90 mph", "speed", "metric", 90 * 0.44704),
        ("90", "speed", "imperial", 90 * 0.44704),
        ("144 km/h", "speed", "metric", 40.0),
        ("-2.5°", "angle", "metric", -2.5),
        ("\u22122.5", "angle", "metric", -2.5),
    ],
)
def test_quantities_are_understood(text, quantity, system, value):
    assert parse(text, quantity, system) == pytest.approx(value)


@pytest.mark.parametrize("quantity", ["length", "mass", "speed", "angle"])
def test_nonsense_is_refused(quantity):
    with pytest.raises(ValueError):
        parse("tall", quantity, "metric")


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize(
    ("quantity", "value"), [("length", 1.8542), ("mass", 82.0), ("speed", 40.0), ("angle", -3.4)]
)
def test_what_is_shown_can_be_typed_again(quantity, value, system):
    shown = as_text(value, quantity, system)
    assert parse(shown, quantity, system) == pytest.approx(value, rel=1e-3)
    assert as_text(None, quantity, system) == ""


def test_the_field_says_what_it_does_not_understand(qtbot):
    edit = QuantityEdit("length", "metric")
    qtbot.addWidget(edit)
    assert (edit.value, edit.is_wrong) == (None, False)
    with qtbot.waitSignal(edit.value_changed):
        edit.setText("tall")
    assert (edit.value, edit.is_wrong) == (None, True)
    assert edit.property("state") == "wrong"
    edit.set_value(1.86)
    assert edit.text() == "1.86 m"
    assert (edit.value, edit.property("state")) == (1.86, "")


def test_units_can_become_others(qtbot):
    edit = QuantityEdit("length", "metric")
    qtbot.addWidget(edit)
    edit.set_units("imperial")
    edit.set_value(1.8288)
    assert edit.text() == "6 ft 0 in"
    assert edit.value == pytest.approx(1.8288)
