from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.shell.drawing.party_button import Offer, PartyButton

OFFERS = (
    Offer("Bo 1", "only Bo 1", "together"),
    Offer("all of Bo", "all 4 of Bo", "together"),
    Offer("published youth", "published means, youth", "published"),
)


@pytest.fixture
def button(qtbot):
    made = PartyButton("Compared")
    qtbot.addWidget(made)
    made.resize(200, 30)
    made.show()
    made.show_party(
        "Bo 1", OFFERS, pickable=("Bo 1", "Bo 2", "Bo 3"), picked=["Bo 1"], fixed="Bo 1"
    )
    return made


def _acts(menu):
    return [act for act in menu.actions() if not act.isSeparator() and act.menu() is None]


def test_it_says_who_stands_there_and_ticks_it(button):
    assert button.text().startswith("Bo 1")
    assert button.accessibleName() == "Compared: Bo 1"
    acts = _acts(button.menu_shown())
    assert [act.text() for act in acts] == [offer.label for offer in OFFERS]
    assert [act.isChecked() for act in acts] == [True, False, False]


def test_groups_are_parted_by_lines(button):
    kinds = ["-" if act.isSeparator() else "." for act in button.menu_shown().actions()]
    assert "".join(kinds) == "..-.-."


def test_a_choice_is_sent(button, qtbot):
    with qtbot.waitSignal(button.chosen) as sent:
        _acts(button.menu_shown())[1].trigger()
    assert sent.args == ["all of Bo"]


def test_deliveries_are_picked_one_by_one_and_the_shown_one_stays(button, qtbot):
    several = button.menu_shown().actions()[-1].menu()
    bo_1, bo_2, _ = several.actions()
    assert (bo_1.isEnabled(), bo_1.isChecked(), bo_2.isChecked()) == (False, True, False)
    with qtbot.waitSignal(button.chosen) as sent:
        bo_2.trigger()
    assert sent.args == ["Bo 1 + Bo 2"]
    pickable = ("Bo 1", "Bo 2", "Bo 3")
    button.show_party("", OFFERS, pickable=pickable, picked=pickable, fixed="Bo 1")
    several = button.menu_shown().actions()[-1].menu()
    with qtbot.waitSignal(button.chosen) as sent:
        several.actions()[1].trigger()
    assert sent.args == ["Bo 1 + Bo 3"]


def test_two_need_no_picking(button):
    button.show_party("Bo 1", OFFERS, pickable=("Bo 1", "Bo 2"))
    assert all(act.menu() is None for act in button.menu_shown().actions())


def test_a_long_name_gives_way_and_a_sign_stays_a_sign(button):
    name = "Maximiliana & Wolfeschlegelsteinhausenbergerdorff the Third"
    button.show_party(name, ())
    assert "…" in button.text()
    assert name in button.toolTip()
    button.show_party("A & B", ())
    assert button.text().startswith("A && B")


def test_it_opens_by_mouse_and_by_key(button, qtbot):
    for press in (
        lambda: qtbot.mouseClick(button, Qt.MouseButton.LeftButton),
        lambda: qtbot.keyClick(button, Qt.Key.Key_Space),
    ):
        press()
        assert button._menu.isVisible()
        button._menu.close()
