"""The scrub bar: frames, events, coverage, phase and one curve of both deliveries."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPointF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from deliverylab.core.vocabulary.events import BY_KEY
from deliverylab.shell.drawing import scrub_paint
from deliverylab.shell.drawing.scrub_scene import (
    FLAGS_HEIGHT,
    ScrubLayout,
    ScrubRow,
    ScrubScene,
    zoomed_span,
)
from deliverylab.shell.theme import on_theme_changed, theme

FLAG_REACH = 5.0
WHEEL_STEP = 120.0
ZOOM_STEP = 1.3
FLAG_DRAG_STARTS = 3.0

_STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_PageUp: -10, Qt.Key.Key_PageDown: 10}
_EVENTS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}


@dataclass
class _Held:
    """What the pressed button holds: a flag (key) or the playhead (key empty)."""

    side: str
    key: str
    pressed_x: float
    is_moving: bool = False


class ScrubBar(QWidget):
    """Show where both deliveries stand, and turn keys, wheel and drags into wishes.

    Keys: left and right step a frame (with Shift ten), Home and End go to the ends, up and down to
    the events before and after, Delete removes the mark at the shown frame.  The wheel steps
    frames, with Ctrl it zooms the axis; a double click zooms out, or on the flags' lane asks for a
    mark there.

    Attributes
    ----------
    scene : ScrubScene
        What lies still.
    active : str
        Side that keys and flags belong to.

    Signals
    -------
    frame_requested(str, int)
        Side and frame.
    frames_stepped(int), events_stepped(int)
        Wishes for the active side.
    scrub_started(), scrub_ended()
        The playhead is held.
    mark_drag_started(str, str), mark_moved(str, str, float), mark_drag_ended(str, str)
        Side, event, and the time on that clip's own clock, s; one gesture.
    mark_requested(str, float)
        Side and time at which some event is to be marked.
    mark_removed(str, str)
        Side and event.
    event_chosen(str)
        A flag was clicked.
    side_chosen(str)
        A row was clicked.
    """

    frame_requested = Signal(str, int)
    frames_stepped = Signal(int)
    events_stepped = Signal(int)
    scrub_started = Signal()
    scrub_ended = Signal()
    mark_drag_started = Signal(str, str)
    mark_moved = Signal(str, str, float)
    mark_drag_ended = Signal(str, str)
    mark_requested = Signal(str, float)
    mark_removed = Signal(str, str)
    event_chosen = Signal(str)
    side_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.scene = ScrubScene()
        self.active = "athlete"
        self._frames: dict[str, int] = {}
        self._label = ""
        self._warming: dict[str, float] = {}
        self._span: tuple[float, float] | None = None
        self._still = QPixmap()
        self._is_stale = True
        self._held: _Held | None = None
        self._hovered = ""
        self._wheel = 0.0
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Scrub bar")
        on_theme_changed(self, self._on_theme_changed)

    # ------------------------------------------------------------------------ what is shown

    def set_scene(self, scene: ScrubScene) -> None:
        """Show other deliveries, marks, coverage or curves."""
        is_other_clip = scene.whole_span != self.scene.whole_span
        self.scene = scene
        if is_other_clip:
            self._span = None
        self._redraw()

    def set_active(self, side: str) -> None:
        """Say which side's flags and keys are meant."""
        if side != self.active:
            self.active = side
            self._redraw()

    def set_frames(self, frames: dict[str, int], label: str) -> None:
        """Move the playheads: the frame of each side, and what the active one's label says."""
        self._frames, self._label = dict(frames), label
        self._follow()
        self.update()

    def set_warming(self, side: str, fraction: float) -> None:
        """Show how much of a clip is warm; 1 hides it."""
        if self._warming.get(side, 1.0) != fraction:
            self._warming[side] = fraction
            self.update()

    def layout_now(self) -> ScrubLayout:
        """Return where everything lies."""
        low, high = self._span or self.scene.whole_span
        return ScrubLayout(self.width(), self.height(), low, high, len(self.scene.rows))

    def _follow(self) -> None:
        """Move a zoomed axis so that the active playhead stays on it."""
        place = self._places().get(self.active)
        if self._span is None or place is None or self._held is not None:
            return
        low, high = self._span
        if not low <= place <= high:
            shift = place - (low + high) / 2.0
            self._set_span((low + shift, high + shift))

    def _set_span(self, span: tuple[float, float] | None) -> None:
        if span is not None:
            span = zoomed_span(self.scene, span, 1.0, span[0])
            whole = self.scene.whole_span
            span = None if span[1] - span[0] >= 0.999 * (whole[1] - whole[0]) else span
        self._span = span
        self._redraw()

    def _redraw(self) -> None:
        self._is_stale = True
        self.update()

    def _on_theme_changed(self) -> None:
        self._redraw()

    def _places(self) -> dict[str, float]:
        """Return where each side's shown frame lies on the axis."""
        return {
            row.side: float(row.axis[min(self._frames[row.side], len(row.axis) - 1)])
            for row in self.scene.rows
            if row.side in self._frames
        }

    # ----------------------------------------------------------------------------- painting

    def sizeHint(self) -> QSize:
        """Return a height with room for the curve."""
        return QSize(640, 220)

    def minimumSizeHint(self) -> QSize:
        """Return the height without a curve."""
        return QSize(320, 112)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw anew in the other size."""
        super().resizeEvent(event)
        self._is_stale = True

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Copy what lies still, then paint what moves."""
        ratio = self.devicePixelRatioF()
        layout, colour = self.layout_now(), theme().colour
        if self._is_stale or self._still.devicePixelRatio() != ratio:
            self._still = QPixmap(self.size() * ratio)
            self._still.setDevicePixelRatio(ratio)
            still = QPainter(self._still)
            still.setFont(self.font())
            scrub_paint.paint_still(still, self.scene, layout, colour, self.active)
            still.end()
            self._is_stale = False
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._still)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
        for number, row in enumerate(self.scene.rows):
            fraction = self._warming.get(row.side, 1.0)
            if fraction < 1.0:
                scrub_paint.paint_warming(painter, layout, colour, number, fraction)
        scrub_paint.paint_playheads(
            painter, self.scene, layout, colour, self._places(), self.active, self._label
        )
        lit = self._held.key if self._held is not None else self._hovered or self._event_here()
        scrub_paint.paint_flags(painter, self.scene, layout, colour, self.active, lit)
        if self.hasFocus():
            painter.setPen(theme().colour("faint"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -2, -2), 5.0, 5.0)
        painter.end()

    def _event_here(self) -> str:
        """Return the active side's event at its shown frame, or empty."""
        row = self.scene.row(self.active)
        if row is None or self.active not in self._frames:
            return ""
        shown = self._frames[self.active]
        here = (key for key, place in row.marks.items() if row.frame_at(place) == shown)
        return next(here, "")

    # -------------------------------------------------------------------------------- mouse

    def _flag_at(self, at: QPointF) -> str:
        """Return the active row's flag under a place: its name, or its line in the lane."""
        if at.y() > FLAGS_HEIGHT + 4.0:
            return ""
        layout = self.layout_now()
        metrics = QFontMetricsF(self.font())
        for key, rect in scrub_paint.flag_rects(self.scene, layout, self.active, metrics).items():
            if rect.contains(at):
                return key
        for key, place in self.scene.ordered_marks(self.active):
            if abs(layout.x_of(place) - at.x()) <= FLAG_REACH:
                return key
        return ""

    def _row_at(self, at: QPointF) -> ScrubRow | None:
        number = self.layout_now().row_number_at(at.y())
        return self.scene.row(self.active) if number is None else self.scene.rows[number]

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take a flag or the playhead."""
        at = event.position()
        row = self._row_at(at)
        if row is None or event.button() != Qt.MouseButton.LeftButton:
            return
        flag = self._flag_at(at)
        if flag:
            self._held = _Held(self.active, flag, at.x())
        else:
            if row.side != self.active:
                self.side_chosen.emit(row.side)
            self._held = _Held(row.side, "", at.x(), is_moving=True)
            self.scrub_started.emit()
            self._scrub(row, at.x())
        self.update()

    def _scrub(self, row: ScrubRow, x: float) -> None:
        frame = row.frame_at(self.layout_now().place_of(x))
        if frame != self._frames.get(row.side):
            self.frame_requested.emit(row.side, frame)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Scrub, or move a flag; its frame is shown meanwhile."""
        at, held = event.position(), self._held
        if held is None:
            self._show_hint(at)
            return
        row = self.scene.row(held.side)
        if row is None:
            return
        if not held.key:
            self._scrub(row, at.x())
            return
        if not held.is_moving:
            if abs(at.x() - held.pressed_x) < FLAG_DRAG_STARTS or not row.has_movable_marks:
                return
            held.is_moving = True
            self.mark_drag_started.emit(held.side, held.key)
        frame = row.frame_at(self.layout_now().place_of(at.x()))
        self.mark_moved.emit(held.side, held.key, float(row.times_s[frame]))
        self.frame_requested.emit(held.side, frame)

    def _show_hint(self, at: QPointF) -> None:
        flag = self._flag_at(at)
        if flag == self._hovered:
            return
        self._hovered = flag
        row = self.scene.row(self.active)
        if flag and row is not None:
            time_s = row.time_at(row.marks[flag])
            text = f"{BY_KEY[flag].name}: {time_s:.3f} s\n{BY_KEY[flag].cue}"
            QToolTip.showText(self.mapToGlobal(at.toPoint()), text, self)
            self.setCursor(Qt.CursorShape.SplitHCursor)
        else:
            QToolTip.hideText()
            self.unsetCursor()
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go; a flag that was not moved is gone to."""
        held, self._held = self._held, None
        if held is None or event.button() != Qt.MouseButton.LeftButton:
            return
        if not held.key:
            self.scrub_ended.emit()
        elif held.is_moving:
            self.mark_drag_ended.emit(held.side, held.key)
        else:
            self.event_chosen.emit(held.key)
        self.update()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Ask for a mark on the flags' lane; elsewhere show the whole axis."""
        at, row = event.position(), self.scene.row(self.active)
        if row is None:
            return
        if at.y() <= FLAGS_HEIGHT and not self._flag_at(at):
            frame = row.frame_at(self.layout_now().place_of(at.x()))
            self.mark_requested.emit(row.side, float(row.times_s[frame]))
        elif at.y() > FLAGS_HEIGHT:
            self._set_span(None)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Step frames; with Ctrl zoom the axis about the pointer."""
        if not self.scene.rows:
            return
        turns = (event.angleDelta().y() or event.angleDelta().x()) / WHEEL_STEP
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            span = self._span or self.scene.whole_span
            about = self.layout_now().place_of(event.position().x())
            self._set_span(zoomed_span(self.scene, span, ZOOM_STEP**turns, about))
        else:
            self._wheel -= turns
            n_frames = int(self._wheel)
            self._wheel -= n_frames
            if n_frames:
                is_fast = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
                self.frames_stepped.emit(n_frames * (10 if is_fast else 1))
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        """Forget what was under the pointer."""
        self._hovered = ""
        self.update()
        super().leaveEvent(event)

    # --------------------------------------------------------------------------------- keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step, go to the ends and events, remove a mark; the rest is the window's."""
        key, row = Qt.Key(event.key()), self.scene.row(self.active)
        if row is None or event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            super().keyPressEvent(event)
        elif key in _STEPS:
            is_fast = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self.frames_stepped.emit(_STEPS[key] * (10 if is_fast else 1))
        elif key in _EVENTS:
            self.events_stepped.emit(_EVENTS[key])
        elif key == Qt.Key.Key_Home:
            self.frame_requested.emit(self.active, row.first_frame)
        elif key == Qt.Key.Key_End:
            self.frame_requested.emit(self.active, row.last_frame)
        elif key == Qt.Key.Key_Delete and self._event_here():
            self.mark_removed.emit(self.active, self._event_here())
        else:
            super().keyPressEvent(event)
