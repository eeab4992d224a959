"""Solved cameras in the place of the stages: the field from above, what every click leaves, the clocks."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.space import SpaceSolution
from deliverylab.core.vocabulary.views import view
from deliverylab.shell import field_content
from deliverylab.shell.drawing.field_plan import FieldPlan
from deliverylab.shell.drawing.scroll_column import scroll_column
from deliverylab.shell.drawing.sheet_view import WIDEST_PX, SheetView
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.field_plan_content import field_scene
from deliverylab.shell.jobs import Job
from deliverylab.shell.messages import error_text
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_space import ComparedClocks
from deliverylab.shell.theme import on_theme_changed, theme
from deliverylab.shell.widgets.field_answer import FieldAnswer

NOT_SOLVED = "These cameras are not solved yet. Click the field in every clip first."
TABLE_HEAD = ("", "Point", "px", "", "times u")
CURVE = "How badly lines of sight miss each other, over the shift of the second clip's clock."
EDGE_PX = 8
CURVE_HEIGHT = 0.64
"""Height of the drawing of clocks, as a share of the column's width."""
WORDS_WIDTH = 40
"""Width of the column with words, in sizes of the type."""


class CamerasPane(QFrame):
    """How the cameras of a delivery stood, and how far that can be trusted.

    Signals
    -------
    closed()
        Wish to go back.
    field_wanted()
        Wish to click the field.
    """

    closed = Signal()
    field_wanted = Signal()

    fills_window = True

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("pane")
        self.side: Side = side
        self._session = session
        self._job: Job | None = None
        self._solved: SpaceSolution | None = None
        back, self.field = QPushButton("Back"), QPushButton("Cameras on the field …")
        back.clicked.connect(self.closed)
        self.field.clicked.connect(self.field_wanted)
        self._heading = QLabel()
        self._heading.setProperty("role", "heading")
        self._heading.setTextFormat(Qt.TextFormat.PlainText)
        head = QHBoxLayout()
        head.setSpacing(10)
        head.addWidget(back)
        head.addWidget(self._heading, 1)
        head.addWidget(self.field)
        self.plan = FieldPlan()
        self.answer = FieldAnswer()
        self.evidence, self._clock_words = text_label(role="small"), text_label()
        self._marks_words, self._clock_note = text_label(role="small"), text_label(role="small")
        self._table_note = text_label(role="small")
        self.curve = SheetView("Clocks", margin_px=0)
        self._phones, self._table = QGridLayout(), QGridLayout()
        self._area = self._words()
        body = QHBoxLayout()
        body.setSpacing(12)
        body.addWidget(self.plan, 3)
        body.addWidget(self._area, 2)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 10, 12, 10)
        column.setSpacing(8)
        column.addLayout(head)
        column.addLayout(body, 1)
        session.changed.connect(self._on_changed)
        session.selection_changed.connect(self._on_selection_changed)
        session.results_updated.connect(self._show_answer)
        on_theme_changed(self, self._on_theme_changed)
        self.refresh()

    def _words(self) -> QScrollArea:
        """Lay out what is said beside the plan."""
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, EDGE_PX, 0)
        column.setSpacing(7)
        column.addWidget(self.answer)
        column.addWidget(self.evidence)
        for title, parts in (
            ("Where the phones stood", (self._phones,)),
            ("Clocks", (self._clock_words, self.curve, self._marks_words, self._clock_note)),
            ("What every click leaves", (self._table, self._table_note)),
        ):
            label = text_label(title, "strong")
            label.setContentsMargins(0, 8, 0, 0)
            column.addWidget(label)
            for part in parts:
                if isinstance(part, QGridLayout):
                    part.setHorizontalSpacing(12)
                    part.setVerticalSpacing(3)
                    column.addLayout(part)
                else:
                    column.addWidget(part)
        column.addStretch(1)
        area = scroll_column(takes_focus=True)
        area.setWidget(inside)
        return area

    # ------------------------------------------------------------------------------- following

    def _on_changed(self, touches: frozenset[str]) -> None:
        if touches & {"space", "deliveries", "project"}:
            self.refresh()

    def _on_selection_changed(self, side: str) -> None:
        if side == self.side:
            self.refresh()

    def refresh(self) -> None:
        """Show what the delivery's cameras are now."""
        delivery = self._session.delivery(self.side)
        if delivery is None:
            self.closed.emit()
            return
        self._heading.setText(f"Cameras of {delivery.name}")
        field, system = self._session.field(self.side), self._session.unit_system
        stands = self._session.solved_stands(self.side)
        self.plan.show_scene(field_scene(delivery, field, stands, system), system)
        self._show_answer()
        self._show_phones()
        self._show_table(delivery)
        if delivery.space is not self._solved:
            self._solved = delivery.space
            self._show_clocks(delivery)

    def _show_answer(self) -> None:
        delivery = self._session.delivery(self.side)
        if delivery is None or delivery.space is None:
            self.answer.say(field_content.Said(strong=NOT_SOLVED))
            tell(self.evidence, "")
            return
        space = delivery.space
        verdict = field_content.quality(space, self._session.space_freshness(self.side))
        self.answer.say(verdict, [field_content.finding(one) for one in space.findings])
        tell(self.evidence, field_content.evidence(delivery, space))

    def _show_phones(self) -> None:
        _clear(self._phones)
        row = 0
        for stood in self._session.solved_stands(self.side):
            seen = view(stood.view).name
            name = stood.camera if stood.camera == seen else f"{stood.camera} ({seen})"
            self._phones.addWidget(QLabel(name), row, 0, 1, 2)
            for what, value in field_content.stood(stood, self._session.unit_system):
                row += 1
                for at, text in enumerate((what, value)):
                    label = QLabel(text)
                    label.setProperty("role", "small")
                    self._phones.addWidget(label, row, at)
            row += 1
        self._phones.setColumnStretch(2, 1)

    def _show_table(self, delivery: Delivery) -> None:
        _clear(self._table)
        tell(self._table_note, "")
        space, field = delivery.space, self._session.field(self.side)
        if space is None:
            return
        rows = field_content.click_table(field, space, self._session.unit_system)
        for row, cells in enumerate((TABLE_HEAD, *rows)):
            for column, text in enumerate(cells):
                label = QLabel(text)
                label.setProperty("role", "small" if row == 0 or len(cells) > 2 else "")
                if column in {0, 2, 3, 4}:
                    label.setAlignment(Qt.AlignmentFlag.AlignRight)
                self._table.addWidget(label, row, column)
        self._table.setColumnStretch(6, 1)
        tell(self._table_note, field_content.LEGEND)

    # ---------------------------------------------------------------------------------- clocks

    def _show_clocks(self, delivery: Delivery) -> None:
        """Say what the solve has of the clocks, and work out the curve beside the window."""
        space = delivery.space
        for part in (self.curve, self._marks_words, self._clock_note):
            part.hide()
        if self._job is not None:
            self._job.cancel()
        if space is None:
            tell(self._clock_words, "")
            return
        first = space.cameras[0].name
        said = [
            field_content.clock(one.name, first, one.offset_s, space.u_offset_s(one.name))
            for one in space.cameras[1:]
        ]
        tell(self._clock_words, "\n".join(f"{one}." for one in said))
        if space.is_refused:
            return
        tell(self._clock_note, "Working out the curve …")
        self._job = Job(self._session.clock_work(self.side), self)
        self._job.finished.connect(self._on_clocks_compared)
        self._job.failed.connect(self._on_clocks_failed)
        self._job.start()

    def _on_clocks_compared(self, compared: object) -> None:
        clocks: ComparedClocks = compared  # type: ignore[assignment]
        said = [field_content.clock_by_marks(curve) for curve in clocks.curves]
        said += [field_content.clock_by_sound(curve) for curve in clocks.curves]
        words = "\n".join(one for one in said if one)
        self._fit_curve()
        self.curve.show_pdf(clocks.pdf, clocks.width_points)
        self.curve.describe(words)
        self.curve.show()
        tell(self._marks_words, words)
        tell(self._clock_note, CURVE)

    def _on_clocks_failed(self, error: BaseException) -> None:
        if not isinstance(error, DeliveryLabError):
            raise error
        tell(self._clock_note, error_text(error))

    def _on_theme_changed(self) -> None:
        self._area.setMinimumWidth(round(WORDS_WIDTH * theme().point_size()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the drawing of clocks the height that goes with its width."""
        super().resizeEvent(event)
        self._fit_curve()

    def _fit_curve(self) -> None:
        width = min(self._area.viewport().width() - EDGE_PX, WIDEST_PX)
        self.curve.setFixedHeight(round(CURVE_HEIGHT * width))


def _clear(grid: QGridLayout) -> None:
    while grid.count():
        item = grid.takeAt(0)
        widget = item.widget() if item is not None else None
        if widget is not None:
            widget.hide()  # deleted only later, and until then drawn below what comes
            widget.deleteLater()
