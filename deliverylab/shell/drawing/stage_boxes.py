"""Boxes over a picture: one that a hand draws, and people of whom one is to be chosen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.caption import paint_caption
from deliverylab.shell.drawing.view_transform import ViewTransform

CAPTION_BELOW = 16.0


class StageBox(NamedTuple):
    """A box on a stage: its corners in the frame, px, what stands in it, and how it is drawn."""

    left_px: float
    top_px: float
    right_px: float
    bottom_px: float
    text: str = ""
    is_chosen: bool = False

    def contains(self, x_px: float, y_px: float) -> bool:
        """Return whether a place lies in it."""
        return self.left_px <= x_px <= self.right_px and self.top_px <= y_px <= self.bottom_px

    @property
    def size_px(self) -> float:
        """Its longer side, px."""
        return max(self.right_px - self.left_px, self.bottom_px - self.top_px)


def box_between(a: tuple[float, float], b: tuple[float, float]) -> StageBox:
    """Return the box between two opposite corners, frame px."""
    left, right = sorted((a[0], b[0]))
    top, bottom = sorted((a[1], b[1]))
    return StageBox(left, top, right, bottom)


def paint_boxes(painter: QPainter, boxes: Sequence[StageBox], view: ViewTransform) -> None:
    """Paint outlines on a halo, the chosen one thick with a wash, each with its words in it."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    for box in boxes:
        a = view.to_widget(box.left_px, box.top_px)
        b = view.to_widget(box.right_px, box.bottom_px)
        rect = QRectF(a, b).normalized()
        width = 2.4 if box.is_chosen else 1.6
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(palette.HALO, width + 2.6))
        painter.drawRect(rect)
        if box.is_chosen:
            wash = QColor(palette.PICKED)
            wash.setAlpha(26)
            painter.setBrush(wash)
        pen = QPen(palette.PICKED, width)
        if not box.is_chosen:
            pen.setDashPattern([5.0, 3.0])
        painter.setPen(pen)
        painter.drawRect(rect)
        if box.text:
            at = QPointF(rect.center().x(), rect.top() + CAPTION_BELOW)
            paint_caption(painter, view.area, at, box.text)
