"""Buttons for drawing by hand."""

from __future__ import annotations

import pytest

from deliverylab.shell.widgets.draw_tools import ELSEWHERE, KINDS, DrawTools


@pytest.fixture
def tools(qtbot):
    made = DrawTools()
    qtbot.addWidget(made)
    made.show()
    return made


def test_one_kind_is_drawn_at_a_time_and_pressed_again_none(tools):
    said: list[str] = []
    tools.kind_chosen.connect(said.append)
    tools.show_state(is_possible=True, n_drawings=0)
    tools.buttons["arrow"].click()
    tools.buttons["arc"].click()
    assert [kind for kind in KINDS if tools.buttons[kind].isChecked()] == ["arc"]
    tools.buttons["arc"].click()
    assert said == ["arrow", "arc", ""]
    assert tools.kind is None


def test_elsewhere_nothing_can_be_drawn_and_it_says_why(tools):
    tools.show_state(is_possible=False, n_drawings=2)
    assert not any(button.isEnabled() for button in tools.buttons.values())
    assert tools._words.text() == ELSEWHERE
    assert tools.last.isEnabled()
    tools.show_state(is_possible=True, n_drawings=0)
    assert tools._words.isHidden()
    assert not tools.all.isEnabled()


def test_every_button_has_a_name_and_a_picture(tools):
    for button in (*tools.buttons.values(), tools.last, tools.all):
        assert button.accessibleName()
        assert not button.icon().isNull()
