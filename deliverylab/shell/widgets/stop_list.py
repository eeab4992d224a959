"""The stops of a walkthrough, in the order in which they are shown."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from deliverylab.shell.drawing.claimed_keys import is_claimed
from deliverylab.shell.theme import on_theme_changed, theme
from deliverylab.shell.walk_content import StopRow

ROW = Qt.ItemDataRole.UserRole
MOST_ROWS = 6
PADDING = 6
Index = QModelIndex | QPersistentModelIndex


class _RowPainter(QStyledItemDelegate):
    """Two lines a stop: number, name and pause; below, what is said."""

    def sizeHint(self, option: QStyleOptionViewItem, _index: Index) -> QSize:
        """Return the height of two lines."""
        large, small = _fonts(option.font)
        height = QFontMetrics(large).height() + QFontMetrics(small).height() + 2 * PADDING
        return QSize(120, height)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one stop."""
        row: StopRow = index.data(ROW)
        look, rect = theme(), option.rect.adjusted(0, 1, 0, -1)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.setPen(Qt.PenStyle.NoPen)
        if is_chosen or option.state & QStyle.StateFlag.State_MouseOver:
            painter.setBrush(look.colour("raised"))
            painter.drawRoundedRect(rect, 6, 6)
        if is_chosen:
            painter.setBrush(look.colour("accent"))
            painter.drawRoundedRect(QRect(rect.left(), rect.top() + 5, 3, rect.height() - 10), 1, 1)
        large, small = _fonts(option.font)
        upper, lower = QFontMetrics(large), QFontMetrics(small)
        line = QRect(rect.left() + 9, rect.top() + PADDING - 1, rect.width() - 17, upper.height())
        painter.setFont(small)
        painter.setPen(look.colour("quiet"))
        pause_width = lower.horizontalAdvance(row.pause)
        painter.drawText(
            line, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, row.pause
        )
        painter.setFont(large)
        painter.setPen(look.colour("text"))
        name = f"{index.row() + 1}  {row.name}"
        room = line.width() - pause_width - 10
        painter.drawText(
            line,
            Qt.AlignmentFlag.AlignVCenter,
            upper.elidedText(name, Qt.TextElideMode.ElideRight, room),
        )
        below = QRect(line.left(), line.bottom() + 1, line.width(), lower.height())
        painter.setFont(small)
        painter.setPen(look.colour("quiet" if row.caption else "faint"))
        said = row.caption.replace("\n", " ") or "nothing is said"
        drawn = f"✎ {row.n_drawings}  " if row.n_drawings else ""
        text = lower.elidedText(drawn + said, Qt.TextElideMode.ElideRight, below.width())
        painter.drawText(below, Qt.AlignmentFlag.AlignVCenter, text)
        painter.restore()


class StopList(QListWidget):
    """Choose a stop, or put it elsewhere: by dragging it, or by Alt with Up and Down.

    Signals
    -------
    stop_chosen(int)
        Clicked, or gone to by keys.
    stop_moved(int, int)
        From which place to which.
    removal_wanted(int)
        Del was pressed.
    """

    stop_chosen = Signal(int)
    stop_moved = Signal(int, int)
    removal_wanted = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Stops of the walkthrough")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setItemDelegate(_RowPainter(self))
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setMouseTracking(True)
        self.viewport().setAutoFillBackground(False)
        self._is_filling = False
        self.currentRowChanged.connect(self._on_row_changed)
        self.itemClicked.connect(lambda item: self.stop_chosen.emit(self.row(item)))
        self.model().rowsMoved.connect(self._on_rows_moved)
        on_theme_changed(self, self._fit)

    def show_stops(self, rows: Sequence[StopRow], chosen: int) -> None:
        """Show these stops, one of them chosen; -1 is none."""
        self._is_filling = True
        while self.count() > len(rows):
            self.takeItem(self.count() - 1)
        while self.count() < len(rows):
            self.addItem(QListWidgetItem())
        for number, row in enumerate(rows):
            item = self.item(number)
            if item.data(ROW) != row:
                item.setData(ROW, row)
                text = f"{row.name}, {row.pause}. {row.caption}"
                item.setData(Qt.ItemDataRole.AccessibleTextRole, text)
                item.setToolTip(row.caption)
        self.setCurrentRow(chosen)
        self._is_filling = False
        self._fit()

    def _fit(self) -> None:
        n_rows = min(max(self.count(), 1), MOST_ROWS)
        self.setFixedHeight(n_rows * max(self.sizeHintForRow(0), 20) + 2)

    def _on_row_changed(self, row: int) -> None:
        if row >= 0 and not self._is_filling and self.hasFocus():
            self.stop_chosen.emit(row)

    def _on_rows_moved(self, _parent: Index, start: int, _end: int, _to: Index, row: int) -> None:
        if not self._is_filling:
            # the list must not be filled anew while the drop is still going on
            to = row - 1 if row > start else row
            QTimer.singleShot(0, self, lambda: self.stop_moved.emit(start, to))

    def _action(self, event: QKeyEvent) -> str:
        key, is_alt = event.key(), bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        if key in {Qt.Key.Key_Up, Qt.Key.Key_Down}:
            return "move" if is_alt else "go"
        return "remove" if key == Qt.Key.Key_Delete else ""

    def event(self, event: QEvent) -> bool:
        """Claim the list's own keys before the window's shortcuts see them."""
        return is_claimed(event, self._action) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move or remove the chosen stop."""
        action, row = self._action(event), self.currentRow()
        if action == "remove" and row >= 0:
            self.removal_wanted.emit(row)
        elif action == "move" and row >= 0:
            to = row + (1 if event.key() == Qt.Key.Key_Down else -1)
            if 0 <= to < self.count():
                self.stop_moved.emit(row, to)
        else:
            super().keyPressEvent(event)


def _fonts(font: QFont) -> tuple[QFont, QFont]:
    large, small = QFont(font), QFont(font)
    large.setPointSizeF(theme().point_size())
    large.setWeight(QFont.Weight.DemiBold)
    small.setPointSizeF(theme().point_size(0.88))
    return large, small
