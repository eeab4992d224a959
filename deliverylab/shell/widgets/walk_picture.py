"""A picture of the walkthrough's clip, as large as its place; a click shows it large."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.shell.drawing.rgb_image import rgb_image
from deliverylab.shell.theme import on_theme_changed, theme

TALLEST = 0.75
"""Height of a picture in a column, as a share of its width."""


class WalkPicture(QWidget):
    """The picture, or words in its place.

    Parameters
    ----------
    is_large : bool
        Whether it fills its place; else it is a button as wide as its column.

    Signals
    -------
    pressed()
        Clicked, or chosen by key.
    """

    pressed = Signal()

    def __init__(self, *, is_large: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._image = QImage()
        self._words = ""
        self._shape = QSizeF(16.0, 9.0)
        self._is_large = is_large
        self.setAccessibleName("The picture in the clip")
        vertical = QSizePolicy.Policy.Expanding if is_large else QSizePolicy.Policy.Preferred
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, vertical)
        policy.setHeightForWidth(not is_large)
        self.setSizePolicy(policy)
        if not is_large:
            self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self.setCursor(Qt.CursorShape.PointingHandCursor)
            self.setToolTip("As it will be in the clip: see it large")
        on_theme_changed(self, self.update)

    @property
    def has_picture(self) -> bool:
        """Whether there is a picture."""
        return not self._image.isNull()

    def show_picture(self, picture: NDArray[np.uint8]) -> None:
        """Show a picture, shape (h, w, 3) RGB."""
        height, width = picture.shape[:2]
        self._image, self._words = rgb_image(picture), ""
        self.set_shape((width, height))
        self.update()

    def set_shape(self, size: tuple[int, int]) -> None:
        """Say what shape the clip has."""
        shape = QSizeF(*size)
        if shape != self._shape:
            self._shape = shape
            self.updateGeometry()

    def say(self, words: str) -> None:
        """Say why there is no picture."""
        self._image, self._words = QImage(), words
        self.update()

    def heightForWidth(self, width: int) -> int:
        """Return the height of the whole picture, within bounds."""
        share = min(self._shape.height() / self._shape.width(), TALLEST)
        return round(width * share)

    def sizeHint(self) -> QSize:
        """Return a size that suits a column."""
        return QSize(280, self.heightForWidth(280))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the picture in the middle, or the words."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = QRectF(self.rect())
        look = theme()
        if self._image.isNull():
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(look.colour("raised"))
            painter.drawRoundedRect(area, 6.0, 6.0)
            painter.setPen(look.colour("quiet"))
            inside = area.adjusted(12, 8, -12, -8)
            wrapped = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(inside, int(wrapped), self._words or "Drawing the picture …")
        else:
            ratio = self.devicePixelRatioF()
            shown = QSizeF(self._shape).scaled(area.size(), Qt.AspectRatioMode.KeepAspectRatio)
            place = QRectF(0.0, 0.0, shown.width(), shown.height())
            place.moveCenter(area.center())
            scaled = self._image.scaled(
                (shown * ratio).toSize(),
                Qt.AspectRatioMode.IgnoreAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
            painter.drawImage(place, scaled)
        if self.hasFocus():
            painter.setPen(look.colour("quiet"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(area.adjusted(0.5, 0.5, -0.5, -0.5), 6.0, 6.0)
        painter.end()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Take a click."""
        if self.rect().contains(event.position().toPoint()):
            self.pressed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}:
            self.pressed.emit()
        else:
            super().keyPressEvent(event)
