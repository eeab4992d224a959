"""What runs of placing again say of people, and taking their figures up as the default ±."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.precision_content import Subject, subjects_of
from deliverylab.shell.session import Session
from deliverylab.shell.widgets.sheet_page import SheetPage

NOTHING = (
    "Nothing is placed again yet. Place landmarks a second time, in frames and in an order that you "
    "cannot foresee: that tells your own ±."
)

N_LEAST_ROWS = 7
"""Rows of the table that are always in sight."""


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
        delivery = session.delivery(session.active_side)
        self._delivery = None if delivery is None else delivery.name
        self.only_here = QCheckBox(f"Only in {self._delivery}".replace("&", "&&"))
        self.only_here.setVisible(delivery is not None)
        self.in_use = text_label(role="small")
        rows = QWidget()
        self._table = QGridLayout(rows)
        self._table.setContentsMargins(0, 0, 0, 0)
        self._table.setHorizontalSpacing(18)
        self._table.setVerticalSpacing(2)
        self._rows = QScrollArea()
        self._rows.setWidgetResizable(True)
        self._rows.setFrameShape(QFrame.Shape.NoFrame)
        self._rows.setWidget(rows)
        row = QHBoxLayout()
        row.setSpacing(8)
        for button in (self.use, self.judged, self.earlier, self.again):
            row.addWidget(button)
        row.addWidget(self.only_here)
        row.addStretch(1)
        self.more.addLayout(row)
        self.more.addWidget(self.in_use)
        self.more.addWidget(self._rows)
        self.chooser.currentIndexChanged.connect(self._show_chosen)
        self.use.clicked.connect(self._on_used)
        self.judged.clicked.connect(self._on_judged)
        self.earlier.clicked.connect(self._on_earlier)
        self.again.clicked.connect(self.again_wanted)
        self.only_here.toggled.connect(self._show_use)
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

    @property
    def _where(self) -> str | None:
        """The delivery whose ± is meant; None for the whole project."""
        return self._delivery if self.only_here.isChecked() else None

    def _show_use(self, *_ignored: object) -> None:
        used = self._session.precision_in_use()
        own = f"{used.placer}'s figures, {used.date}" if used else "the judged figures"
        text = f"In use: {own}."
        n_own = self._session.n_with_own_u(self._where)
        if n_own:
            text += (
                " 1 position carries a u of its own and keeps it."
                if n_own == 1
                else f" {n_own} positions carry a u of their own and keep it."
            )
        tell(self.in_use, text)
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
        from deliverylab.core.report.agreement_plot import agreement_pdf

        subject = self._subjects[place]
        self.use.setVisible(bool(subject.placer))
        self.use.setEnabled(subject.is_usable)
        self._fill(subject.table)
        sheet = subject.sheet
        self.show_sheet(agreement_pdf(sheet), sheet.width, subject.words)

    def _fill(self, table: tuple[tuple[str, ...], ...]) -> None:
        while self._table.count():
            item = self._table.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()  # deleted only later, and until then drawn below the new table
                widget.deleteLater()
        for row, cells in enumerate(table):
            for column, text in enumerate(cells):
                label = QLabel(text)
                label.setProperty("role", "small" if row == 0 else "")
                self._table.addWidget(label, row, column)
        n_columns = max(map(len, table))
        for column in range(max(n_columns, self._table.columnCount()) + 1):
            self._table.setColumnStretch(column, int(column == n_columns))
        # as high as its rows, and never so high that the sheet has no room
        line = self.fontMetrics().height() + 4
        self._rows.setMinimumHeight(min(len(table), N_LEAST_ROWS) * line)
        self._rows.setMaximumHeight((len(table) + 1) * line)
        self._rows.setVisible(len(table) > 1)

    def _on_used(self) -> None:
        placer = self._subjects[self.chooser.currentIndex()].placer
        self._try(
            lambda: self._session.use_figures_of(placer, self._where),
            f"The ± of placing is now {placer}'s own.",
        )

    def _on_judged(self) -> None:
        self._try(
            lambda: self._session.use_precision(None, self._where),
            "The ± of placing is the judged one again.",
        )

    def _on_earlier(self) -> None:
        placer = self._earlier
        self._try(
            lambda: self._session.use_remembered(placer, self._where),
            f"The ± of placing is now {placer}'s.",
        )

    def _try(self, intent: Callable[[], object], done: str) -> None:
        """Carry an intent out and say so, or say why it could not be."""
        try:
            intent()
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        if self._session.uses_no_default(self._where):
            done += " Nothing changes: every position carries a u of its own."
            self.said.emit(done, "caution")
        else:
            self.said.emit(done, "good")
