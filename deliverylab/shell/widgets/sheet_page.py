"""A drawn sheet in the place of the stages: what to show, what it says, and where to keep it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.sheet_view import SheetView
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.messages import error_text
from deliverylab.shell.outputs import save_page
from deliverylab.shell.theme import icon, on_theme_changed


class SheetPage(QFrame):
    """A page with a chooser, words, room for more, and the sheet; a subclass fills it.

    Signals
    -------
    closed()
        Wish to go back.
    saved(str)
        Name of the file that was written.
    said(str, str)
        Something is done that can be undone, and its level.
    """

    closed = Signal()
    saved = Signal(str)
    said = Signal(str, str)

    def __init__(
        self, title: str, file_name: str, folder: Path, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("pane")
        self._file_name, self._folder = file_name, folder
        back = QPushButton("Back")
        back.clicked.connect(self.closed)
        heading = QLabel(title)
        heading.setProperty("role", "heading")
        self.chooser = QComboBox()
        self.save_button = QPushButton("Save …")
        self.save_button.clicked.connect(self._ask_where)
        head = QHBoxLayout()
        head.setSpacing(10)
        head.addWidget(back)
        head.addWidget(heading)
        head.addWidget(self.chooser)
        head.addStretch(1)
        head.addWidget(self.save_button)
        self.words, self.problem = text_label(), text_label(role="problem")
        self.more = QVBoxLayout()
        self.more.setSpacing(8)
        self.sheet = SheetView(title)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 10, 12, 8)
        column.setSpacing(8)
        column.addLayout(head)
        for part in (self.words, self.problem):
            column.addWidget(part)
        column.addLayout(self.more)
        column.addWidget(self.sheet, 1)
        column.setAlignment(Qt.AlignmentFlag.AlignTop)
        on_theme_changed(self, self._on_theme_changed)

    def show_sheet(self, pdf: bytes, width_points: float, words: str) -> None:
        """Show a sheet, and say the same in words."""
        tell(self.problem, "")
        tell(self.words, words)
        self.sheet.show_pdf(pdf, width_points)
        self.sheet.describe(words)
        self.save_button.setEnabled(bool(pdf))

    def show_problem(self, error: DeliveryLabError) -> None:
        """Say why there is no sheet."""
        self.show_sheet(b"", 0.0, "")
        tell(self.problem, error_text(error))

    def _on_theme_changed(self) -> None:
        self.save_button.setIcon(icon("export"))

    def _ask_where(self) -> None:
        kinds = "PDF (*.pdf);;Picture (*.png)"
        chosen, kind = QFileDialog.getSaveFileName(
            self, "Save the sheet", str(self._folder / f"{self._file_name}.pdf"), kinds
        )
        if chosen:
            path = Path(chosen)
            self.save(path if path.suffix else path.with_suffix(kind[-5:-1]))

    def save(self, path: Path) -> None:
        """Save the sheet; the name's ending says as what."""
        try:
            save_page(self.sheet.pdf, path)
        except DeliveryLabError as error:
            tell(self.problem, error_text(error))
            return
        self.saved.emit(path.name)
