"""What became of an athlete's numbers over visits: a list of metrics, and the sheet of their courses."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QComboBox, QFrame, QListWidget, QListWidgetItem, QSplitter, QWidget

from deliverylab.core.compare.course import Course
from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.report.progress_words import (
    brief_words,
    chance_words,
    change_words,
    course_name,
    ranked_courses,
    summary_words,
)
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.drawing.two_lines import TwoLines
from deliverylab.shell.progress_content import ProgressReading
from deliverylab.shell.session import Session
from deliverylab.shell.theme import theme
from deliverylab.shell.widgets.sheet_page import SheetPage

ALL = "All that is planned or changed"
HEADS = {
    "changed": "Changed",
    "no detectable change": "No detectable change",
    "too few deliveries": "Too few deliveries to tell",
    "one visit only": "Measured at one visit only",
}
UNSAVED = "Save the project first: progress is read from the projects in its folder."
LIST_WIDTH = 264
DESIGNED_POINT_SIZE = 9.0
"""Type size for which that width was chosen."""
NOTHING = (
    "No delivery of this athlete has both a date and a number yet. A visit is a day: give each delivery "
    "its date under its facts."
)
KEY = Qt.ItemDataRole.UserRole


class ProgressPane(SheetPage):
    """The athletes of the folder's projects over their visits.

    Attributes
    ----------
    metrics : QListWidget
        All metrics by what became of them; the chosen one is shown large.
    """

    fills_window = True

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        folder = session.path.parent if session.path else Path.home()
        super().__init__("Progress", "progress", folder, parent)
        self._session = session
        self._courses: tuple[Course, ...] = ()
        self._remarks: tuple[str, ...] = ()
        self._is_due = True
        self._reading: ProgressReading | None = None
        self.chooser.setAccessibleName("Athlete")
        self.chooser.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.metrics = QListWidget()
        self.metrics.setAccessibleName("Metrics")
        self.metrics.setFrameShape(QFrame.Shape.NoFrame)
        self.metrics.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.metrics.setItemDelegate(TwoLines(self.metrics))
        self.metrics.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.notes = text_label(role="small")
        self.more.addWidget(self.notes)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.setHandleWidth(8)
        split.addWidget(self.metrics)
        column = self.layout()
        if column is not None:
            column.replaceWidget(self.sheet, split)
        split.addWidget(self.sheet)
        split.setSizes([round(LIST_WIDTH * theme().point_size() / DESIGNED_POINT_SIZE), 700])
        split.setStretchFactor(1, 1)
        self.chooser.currentIndexChanged.connect(self._on_athlete_chosen)
        self.metrics.currentItemChanged.connect(self._show_chosen)
        session.changed.connect(self._on_changed)

    def showEvent(self, event: QShowEvent) -> None:
        """Read the folder's projects."""
        super().showEvent(event)
        if self._is_due:
            self._is_due = False
            QTimer.singleShot(0, self, self.refresh)

    def _on_changed(self, _touches: frozenset[str]) -> None:
        self._is_due = True

    def refresh(self) -> None:
        """Read the projects of the folder anew."""
        try:
            findings = self._session.athlete_findings()
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        if findings is None:
            self._show_courses((), ())
            tell(self.words, UNSAVED)
            self.chooser.hide()
            return
        self.chooser.show()
        own = self._session.delivery("athlete")
        wanted = self.chooser.currentText() or (own.athlete.name if own is not None else "")
        self._reading = ProgressReading(findings, self)
        self._reading.progressed.connect(self._on_progressed)
        self._reading.finished.connect(self._show_courses)
        self.chooser.blockSignals(True)
        self.chooser.clear()
        self.chooser.addItems(findings.athletes)
        self.chooser.setCurrentIndex(max(0, self.chooser.findText(wanted)))
        self.chooser.blockSignals(False)
        self._on_athlete_chosen()

    def _on_athlete_chosen(self, *_ignored: object) -> None:
        if self._reading is not None and self.chooser.currentText():
            self._reading.read(self.chooser.currentText())

    def _on_progressed(self, done: int, of: int) -> None:
        tell(self.words, f"Measuring delivery {done + 1} of {of} …")

    def _show_courses(self, courses: tuple[Course, ...], remarks: tuple[str, ...]) -> None:
        """List all metrics, and show those that are planned or changed."""
        self._courses, self._remarks = courses, remarks
        tell(self.words, summary_words(courses) if courses else NOTHING)
        several = [remark for remark in remarks if remark]
        text = " ".join((chance_words(courses), *(f"{remark}." for remark in several[:2])))
        if len(several) > 2:
            text += f" {len(several) - 2} more were passed over."
        tell(self.notes, text.strip())
        self.notes.setToolTip("\n".join(several))
        self.metrics.blockSignals(True)
        self.metrics.clear()
        self._add_item(ALL, None)
        groups: dict[str, list[Course]] = {verdict: [] for verdict in HEADS}
        for course in ranked_courses(courses):
            groups[course.change.verdict if course.change else "one visit only"].append(course)
        for verdict, ones in groups.items():
            if not ones:
                continue
            self._add_head(f"{HEADS[verdict]}  ·  {len(ones)}")
            for course in ones:
                self._add_item(course_name(course), (course.metric, course.event), course)
        self.metrics.setCurrentRow(0)
        self.metrics.blockSignals(False)
        self.metrics.setVisible(bool(courses))
        self._show_chosen()

    def _add_item(
        self, text: str, key: tuple[str, str] | None, course: Course | None = None
    ) -> None:
        item = QListWidgetItem(text)
        item.setData(KEY, key)
        if course is not None:
            system = self._session.unit_system
            if brief := brief_words(course, system):
                item.setText(f"{text}\n{brief}")
            item.setToolTip(f"{text}\n{change_words(course, course.change, system)}")
        self.metrics.addItem(item)

    def _add_head(self, text: str) -> None:
        item = QListWidgetItem(text)
        item.setFlags(Qt.ItemFlag.NoItemFlags)
        self.metrics.addItem(item)

    def _show_chosen(self, *_ignored: object) -> None:
        row = self.metrics.currentRow()
        if not self._courses:
            self.sheet.show_pdf(b"", 0.0)
            self.save_button.setEnabled(False)
            return
        from deliverylab.core.report.progress_plot import WIDTH, ProgressSheet, progress_pdf

        sheet = ProgressSheet(
            athlete=self.chooser.currentText(),
            courses=self._courses,
            remarks=self._remarks,
            system=self._session.unit_system,
            only=self.metrics.item(row).data(KEY) if row >= 0 else None,
        )
        self.sheet.show_pdf(progress_pdf(sheet), WIDTH)
        self.sheet.describe(self.metrics.item(row).text() if row >= 0 else ALL)
        self.save_button.setEnabled(True)
