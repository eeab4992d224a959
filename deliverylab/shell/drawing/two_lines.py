"""Items of a list in two lines: what it is, and below it, quieter, what is to be said of it."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from deliverylab.shell.theme import theme

EDGE, GAP = 8.0, 2.0
Index = QModelIndex | QPersistentModelIndex


class TwoLines(QStyledItemDelegate):
    """Draws the lines of an item's text; what cannot be chosen is a heading."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the height of its lines."""
        small, body = self._fonts(option)
        lines = str(index.data()).split("\n")
        height = QFontMetricsF(body).height() + 2 * EDGE - 4.0
        if len(lines) > 1:
            height += QFontMetricsF(small).height() + GAP
        return QSize(120, round(height))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw it: raised where it is chosen, with a line around it where the keyboard is."""
        look, box = theme(), QRectF(option.rect)
        small, body = self._fonts(option)
        is_head = not index.flags() & Qt.ItemFlag.ItemIsEnabled
        is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if is_chosen:
            has_keys = bool(option.state & QStyle.StateFlag.State_HasFocus)
            painter.setPen(QPen(look.colour("quiet" if has_keys else "line"), 1))
            painter.setBrush(look.colour("raised"))
            painter.drawRoundedRect(box.adjusted(1.5, 1.5, -1.5, -1.5), 6, 6)
        first, *rest = str(index.data()).split("\n")
        metrics = QFontMetricsF(body)
        base = box.top() + EDGE - 2.0 + metrics.ascent()
        room = box.width() - 2 * EDGE
        painter.setFont(body if not is_head else small)
        painter.setPen(look.colour("quiet" if is_head else "text"))
        shown = QFontMetricsF(painter.font()).elidedText(first, Qt.TextElideMode.ElideRight, room)
        painter.drawText(QPointF(box.left() + EDGE, base), shown)
        if rest:
            below = QFontMetricsF(small)
            painter.setFont(small)
            painter.setPen(look.colour("quiet"))
            base += metrics.descent() + GAP + below.ascent()
            shown = below.elidedText(rest[0], Qt.TextElideMode.ElideRight, room)
            painter.drawText(QPointF(box.left() + EDGE, base), shown)
        painter.restore()

    @staticmethod
    def _fonts(option: QStyleOptionViewItem) -> tuple[QFont, QFont]:
        small, body = QFont(option.font), QFont(option.font)
        small.setPointSizeF(theme().point_size(0.9))
        body.setPointSizeF(theme().point_size(1.0))
        return small, body
