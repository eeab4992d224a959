"""Keys that mean something to one part of the window before they are its shortcuts."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent
from PySide6.QtGui import QKeyEvent


def is_claimed(event: QEvent, action: Callable[[QKeyEvent], str]) -> bool:
    """Claim a key whose `action` is not empty, so that no shortcut of the window takes it."""
    if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
        return False
    if not action(event):
        return False
    event.accept()
    return True
