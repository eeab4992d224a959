"""The stage: a frame's picture with the body on it, where landmarks are placed and moved."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from deliverylab.shell.drawing.claimed_keys import is_claimed
from deliverylab.shell.drawing.guess_surface import FINE_KEYS, SHIFTED, GuessSurface
from deliverylab.shell.drawing.handle_surface import DRAG_STARTS
from deliverylab.shell.drawing.skeleton import StagePoint
from deliverylab.shell.keys import acts

HIT_RADIUS = 10.0
CHOOSE_RADIUS = 4.0
"""While a landmark is asked for, a click farther than this from another one places it: joints lie
close together, and what is meant is the place.  A drag moves the near one all the same."""
FINE_SHARE = 0.1
ZOOM_STEP = 1.25
WHEEL_STEP = 120.0

# what arrows mean while there is nothing to nudge, as in the scrub bar below
_FRAMES = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_EVENTS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
_KEYS = acts("stage")


@dataclass
class _Drag:
    """A landmark under the pressed button: it begins once the pointer has gone some way.

    One that does not begin and `is_beside` was a click that places the landmark asked for.
    """

    key: str
    pressed: QPointF
    last: QPointF
    is_moving: bool = False
    is_beside: bool = False


class StageCanvas(GuessSurface):
    """Turn clicks, drags and keys on a stage into signals.

    Nothing is kept but what is shown: whoever listens stores the positions and sets them again.

    Which keys do what stands in `deliverylab.shell.keys`.

    Signals
    -------
    landmark_moved(str, float, float)
        Key and frame px; what `PlacingSurface` and `GuessSurface` tell comes as well.
    drag_started(str), drag_ended(str)
        A landmark is being moved; what is moved in between is one gesture.
    landmark_chosen(str)
        The landmark that nudges move; empty when none.
    landmark_skipped(str), landmark_hidden(str), landmark_removed(str)
        Keys.
    frames_stepped(int), events_stepped(int)
        Wish to go on by some frames; to the event after (1) or before (-1).
    activated()
        The stage was clicked or given the keyboard.
    """

    landmark_moved = Signal(str, float, float)
    drag_started = Signal(str)
    drag_ended = Signal(str)
    landmark_chosen = Signal(str)
    landmark_skipped = Signal(str)
    landmark_hidden = Signal(str)
    landmark_removed = Signal(str)
    frames_stepped = Signal(int)
    events_stepped = Signal(int)
    activated = Signal()

    _zooms: ClassVar[dict[str, float]] = {"closer": ZOOM_STEP, "farther": 1.0 / ZOOM_STEP}
    _steps: ClassVar[dict[str, int]] = {"back": -1, "on": 1}

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._drag: _Drag | None = None
        self._panned_from: QPointF | None = None
        self._held: set[int] = set()
        self._wheel = 0.0
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Stage")

    @property
    def _wants_loupe(self) -> bool:
        return self._panned_from is None and (super()._wants_loupe or Qt.Key.Key_L in self._held)

    def _nearest(self, at: QPointF) -> str:
        """Return the landmark within the hit radius, the nearest; or empty."""
        best, best_distance = "", HIT_RADIUS
        for key, point in self.scene.points.items():
            if point.state != "hidden":
                place = self.view.to_widget(point.x_px, point.y_px)
                distance = math.hypot(place.x() - at.x(), place.y() - at.y())
                if distance < best_distance:
                    best, best_distance = key, distance
        return best

    def _choose(self, key: str) -> None:
        if key != self.scene.chosen:
            self.set_chosen(key)
            self.landmark_chosen.emit(key)

    # -------------------------------------------------------------------------------- mouse

    def _place_of(self, event: QMouseEvent | QWheelEvent) -> QPointF:
        """Return the middle of the screen pixel that the pointer is on.

        Events name its upper left corner; on a large frame half a screen pixel is more than one
        of the frame.
        """
        half = 0.5 / self.devicePixelRatioF()
        return event.position() + QPointF(half, half)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose, place or begin to pan."""
        self.activated.emit()
        self._pointer = self._place_of(event)
        is_left = event.button() == Qt.MouseButton.LeftButton
        if event.button() == Qt.MouseButton.MiddleButton or (
            is_left and Qt.Key.Key_Space in self._held
        ):
            self._panned_from = self._pointer
            self._update_cursor()
        elif is_left and self.is_picking:
            self._press_picking(self._pointer)
        elif is_left and self.has_handles:
            self._take_handle(self._pointer)
            self.update()
        elif is_left:
            self._press_on_body(event.modifiers())
        event.accept()

    def _press_on_body(self, modifiers: Qt.KeyboardModifier) -> None:
        key = self._nearest(self._pointer)
        if key and not modifiers & Qt.KeyboardModifier.ControlModifier:
            is_beside = self._places_beside(key)
            self._drag = _Drag(key, self._pointer, self._pointer, is_beside=is_beside)
            self._is_ready()
            if not is_beside:
                self._choose(key)
        elif self.scene.next_key:
            self._want_to_place(self.scene.next_key, self._pointer)
        else:
            self._choose("")

    def _places_beside(self, key: str) -> bool:
        """Return whether a click here places the landmark asked for, beside another one."""
        point = self.scene.points[key]
        away = self.view.to_widget(point.x_px, point.y_px) - self._pointer
        is_near = math.hypot(away.x(), away.y()) <= CHOOSE_RADIUS
        return bool(self.scene.next_key) and not is_near

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag, pan, or show what is under the pointer."""
        self._pointer = at = self._place_of(event)
        self._is_pointing = True
        self._is_inside = self.rect().contains(event.position().toPoint())
        self._move_picking(at)
        if self._panned_from is not None:
            moved = at - self._panned_from
            self._panned_from = at
            self.view = self.view.panned(moved.x(), moved.y())
        elif self.scene.held_handle:
            is_fine = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self._drag_handle(at, FINE_SHARE if is_fine else 1.0)
        elif self._drag is not None:
            self._drag_to(self._drag, at, event.modifiers())
        elif self.has_handles and not self.is_picking:
            self._update_cursor()
        else:
            self.scene.hovered = self._nearest(at)
            self._update_cursor()
        self.update()

    def _drag_to(self, drag: _Drag, at: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        moved = at - drag.pressed
        if not drag.is_moving:
            if not self.is_exact or math.hypot(moved.x(), moved.y()) < DRAG_STARTS:
                return
            drag.is_moving = True
            self._choose(drag.key)
            self.scene.moving = drag.key
            self.drag_started.emit(drag.key)
        share = FINE_SHARE if modifiers & Qt.KeyboardModifier.ShiftModifier else 1.0
        step, drag.last = (at - drag.last) * share, at
        point = self.scene.points.get(drag.key)
        if point is None:
            return
        place = self.view.to_widget(point.x_px, point.y_px) + step
        x_px, y_px = self.view.to_frame(place)
        x_px = min(max(x_px, -0.5), self.view.frame_width - 0.5)
        y_px = min(max(y_px, -0.5), self.view.frame_height - 0.5)
        self.scene.points[drag.key] = StagePoint(x_px, y_px, "placed")
        self.landmark_moved.emit(drag.key, x_px, y_px)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End a drag or a pan."""
        self._panned_from = None
        self._release_picking()
        drag, self._drag = self._drag, None
        self.scene.moving = self.scene.held_handle = ""
        if drag is not None and drag.is_moving:
            self.drag_ended.emit(drag.key)
        elif drag is not None and drag.is_beside and self.scene.next_key:
            self._want_to_place(self.scene.next_key, drag.pressed)
        self._update_cursor()
        self.update()
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer; with Shift, step the frame."""
        delta = event.angleDelta().y() or event.angleDelta().x()
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self._wheel += delta / WHEEL_STEP
            n_frames = int(self._wheel)
            self._wheel -= n_frames
            if n_frames:
                self.frames_stepped.emit(-n_frames)
        else:
            self.zoom(ZOOM_STEP ** (delta / WHEEL_STEP), self._place_of(event))
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        """Take the loupe away."""
        self._is_inside = False
        self.scene.hovered = ""
        self.update()
        super().leaveEvent(event)

    def _update_cursor(self) -> None:
        if self._panned_from is not None:
            shape = Qt.CursorShape.ClosedHandCursor
        elif Qt.Key.Key_Space in self._held:
            shape = Qt.CursorShape.OpenHandCursor
        elif self.has_handles and not self.is_picking:
            over = self.handle_at(self._pointer)
            shape = Qt.CursorShape.PointingHandCursor if over else Qt.CursorShape.ArrowCursor
        elif self.scene.hovered and not self.is_picking:
            shape = Qt.CursorShape.PointingHandCursor
        elif self.is_picking or self.scene.next_key:
            shape = Qt.CursorShape.CrossCursor
        else:
            shape = Qt.CursorShape.ArrowCursor
        if self.cursor().shape() != shape:
            self.setCursor(shape)

    # --------------------------------------------------------------------------------- keys

    def _action(self, event: QKeyEvent) -> str:
        """Return what a key does here, or empty."""
        action = _KEYS.get(Qt.Key(event.key()), "")
        if action == "nudge":
            is_movable = self.scene.chosen in self.scene.points or self.holds_guess
            if is_movable or self.scene.current_handle:
                return action
            action = "walk"
        if event.modifiers() & (FINE_KEYS | SHIFTED if action == "hold" else FINE_KEYS):
            return ""
        if action == "leave" and not self._is_leavable:
            return ""
        return action

    def event(self, event: QEvent) -> bool:
        """Claim the keys that mean something here before the window's shortcuts see them."""
        return is_claimed(event, self._action) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Nudge, skip, hide, remove, zoom, step; the rest is the window's."""
        action = self._action(event)
        if not action:
            super().keyPressEvent(event)
        elif action == "hold":
            self._held.add(Qt.Key(event.key()))
            self._update_cursor()
            self.update()
        elif action == "nudge":
            self._nudge(event)
        elif action == "walk":
            self._walk(event)
        else:
            self._act(action)

    def _walk(self, event: QKeyEvent) -> None:
        """Step frames or events; no landmark of the next frame is to be nudged by the next press."""
        key = Qt.Key(event.key())
        self.landmark_chosen.emit("")
        if key in _EVENTS:
            self.events_stepped.emit(_EVENTS[key])
        else:
            is_fast = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self.frames_stepped.emit(_FRAMES[key] * (10 if is_fast else 1))

    def _act(self, action: str) -> None:
        next_key, chosen = self.scene.next_key, self.scene.chosen
        if action in self._zooms:
            self.zoom(self._zooms[action])
        elif action in self._steps:
            self.frames_stepped.emit(self._steps[action])
        elif action == "fit":
            self.fit()
        elif action == "leave":
            self._leave()
        elif action == "place":
            at = self._pointer if self._is_inside else self.view.area.center()
            if self._takes_guess():
                self.guess_taken.emit()
            elif self.is_picking or (next_key and not self.has_handles):
                self._want_to_place("" if self.is_picking else next_key, at)
        elif self.is_picking:
            self._act_on_picks(action)
        elif self.has_handles:
            return
        elif action == "remove" and chosen:
            self.landmark_removed.emit(chosen)
        elif action == "skip" and next_key:
            self.landmark_skipped.emit(next_key)
        elif action == "hide" and (chosen or next_key):
            self.landmark_hidden.emit(next_key or chosen)

    def _act_on_picks(self, action: str) -> None:
        """Do what a key means while points are picked; no landmark is meant then."""
        if action == "remove" and self.scene.picks:
            self.scene.picks.pop()
            self._prompt()
        elif action == "remove":
            self.pick_taken_back.emit()
        elif action in {"skip", "hide"}:
            self.pick_skipped.emit()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let the loupe or the pan go."""
        if not event.isAutoRepeat() and event.key() in self._held:
            self._held.discard(Qt.Key(event.key()))
            self._update_cursor()
            self.update()
        else:
            super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Say that keys go here now."""
        super().focusInEvent(event)
        self.activated.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Let everything go that was held."""
        self._held.clear()
        super().focusOutEvent(event)
        self.update()
