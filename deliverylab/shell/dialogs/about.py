"""What the numbers mean, which keys there are, and what this program is."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFrame,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from deliverylab import __version__
from deliverylab.shell.actions import ACTIONS, GROUPS
from deliverylab.shell.keys import KEYS, Place

CAUTIONS = (
    (
        "Every number has its ±.",
        "In about 95 of 100 cases the true value lies within it, if the clip, the scale and the points are what you said they are. A blunder (wrong length, wrong view, wrong capture rate) is not in the ±.",
    ),
    (
        "What a clip cannot show is not shown.",
        "One camera sees one plane. The list “Not shown” says for each metric why, and what would help.",
    ),
    (
        "A difference is not a fault.",
        "“Clear” means that the two deliveries differ by more than both margins together. Whether that is good, bad or just theirs is for the instructor to judge.",
    ),
    (
        "Positions and times only.",
        "Nothing here says anything about load on a joint, and nothing is called safe or dangerous.",
    ),
    (
        "Pain, numbness, swelling, loss of speed or range:",
        "stop throwing and see a clinician. For how much to throw, check your league's rules.",
    ),
    (
        "Clips stay on this machine.",
        "Nothing is sent anywhere. A page shows only what you chose to put on it.",
    ),
)
PARTS: dict[Place, str] = {
    "stage": "On the stage",
    "scrub bar": "On the scrub bar",
    "coordinates": "On a landmark's coordinates",
    "figure in space": "On the figure in space",
}


class TextDialog(QDialog):
    """A text to read, with a button that closes it."""

    def __init__(self, title: str, html: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        text = QLabel(html)
        text.setTextFormat(Qt.TextFormat.RichText)
        text.setWordWrap(True)
        text.setAlignment(Qt.AlignmentFlag.AlignTop)
        text.setContentsMargins(0, 0, 10, 0)
        text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidget(text)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(22, 18, 16, 16)
        column.addWidget(area)
        column.addWidget(buttons)
        self.text = text


def keys_dialog(parent: QWidget | None = None) -> TextDialog:
    """Return the list of all keys, made from the tables of actions and of the parts' own keys."""
    parts = []
    for group in GROUPS:
        rows = [
            (" or ".join(_native(part) for part in action.shortcut.split("|")), action.text)
            for action in ACTIONS
            if action.group == group and action.shortcut
        ]
        parts.append(_table(group, rows))
    for place, title in PARTS.items():
        rows = [
            (
                escape(spec.said) or " or ".join(_native(part) for part in spec.keys.split("|")),
                spec.text,
            )
            for spec in KEYS
            if spec.place == place
        ]
        parts.append(_table(title, rows))
    dialog = TextDialog("Keys", "".join(parts), parent)
    dialog.resize(560, 680)
    return dialog


def cautions_dialog(parent: QWidget | None = None) -> TextDialog:
    """Return what the numbers mean and what they do not."""
    html = "".join(
        f"<p style='margin-bottom:10px'><b>{escape(head)}</b> {escape(text)}</p>"
        for head, text in CAUTIONS
    )
    dialog = TextDialog("What the numbers mean, and do not", html, parent)
    dialog.resize(560, 380)
    return dialog


def about_dialog(parent: QWidget | None = None) -> TextDialog:
    """Return what this program is."""
    html = (
        f"<p><b>deliverylab {__version__}</b></p>"
        "<p>Measures pitching deliveries from phone clips and says how far each number can be "
        "trusted.</p><p>MIT licence. No warranty. It is no medical device.</p>"
    )
    dialog = TextDialog("About deliverylab", html, parent)
    dialog.resize(420, 240)
    return dialog


def _native(keys: str) -> str:
    return escape(QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText))


def _table(title: str, rows: list[tuple[str, str]]) -> str:
    if not rows:
        return ""
    lines = "".join(
        f"<tr><td width='190' style='padding:2px 12px 2px 0'><b>{keys}</b></td>"
        f"<td style='padding:2px 0'>{escape(text)}</td></tr>"
        for keys, text in rows
    )
    return f"<h3 style='margin:10px 0 2px 0'>{escape(title)}</h3><table>{lines}</table>"
