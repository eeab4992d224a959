"""What the window says: small things in a bar that is not in the way, failures with their remedy."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QMessageBox,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.theme import icon, on_theme_changed

Level = Literal["note", "good", "caution", "problem"]
_ICONS: dict[Level, tuple[str, str]] = {
    "note": ("note", "quiet"),
    "good": ("done", "good"),
    "caution": ("caution", "caution"),
    "problem": ("problem", "problem"),
}
LINES_HEIGHT = 2.8
"""Height of the line of messages, in heights of its type: room for a button."""
_SHOWN_MS: dict[Level, int] = {"note": 6000, "good": 5000, "caution": 0, "problem": 0}


def error_text(error: DeliveryLabError) -> str:
    """Return an error's three parts as sentences for a person."""
    what = error.what[:1].upper() + error.what[1:]
    where = f" ({error.where})" if error.where else ""
    remedy = error.remedy[:1].upper() + error.remedy[1:]
    return f"{what}{where}. {remedy}{'.' if remedy and remedy[-1] not in '.?!' else ''}".strip()


class NoticeBar(QFrame):
    """One line that says something and offers at most one thing to do; hidden when there is none.

    Signals
    -------
    action_chosen()
        The offered button was pressed.
    dismissed()
        It is hidden now.
    """

    action_chosen = Signal()
    dismissed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self.level: Level = "note"
        self._mark, self._text = QLabel(), QLabel()
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._button = QPushButton()
        self._button.clicked.connect(self._on_button_clicked)
        self._close = QToolButton()
        self._close.setAccessibleName("Close this notice")
        self._close.setToolTip("Close")
        self._close.clicked.connect(self.dismiss)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 3, 4, 3)
        row.setSpacing(10)
        row.addWidget(self._mark)
        row.addWidget(self._text, 1)
        row.addWidget(self._button)
        row.addWidget(self._close)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.dismiss)
        self.hide()
        on_theme_changed(self, self._on_theme_changed)

    @property
    def text(self) -> str:
        """What is said at present; empty when hidden."""
        return "" if self.isHidden() else self._text.text()

    def say(self, text: str, level: Level = "note", action: str = "") -> None:
        """Show a line; notes go by themselves, cautions and problems stay until closed."""
        self.level = level
        self.setProperty("level", level)
        self.style().polish(self)
        self._text.setText(text)
        self._text.setAccessibleName(f"{level}: {text}")
        self._button.setText(action)
        self._button.setVisible(bool(action))
        self._on_theme_changed()
        self._timer.stop()
        if _SHOWN_MS[level] and not action:
            self._timer.start(_SHOWN_MS[level])
        self.show()

    def dismiss(self) -> None:
        """Take the line away."""
        self._timer.stop()
        self.hide()
        self.dismissed.emit()

    def _on_button_clicked(self) -> None:
        self.dismiss()
        self.action_chosen.emit()

    def _on_theme_changed(self) -> None:
        name, colour = _ICONS[self.level]
        self._mark.setPixmap(icon(name, colour).pixmap(QSize(18, 18)))
        self._close.setIcon(icon("close", "quiet"))


class MessageLine(QFrame):
    """A line of its own in which notices come and go; a quiet hint stands there meanwhile.

    It keeps its height, so that nothing moves under the hand when something is said; only what is
    too long for one line makes it higher.

    Attributes
    ----------
    notices : NoticeBar
        What is said.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.notices = NoticeBar()
        self._hint = ElidedLabel()
        self._hint.setContentsMargins(12, 0, 12, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.notices)
        column.addWidget(self._hint)
        self.notices.dismissed.connect(self._hint.show)
        on_theme_changed(self, self._on_theme_changed)

    @property
    def hint(self) -> str:
        """What stands there while nothing is said."""
        return self._hint.full_text

    def set_hint(self, text: str) -> None:
        """Say what stands there while nothing else is said."""
        self._hint.setText(text)

    def say(self, text: str, level: Level = "note", action: str = "") -> None:
        """Say something in the hint's place."""
        self._hint.hide()
        self.notices.say(text, level, action)

    def _on_theme_changed(self) -> None:
        self.setMinimumHeight(round(LINES_HEIGHT * self.fontMetrics().height()))


def show_error(parent: QWidget | None, error: DeliveryLabError) -> None:
    """Say what failed, where, and what to do, in a box that has to be answered."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.NoIcon)
    box.setWindowTitle("That did not work")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(error.what[:1].upper() + error.what[1:] + ".")
    parts = [error.where, error.remedy[:1].upper() + error.remedy[1:]]
    box.setInformativeText("\n\n".join(part for part in parts if part))
    box.exec()


def unexpected_text(error: BaseException, copy: str, log: str) -> str:
    """Return what is said when the program itself is at fault."""
    kept = (
        f"A recovery copy of your work lies in {copy}."
        if copy
        else "There was no unsaved work to keep."
    )
    return (
        f"Something went wrong in the program itself ({type(error).__name__}: {error}). "
        f"{kept} Details are in {log}. You can go on; save under another name to be safe."
    )


def ask_about_conflict(parent: QWidget, name: str) -> Literal["other name", "theirs", "cancel"]:
    """Ask what shall become of two versions of one file; neither answer loses one."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.NoIcon)
    box.setWindowTitle("Saved elsewhere meanwhile")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(f"Another program has saved {name} since it was opened here.")
    box.setInformativeText(
        "Save your version under another name, or open the one on the disk: "
        "yours is then kept as a recovery copy."
    )
    roles = QMessageBox.ButtonRole
    other_name = box.addButton("Save under another name …", roles.AcceptRole)
    theirs = box.addButton("Open what is on the disk", roles.DestructiveRole)
    box.addButton(QMessageBox.StandardButton.Cancel)
    box.setDefaultButton(other_name)
    box.exec()
    if box.clickedButton() is other_name:
        return "other name"
    return "theirs" if box.clickedButton() is theirs else "cancel"


def ask_about_changes(parent: QWidget, name: str) -> Literal["save", "discard", "cancel"]:
    """Ask what shall become of unsaved edits."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.NoIcon)
    box.setWindowTitle("Save before closing?")
    box.setText(f"{name} has edits that are not saved.")
    box.setInformativeText("Closed without saving, they are gone.")
    buttons = QMessageBox.StandardButton
    box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
    box.setDefaultButton(buttons.Save)
    answer = box.exec()
    if answer == buttons.Save:
        return "save"
    return "discard" if answer == buttons.Discard else "cancel"
