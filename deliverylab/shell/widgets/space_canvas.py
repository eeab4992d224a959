"""The figure in space that the hand turns: drag, wheel, arrow keys, and views by name."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.claimed_keys import is_claimed
from deliverylab.shell.drawing.space_figure import SpaceScene, Turn, paint_space, standing_views
from deliverylab.shell.keys import acts
from deliverylab.shell.theme import on_theme_changed, theme

DEGREES_PER_PX = 0.5
KEY_DEG, FINE_DEG = 10.0, 2.0
ZOOM_STEP = 1.2
WHEEL_STEP = 120.0

_KEYS = acts("figure in space")
_TURNS = {
    Qt.Key.Key_Left: (1.0, 0.0),
    Qt.Key.Key_Right: (-1.0, 0.0),
    Qt.Key.Key_Up: (0.0, -1.0),
    Qt.Key.Key_Down: (0.0, 1.0),
}
_MODIFIERS = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


class SpaceCanvas(QWidget):
    """Show a scene from a side that can be chosen.

    Attributes
    ----------
    scene : SpaceScene
        What is shown; `show_scene` sets it.
    turn : Turn
        From where it is seen.

    Signals
    -------
    view_changed(str)
        A view by name is shown, or one of its own: empty.
    trails_toggled()
        Wish to have trails, or none.
    """

    view_changed = Signal(str)
    trails_toggled = Signal()

    _zooms: ClassVar[dict[str, float]] = {"closer": ZOOM_STEP, "farther": 1.0 / ZOOM_STEP}

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.scene = SpaceScene()
        self.turn = Turn()
        self._hand: Hand = "right"
        self._view = ""
        self._held_at: QPointF | None = None
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(180, 180)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Figure in space")
        self.setToolTip("Drag to turn it, wheel for closer; A above, S side, B behind, P plate")
        self.setCursor(Qt.CursorShape.OpenHandCursor)
        on_theme_changed(self, self.update)

    def sizeHint(self) -> QSize:
        """Return a usual size."""
        return QSize(300, 300)

    def show_scene(self, scene: SpaceScene) -> None:
        """Show another scene from where one looks already."""
        scene.is_turning = self._held_at is not None
        self.scene = scene
        drawn = scene.drawn_hand
        if drawn != self._hand:
            self._hand = drawn
            if self._view:
                self.look_from(self._view)
            else:  # the same side of the body is seen, whichever hand throws
                self.turn = replace(self.turn, azimuth_deg=-self.turn.azimuth_deg % 360.0)
        self.update()

    def look_from(self, view: str) -> None:
        """Look from ``above``, the ``side``, ``behind`` or the ``plate``, as close as now."""
        wanted = standing_views(self._hand)[view]
        self._set_turn(Turn(wanted.azimuth_deg, wanted.pitch_deg, self.turn.zoom), view)

    def _set_turn(self, turn: Turn, view: str = "") -> None:
        self.turn = turn
        if view != self._view:
            self._view = view
            self.view_changed.emit(view)
        self.update()

    @property
    def view(self) -> str:
        """The view by name that is shown, or empty."""
        return self._view

    # -------------------------------------------------------------------------------- mouse

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the figure."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._held_at = event.position()
            self.scene.is_turning = True
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Turn it."""
        if self._held_at is not None:
            moved = event.position() - self._held_at
            self._held_at = event.position()
            self._set_turn(
                self.turn.turned(-DEGREES_PER_PX * moved.x(), -DEGREES_PER_PX * moved.y())
            )
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let it go."""
        self._held_at = None
        self.scene.is_turning = False
        self.setCursor(Qt.CursorShape.OpenHandCursor)
        self.update()
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Come closer or go farther."""
        delta = event.angleDelta().y() or event.angleDelta().x()
        self._set_turn(self.turn.zoomed(ZOOM_STEP ** (delta / WHEEL_STEP)), self._view)
        event.accept()

    # --------------------------------------------------------------------------------- keys

    def _action(self, event: QKeyEvent) -> str:
        return "" if event.modifiers() & _MODIFIERS else _KEYS.get(Qt.Key(event.key()), "")

    def event(self, event: QEvent) -> bool:
        """Claim the keys that mean something here before the window's shortcuts see them."""
        return is_claimed(event, self._action) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn it, or look from a side by name; the rest is the window's."""
        action = self._action(event)
        if not action:
            super().keyPressEvent(event)
        elif action == "turn":
            dx, dy = _TURNS[Qt.Key(event.key())]
            is_fine = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            step_deg = FINE_DEG if is_fine else KEY_DEG
            self._set_turn(self.turn.turned(step_deg * dx, step_deg * dy))
        elif action in self._zooms:
            self._set_turn(self.turn.zoomed(self._zooms[action]), self._view)
        elif action == "fit":
            self._set_turn(Turn(self.turn.azimuth_deg, self.turn.pitch_deg), self._view)
        elif action == "trails":
            self.trails_toggled.emit()
        else:
            self.look_from(action)

    # ----------------------------------------------------------------------------- painting

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the scene, and who has the keyboard."""
        painter = QPainter(self)
        font = QFont(self.font())
        font.setPointSizeF(theme().point_size(0.85))
        painter.setFont(font)
        paint_space(painter, self.scene, self.turn, QRectF(self.rect()))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(palette.INK_SOFT, 1.0))
            painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))
        painter.end()
