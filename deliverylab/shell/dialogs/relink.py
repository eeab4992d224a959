"""Clips that are not where they were: the user shows one, the rest is found beside it."""

from __future__ import annotations

from pathlib import Path, PurePosixPath, PureWindowsPath

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QFrame,
    QGridLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.messages import error_text
from deliverylab.shell.session import LostClip, Session


class RelinkDialog(QDialog):
    """List the clips that are missing and ask where they are."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setWindowTitle("Find moved clips")
        self._list = QVBoxLayout()
        self._list.setSpacing(8)
        self._said = QLabel()
        self._said.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 18, 20, 16)
        column.setSpacing(12)
        about = QLabel(
            "Measurements are kept either way. A file is taken only if it is the same clip, "
            "whatever its name is now."
        )
        about.setProperty("role", "quiet")
        about.setWordWrap(True)
        column.addWidget(about)
        column.addLayout(self._list)
        column.addWidget(self._said)
        column.addStretch(1)
        column.addWidget(buttons)
        self.setMinimumWidth(480)
        self._fill()

    @property
    def lost(self) -> tuple[LostClip, ...]:
        """The clips that are still missing."""
        return self._session.lost_clips()

    def _fill(self) -> None:
        while (item := self._list.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        for lost in self.lost:
            self._list.addWidget(self._card(lost))
        if not self.lost:
            self._list.addWidget(QLabel("All clips are where they should be."))

    def _card(self, lost: LostClip) -> QWidget:
        card = QFrame()
        card.setObjectName("card")
        grid = QGridLayout(card)
        grid.setContentsMargins(12, 9, 10, 9)
        for row, (text, role) in enumerate(
            ((_file_name(lost.path), "strong"), (f"{lost.delivery}, {lost.camera}", "small"))
        ):
            label = QLabel(text)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setProperty("role", role)
            label.setToolTip(lost.path)
            grid.addWidget(label, row, 0)
        button = QPushButton("Find …")
        button.clicked.connect(lambda: self._on_find(lost))
        grid.addWidget(button, 0, 1, 2, 1)
        grid.setColumnStretch(0, 1)
        return card

    def _on_find(self, lost: LostClip) -> None:
        folder = self._session.path.parent if self._session.path else Path.home()
        chosen, _ = QFileDialog.getOpenFileName(
            self, f"Where is {_file_name(lost.path)}?", str(folder)
        )
        if chosen:
            self.take(lost, Path(chosen))

    def take(self, lost: LostClip, path: Path) -> None:
        """Take a file for a lost clip, and look for the other lost ones in its folder."""
        try:
            self._session.relink(lost.delivery, lost.camera, path)
        except DeliveryLabError as error:
            self._say(error_text(error), "problem")
            return
        n_found = 1
        for other in self.lost:
            try:
                beside = path.with_name(_file_name(other.path))
                self._session.relink(other.delivery, other.camera, beside)
                n_found += 1
            except DeliveryLabError:
                continue  # it is not there; it stays on the list
        self._say("Found." if n_found == 1 else f"Found {n_found} clips in that folder.", "good")
        self._fill()

    def _say(self, text: str, role: str) -> None:
        self._said.setText(text)
        self._said.setProperty("role", role)
        self._said.style().unpolish(self._said)
        self._said.style().polish(self._said)


def _file_name(stored: str) -> str:
    return (PureWindowsPath if "\\" in stored else PurePosixPath)(stored).name
