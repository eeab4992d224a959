"""A list of whether a drill loads the arm."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox

from deliverylab.core.compare.plan_words import ARM_LOAD_WORDS


def load_chooser() -> QComboBox:
    """Return a list of whether a drill loads the arm; its data are the keys."""
    made = QComboBox()
    made.setAccessibleName("Whether the drill loads the arm")
    for key, words in ARM_LOAD_WORDS.items():
        made.addItem(f"{words[:1].upper()}{words[1:]}", key)
    return made
