from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent

from deliverylab.shell.drawing.claimed_keys import is_claimed, is_left_to_undo


@pytest.mark.parametrize(
    ("kind", "key", "expected"),
    [
        (QEvent.Type.ShortcutOverride, Qt.Key.Key_A, True),
        (QEvent.Type.ShortcutOverride, Qt.Key.Key_B, False),
        (QEvent.Type.KeyPress, Qt.Key.Key_A, False),
    ],
)
def test_only_keys_with_a_meaning_are_claimed_from_shortcuts(kind, key, expected):
    event = QKeyEvent(kind, key, Qt.KeyboardModifier.NoModifier)
    event.ignore()
    found = is_claimed(event, lambda pressed: "turn" if pressed.key() == Qt.Key.Key_A else "")
    assert found is expected
    assert event.isAccepted() is expected


@pytest.mark.parametrize(
    ("kind", "key", "expected"),
    [
        (QEvent.Type.ShortcutOverride, Qt.Key.Key_Z, True),
        (QEvent.Type.ShortcutOverride, Qt.Key.Key_C, False),
        (QEvent.Type.KeyPress, Qt.Key.Key_Z, False),
    ],
)
def test_a_field_of_words_leaves_undo_to_the_window(qapp, kind, key, expected):
    event = QKeyEvent(kind, key, Qt.KeyboardModifier.ControlModifier)
    event.accept()
    assert is_left_to_undo(event) is expected
    assert event.isAccepted() is not expected
