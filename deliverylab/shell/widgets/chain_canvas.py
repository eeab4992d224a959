"""The drawing of a chain that answers to the pointer and the keys."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from deliverylab.core.compare.chain_layout import ChainLayout
from deliverylab.core.units import UnitSystem
from deliverylab.shell.drawing.chain_drawing import ChainDrawing, Edge, drawn, paint_chain
from deliverylab.shell.theme import on_theme_changed
from deliverylab.shell.value_text import of_difference, of_result

_STEPS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_EMPTY = ChainLayout((), (), ())


class ChainCanvas(QWidget):
    """Points of a chain in columns; a click or the keys choose one.

    Signals
    -------
    chosen(object)
        Metric and event of the point in hand.
    """

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._layout = _EMPTY
        self._system: UnitSystem = "metric"
        self._dashed: frozenset[Edge] = frozenset()
        self._first: tuple[str, str] | None = None
        self._drawing: ChainDrawing | None = None
        self._selected: int | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAccessibleName("What the differences start with and lead to")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        on_theme_changed(self, self._redraw)

    @property
    def drawing(self) -> ChainDrawing:
        """What is painted, for the present width."""
        if self._drawing is None:
            self._drawing = drawn(
                self._layout, self.width(), self._system, dashed=self._dashed, first=self._first
            )
        return self._drawing

    def show_chain(
        self,
        layout: ChainLayout,
        system: UnitSystem,
        *,
        dashed: frozenset[Edge] = frozenset(),
        first: tuple[str, str] | None = None,
    ) -> None:
        """Show this chain; the point in hand stays in hand where it is still there.

        Parameters
        ----------
        layout : ChainLayout
        system : {"metric", "imperial"}
            The reader's units.
        dashed : frozenset of (int, int)
            Edges that lead over what is not clear.
        first : (str, str), optional
            The start that carries most.
        """
        key = self.selected
        self._layout, self._system = layout, system
        self._dashed, self._first = dashed, first
        self._selected = None
        self._redraw()
        self.select(key)

    @property
    def selected(self) -> tuple[str, str] | None:
        """Metric and event of the point in hand."""
        if self._selected is None:
            return None
        return self._layout.nodes[self._selected].node.key

    def select(self, key: tuple[str, str] | None) -> None:
        """Take a point in hand, without saying so; None, or one that is not drawn, lets go."""
        numbers = {placed.node.key: n for n, placed in enumerate(self._layout.nodes)}
        self._selected = None if key is None else numbers.get(key)
        said = "" if self._selected is None else self._said(self._selected)
        self.setAccessibleDescription(said)
        self.update()

    def _choose(self, number: int) -> None:
        self.select(self._layout.nodes[number].node.key)
        self.chosen.emit(self.selected)

    def _said(self, number: int) -> str:
        node = self._layout.nodes[number].node
        a, b = (of_result(one, self._system) for one in (node.difference.a, node.difference.b))
        change = of_difference(node.difference, self._system)
        return f"{node.words}\n{' '.join(a)}  against  {' '.join(b)}\ndifference {' '.join(change)}"

    def _redraw(self) -> None:
        self._drawing = None
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return the height that all rows take at the present width."""
        return QSize(400, round(self.drawing.height))

    def minimumSizeHint(self) -> QSize:
        """Return the same height: nothing is cut."""
        return QSize(200, round(self.drawing.height))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw for another width."""
        super().resizeEvent(event)
        if event.oldSize().width() != self.width():
            self._redraw()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        painter = QPainter(self)
        paint_chain(painter, self.drawing, selected=self._selected, is_focused=self.hasFocus())
        painter.end()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keys are."""
        super().focusInEvent(event)
        if self._selected is None and event.reason() in {
            Qt.FocusReason.TabFocusReason,
            Qt.FocusReason.BacktabFocusReason,
        }:
            self._select_first()
        self.update()

    def _select_first(self) -> None:
        starts = [placed.node.key for placed in self._layout.nodes if placed.is_start]
        self.select(starts[0] if starts else None)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Show that a box can be clicked."""
        is_over = self.drawing.at(event.position()) is not None
        self.setCursor(Qt.CursorShape.PointingHandCursor if is_over else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Take a click."""
        number = self.drawing.at(event.position())
        if number is not None:
            self._choose(number)

    def event(self, event: QEvent) -> bool:
        """Explain the box under the pointer."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            number = self.drawing.at(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), "" if number is None else self._said(number), self)
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go from box to box with the arrows; Enter shows the instant."""
        step = _STEPS.get(Qt.Key(event.key()))
        if step is not None and self._layout.nodes:
            self._step(*step)
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and self._selected is not None:
            self._choose(self._selected)
        else:
            super().keyPressEvent(event)

    def _step(self, across: int, down: int) -> None:
        """Take the nearest box in a direction in hand."""
        if self._selected is None:
            self._select_first()
            return
        nodes = self._layout.nodes
        here = nodes[self._selected]
        ahead = [
            (abs(one.column - here.column), abs(one.row - here.row), number)
            for number, one in enumerate(nodes)
            if (one.column - here.column) * across > 0
            or (one.column == here.column and (one.row - here.row) * down > 0)
        ]
        if ahead:
            self.select(nodes[min(ahead)[2]].node.key)
