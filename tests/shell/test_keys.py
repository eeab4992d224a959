from __future__ import annotations

from html import escape
from typing import get_args

from PySide6.QtCore import Qt

from deliverylab.shell.dialogs.about import keys_dialog
from deliverylab.shell.keys import KEYS, Place, acts


def test_no_key_means_two_things_in_one_place():
    for place in get_args(Place):
        keys = [
            part for spec in KEYS if spec.place == place for part in spec.keys.split("|") if part
        ]
        assert len(keys) == len(set(keys)) == len(acts(place)), place


def test_keys_are_read_as_qt_sends_them():
    stage = acts("stage")
    assert stage[Qt.Key.Key_L] == "hold"
    assert stage[Qt.Key.Key_Enter] == stage[Qt.Key.Key_Return] == "place"
    assert stage[Qt.Key.Key_Plus] == stage[Qt.Key.Key_Equal] == "closer"
    assert acts("scrub bar")[Qt.Key.Key_PageUp] == "ten back"


def test_the_list_of_keys_leaves_none_out(qtbot):
    dialog = keys_dialog()
    qtbot.addWidget(dialog)
    text = dialog.text.text()
    for spec in KEYS:
        assert escape(spec.text) in text
        assert escape(spec.said) in text
