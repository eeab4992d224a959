from __future__ import annotations

from typing import get_args

from deliverylab.core.model.plan import ArmLoad
from deliverylab.shell.drawing.load_chooser import load_chooser


def test_every_load_can_be_chosen_in_words(qtbot):
    chooser = load_chooser()
    qtbot.addWidget(chooser)
    rows = range(chooser.count())
    assert {chooser.itemData(row) for row in rows} == set(get_args(ArmLoad))
    assert all(chooser.itemText(row)[:1].isupper() for row in rows)
    assert chooser.accessibleName()
