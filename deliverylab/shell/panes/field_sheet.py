"""The field set-up sheet: one page to take along, as the core draws it."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QPushButton, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.vocabulary.field import FIELDS
from deliverylab.shell.drawing.sheet_view import print_pdf
from deliverylab.shell.outputs import Paper
from deliverylab.shell.quantity_edit import QuantityEdit
from deliverylab.shell.session import Session
from deliverylab.shell.theme import icon, on_theme_changed
from deliverylab.shell.widgets.sheet_page import SheetPage

WORDS = "What to bring, where to put it, where the phones stand, and how to check the pictures."
DISTANCE_M = 6.0
PAPERS: tuple[tuple[Paper, str], ...] = (("a4", "A4"), ("letter", "Letter"))


class FieldSheetPane(SheetPage):
    """The sheet for a field, a hand and how far the phones can stand.

    Signals
    -------
    paper_chosen(str)
        ``a4`` or ``letter``.
    """

    paper_chosen = Signal(str)

    def __init__(
        self, session: Session, paper: Literal["a4", "letter"], parent: QWidget | None = None
    ) -> None:
        folder = session.path.parent if session.path else Path.home()
        super().__init__("Field set-up", "field set-up", folder, parent)
        self._session = session
        self.chooser.setAccessibleName("Size of the field")
        for size in FIELDS:
            self.chooser.addItem(size.name, size.key)
        self.hand, self.paper = QComboBox(), QComboBox()
        self.hand.setAccessibleName("Throwing hand")
        for hand in ("right", "left"):
            self.hand.addItem(f"{hand}-hander", hand)
        self.paper.setAccessibleName("Paper")
        for key, name in PAPERS:
            self.paper.addItem(name, key)
        self.paper.setCurrentIndex(self.paper.findData(paper))
        system = session.unit_system
        self.side_m, self.rear_m = QuantityEdit("length", system), QuantityEdit("length", system)
        self.print_button = QPushButton("Print …")
        first, second = QHBoxLayout(), QHBoxLayout()
        first.addWidget(self.hand)
        first.addWidget(self.paper)
        first.addStretch(1)
        first.addWidget(self.print_button)
        second.addWidget(QLabel("Phones:"))
        for text, edit in (("at the side", self.side_m), ("behind", self.rear_m)):
            edit.set_value(DISTANCE_M)
            edit.setAccessibleName(f"Distance of the phone {text}")
            second.addWidget(QLabel(text))
            second.addWidget(edit, 1)
            edit.editingFinished.connect(self.refresh)
        second.addStretch(2)
        for row in (first, second):
            row.setSpacing(8)
            self.more.addLayout(row)
        self._begin_with_delivery()
        for box in (self.chooser, self.hand, self.paper):
            box.activated.connect(self.refresh)
        self.paper.activated.connect(lambda _: self.paper_chosen.emit(self.paper.currentData()))
        self.print_button.clicked.connect(lambda: print_pdf(self.sheet.pdf, self))
        on_theme_changed(self, self._show_icons)
        self.refresh()

    def _begin_with_delivery(self) -> None:
        """Begin with the field and the hand of the active delivery."""
        side = self._session.active_side
        delivery = self._session.delivery(side)
        self.chooser.setCurrentIndex(self.chooser.findData(self._session.field(side).size))
        if delivery is not None:
            self.hand.setCurrentIndex(self.hand.findData(delivery.athlete.hand))

    def refresh(self, *_ignored: object) -> None:
        """Draw the sheet that is asked for, or say why it cannot be."""
        # it takes a third of a second: once, where it is wanted
        from deliverylab.core.report.field_sheet import field_sheet_pdf
        from deliverylab.core.report.page import PAPERS as SIZES

        paper = self.paper.currentData()
        try:
            pdf = field_sheet_pdf(
                self.chooser.currentData(),
                self.hand.currentData(),
                self._session.unit_system,
                paper,
                self.side_m.value or DISTANCE_M,
                self.rear_m.value or DISTANCE_M,
            )
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.show_sheet(pdf, SIZES[paper][0], WORDS)

    def _show_icons(self) -> None:
        self.print_button.setIcon(icon("print"))
