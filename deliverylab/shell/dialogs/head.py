"""What the project is called and whose it is: the head of the page and of the window."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from deliverylab.shell.session import Session
from deliverylab.shell.theme import theme


class HeadDialog(QDialog):
    """Ask for title and organisation, both of which may be empty.

    Attributes
    ----------
    title, organisation : QLineEdit
        The two fields.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setWindowTitle("Title and organisation")
        title, organisation = session.head
        self.title = QLineEdit(title)
        self.title.setPlaceholderText(session.path.stem if session.path else "name of the project")
        self.organisation = QLineEdit(organisation)
        self.organisation.setPlaceholderText("club or school, for the page")
        form = QFormLayout()
        form.setHorizontalSpacing(16)
        form.setVerticalSpacing(9)
        form.addRow("Title", self.title)
        form.addRow("Organisation", self.organisation)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        change = buttons.addButton("Change", QDialogButtonBox.ButtonRole.AcceptRole)
        change.setProperty("role", "main")
        change.setDefault(True)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 18, 20, 16)
        column.setSpacing(14)
        column.addLayout(form)
        column.addWidget(buttons)
        self.setMinimumWidth(round(44 * theme().point_size()))
        self.title.selectAll()

    def accept(self) -> None:
        """Change both in one step and close."""
        self._session.set_head(self.title.text(), self.organisation.text())
        super().accept()
