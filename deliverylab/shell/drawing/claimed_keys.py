"""Keys that mean something to one part of the window before they are its shortcuts, or never do."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent
from PySide6.QtGui import QKeyEvent, QKeySequence


def is_claimed(event: QEvent, action: Callable[[QKeyEvent], str]) -> bool:
    """Claim a key whose `action` is not empty, so that no shortcut of the window takes it."""
    if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
        return False
    if not action(event):
        return False
    event.accept()
    return True


def is_left_to_undo(event: QEvent) -> bool:
    """Leave the keys of undo and redo to the window: a field of words would keep them to itself."""
    if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
        return False
    keys = QKeySequence.StandardKey
    if not (event.matches(keys.Undo) or event.matches(keys.Redo)):
        return False
    event.ignore()
    return True
