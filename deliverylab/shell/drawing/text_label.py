"""Labels of a few sentences that are there only where there is something to say."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel


def text_label(text: str = "", role: str = "") -> QLabel:
    """Return a label whose text wraps; hidden while it is empty."""
    made = QLabel(text)
    made.setWordWrap(True)
    made.setTextFormat(Qt.TextFormat.PlainText)
    if role:
        made.setProperty("role", role)
    if not text:
        made.hide()
    return made


def tell(label: QLabel, text: str, role: str | None = None) -> None:
    """Say something in a label, which goes away where there is nothing to say."""
    label.setText(text)
    label.setVisible(bool(text))
    if role is not None and label.property("role") != role:
        label.setProperty("role", role)
        label.style().unpolish(label)
        label.style().polish(label)
