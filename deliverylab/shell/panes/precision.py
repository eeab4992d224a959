"""What runs of placing again say of people, and taking their figures up as the default ±."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.report.agreement_plot import AgreementSheet, agreement_pdf
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.precision_content import Subject, subjects_of
from deliverylab.shell.session import Session
from deliverylab.shell.widgets.sheet_page import SheetPage

NOTHING = (
    "Nothing is placed again yet. Place landmarks a second time, in frames and in an order that you "
    "cannot foresee: that tells your own ±."
)


class PrecisionPane(SheetPage):
    """Each person's scatter by part of the body, and how two people differ.

    Signals
    -------
    again_wanted()
        Wish to place again.
    """

    again_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        folder = session.path.parent if session.path else Path.home()
        super().__init__("How well I place", "precision", folder, parent)
        self._session = session
        self._subjects: tuple[Subject, ...] = ()
        self._earlier = ""
        self.chooser.setAccessibleName("Person, or pair of people")
        self.use, self.judged = QPushButton("Use as my ±"), QPushButton("Back to the judged ±")
        self.use.setProperty("role", "main")
        self.earlier, self.again = QPushButton(), QPushButton("Place again …")
        self._in_use = text_label(role="small")
        self._table = QGridLayout()
        self._table.setHorizontalSpacing(22)
        self._table.setVerticalSpacing(2)
        row = QHBoxLayout()
        row.setSpacing(8)
        for button in (self.use, self.judged, self.earlier, self.again):
            row.addWidget(button)
        row.addStretch(1)
        self.more.addLayout(row)
        self.more.addWidget(self._in_use)
        self.more.addLayout(self._table)
        self.chooser.currentIndexChanged.connect(self._show_chosen)
        self.use.clicked.connect(self._on_used)
        self.judged.clicked.connect(self._on_judged)
        self.earlier.clicked.connect(self._on_earlier)
        self.again.clicked.connect(self.again_wanted)
        session.changed.connect(self._on_changed)
        self.refresh()

    def _on_changed(self, touches: frozenset[str]) -> None:
        if touches & {"precision", "deliveries", "project"}:
            self.refresh()

    def refresh(self) -> None:
        """Show what the runs say now."""
        name = self.chooser.currentText()
        self._subjects = subjects_of(self._session.precision_report())
        self.chooser.blockSignals(True)
        self.chooser.clear()
        self.chooser.addItems([one.name for one in self._subjects])
        self.chooser.setCurrentIndex(max(0, self.chooser.findText(name)))
        self.chooser.blockSignals(False)
        self.chooser.setVisible(bool(self._subjects))
        self._show_use()
        self._show_chosen()

    def _show_use(self) -> None:
        used = self._session.precision_in_use()
        own = f"{used.placer}'s figures, {used.date}" if used else "the judged figures"
        text = f"In use: {own}."
        n_own = self._session.n_with_own_u()
        if n_own:
            text += f" {n_own} positions carry a u of their own and keep it."
        tell(self._in_use, text)
        self.judged.setVisible(used is not None)
        try:
            known = self._session.remembered_placers()
        except DeliveryLabError as error:
            self.show_problem(error)
            known = ()
        here = {one.placer for one in self._subjects} | ({used.placer} if used else set())
        self._earlier = next((name for name in reversed(known) if name not in here), "")
        self.earlier.setVisible(bool(self._earlier))
        self.earlier.setText(f"Use {self._earlier}'s figures from earlier")

    def _show_chosen(self, *_ignored: object) -> None:
        place = self.chooser.currentIndex()
        if not 0 <= place < len(self._subjects):
            self._fill(((),))
            self.use.hide()
            self.show_sheet(b"", 0.0, NOTHING)
            return
        subject = self._subjects[place]
        self.use.setVisible(bool(subject.placer))
        self.use.setEnabled(subject.is_usable)
        self._fill(subject.table)
        sheet: AgreementSheet = subject.sheet
        self.show_sheet(agreement_pdf(sheet), sheet.width, subject.words)

    def _fill(self, table: tuple[tuple[str, ...], ...]) -> None:
        while self._table.count():
            item = self._table.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.deleteLater()
        for row, cells in enumerate(table):
            for column, text in enumerate(cells):
                label = QLabel(text)
                label.setProperty("role", "small" if row == 0 else "")
                self._table.addWidget(label, row, column)
        self._table.setColumnStretch(max(map(len, table)), 1)

    def _on_used(self) -> None:
        subject = self._subjects[self.chooser.currentIndex()]
        try:
            self._session.use_figures_of(subject.placer)
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.said.emit(f"The ± of placing is now {subject.placer}'s own.", "good")

    def _on_judged(self) -> None:
        self._session.use_precision(None)
        self.said.emit("The ± of placing is the judged one again.", "note")

    def _on_earlier(self) -> None:
        placer = self._earlier
        self._session.use_remembered(placer)
        self.said.emit(f"The ± of placing is now {placer}'s.", "good")
