"""What a hand does, with sub-pixel places and buttons held, which QTest cannot do."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

LEFT = Qt.MouseButton.LeftButton
MIDDLE = Qt.MouseButton.MiddleButton
NO_KEYS = Qt.KeyboardModifier.NoModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
CTRL = Qt.KeyboardModifier.ControlModifier
# events name a screen pixel's upper left corner, and its middle is meant
HALF = QPointF(0.5, 0.5)


def _send(widget: QWidget, kind: QEvent.Type, at: QPointF, button, buttons, keys) -> None:
    place = at - HALF
    event = QMouseEvent(kind, place, QPointF(widget.mapToGlobal(place)), button, buttons, keys)
    QApplication.sendEvent(widget, event)


def move(widget: QWidget, at: QPointF, *, buttons=Qt.MouseButton.NoButton, keys=NO_KEYS) -> None:
    """Move the pointer to a place."""
    _send(widget, QEvent.Type.MouseMove, at, Qt.MouseButton.NoButton, buttons, keys)


def press(widget: QWidget, at: QPointF, *, button=LEFT, keys=NO_KEYS) -> None:
    """Press a button and hold it."""
    _send(widget, QEvent.Type.MouseButtonPress, at, button, button, keys)


def release(widget: QWidget, at: QPointF, *, button=LEFT, keys=NO_KEYS) -> None:
    """Let a button go."""
    _send(widget, QEvent.Type.MouseButtonRelease, at, button, Qt.MouseButton.NoButton, keys)


def click(widget: QWidget, at: QPointF, *, button=LEFT, keys=NO_KEYS) -> None:
    """Move there, press and let go."""
    move(widget, at, keys=keys)
    press(widget, at, button=button, keys=keys)
    release(widget, at, button=button, keys=keys)


def drag(widget: QWidget, places: list[QPointF], *, button=LEFT, keys=NO_KEYS) -> None:
    """Press at the first place, go through the others, let go at the last."""
    press(widget, places[0], button=button, keys=keys)
    for place in places[1:]:
        move(widget, place, buttons=button, keys=keys)
    release(widget, places[-1], button=button, keys=keys)


def double_click(widget: QWidget, at: QPointF) -> None:
    """Click twice quickly."""
    click(widget, at)
    _send(widget, QEvent.Type.MouseButtonDblClick, at, LEFT, LEFT, NO_KEYS)
    release(widget, at)


def turn_wheel(widget: QWidget, at: QPointF, turns: float, *, keys=NO_KEYS) -> None:
    """Turn the wheel by so many notches, away from the hand positive."""
    place = at - HALF
    event = QWheelEvent(
        place,
        QPointF(widget.mapToGlobal(place)),
        QPoint(),
        QPoint(0, round(120 * turns)),
        Qt.MouseButton.NoButton,
        keys,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, event)


def tap(widget: QWidget, key: Qt.Key, keys=NO_KEYS) -> None:
    """Press a key and let it go."""
    QTest.keyClick(widget, key, keys)
