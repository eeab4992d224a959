"""The scrub bar: frames, events, coverage, phase and one curve of both deliveries."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QHelpEvent, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QToolTip, QWidget

from deliverylab.core.vocabulary.events import BY_KEY
from deliverylab.shell.drawing import scrub_paint
from deliverylab.shell.drawing.scrub_scene import ScrubRow
from deliverylab.shell.drawing.scrub_surface import Held, ScrubSurface
from deliverylab.shell.keys import acts

FLAG_REACH = 5.0
WHEEL_STEP = 120.0
ZOOM_STEP = 1.3
FLAG_DRAG_STARTS = 3.0

_KEYS = acts("scrub bar")
_STEPS = {"back": -1, "on": 1, "ten back": -10, "ten on": 10}
_EVENTS = {"event before": -1, "event after": 1}


class ScrubBar(ScrubSurface):
    """Show where both deliveries stand, and turn keys, wheel and drags into wishes.

    Which keys do what stands in `deliverylab.shell.keys`.  The ends of a row are dragged to trim
    its clip.  The wheel steps frames, with Ctrl it zooms the axis; a double click zooms out, or on
    the flags' lane asks for a mark there.

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
    trim_chosen(str, int, int)
        Side, first and last frame that are to stay.
    event_chosen(str)
        A flag was clicked.
    suggestion_chosen(str, str)
        Side and event whose suggestion was clicked.
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
    trim_chosen = Signal(str, int, int)
    event_chosen = Signal(str)
    suggestion_chosen = Signal(str, str)
    side_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._wheel = 0.0
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    # -------------------------------------------------------------------------------- mouse

    def _flag_at(self, at: QPointF) -> str:
        """Return the active row's flag or ghost under a place: its name, or its line in the lane."""
        if at.y() > self.layout_now().flags_height + 4.0:
            return ""
        layout = self.layout_now()
        metrics = QFontMetricsF(self.font())
        for key, rect in scrub_paint.flag_rects(self.scene, layout, self.active, metrics).items():
            if rect.contains(at):
                return key
        for key, place in self.scene.ordered_flags(self.active):
            if abs(layout.x_of(place) - at.x()) <= FLAG_REACH:
                return key
        return ""

    def _is_ghost(self, held: Held) -> bool:
        row = self.scene.row(held.side)
        return row is not None and held.key in row.suggested

    def _row_at(self, at: QPointF) -> ScrubRow | None:
        number = self.layout_now().row_number_at(at.y())
        return self.scene.row(self.active) if number is None else self.scene.rows[number]

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take a flag or the playhead."""
        at = event.position()
        row = self._row_at(at)
        if row is None or event.button() != Qt.MouseButton.LeftButton:
            return
        flag, end = self._flag_at(at), self._trim_end_at(at)
        if end:
            self._held = Held(row.side, "", at.x(), trim_end=end)
        elif flag:
            self._held = Held(self.active, flag, at.x())
        else:
            if row.side != self.active:
                self.side_chosen.emit(row.side)
            self._held = Held(row.side, "", at.x(), is_moving=True)
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
        if held.trim_end:
            self._trim(row, held.trim_end, at)
            return
        if not held.key:
            self._scrub(row, at.x())
            return
        if not held.is_moving:
            is_movable = row.has_movable_marks and held.key in row.marks
            if abs(at.x() - held.pressed_x) < FLAG_DRAG_STARTS or not is_movable:
                return
            held.is_moving = True
            self.mark_drag_started.emit(held.side, held.key)
        frame = row.frame_at(self.layout_now().place_of(at.x()))
        self.mark_moved.emit(held.side, held.key, float(row.times_s[frame]))
        self.frame_requested.emit(held.side, frame)

    def _trim_end_at(self, at: QPointF) -> str:
        """Return the end of the row's trim under a place, ``start`` or ``end``; or empty."""
        layout, number = self.layout_now(), self.layout_now().row_number_at(at.y())
        if number is None:
            return ""
        for end, rect in scrub_paint.trim_rects(self.scene.rows[number], layout, number).items():
            if rect.adjusted(-2.0, -3.0, 2.0, 3.0).contains(at):
                return end
        return ""

    def _trim(self, row: ScrubRow, end: str, at: QPointF) -> None:
        """Show what the trim would be; nothing is wished for until the hand lets go."""
        if self._span is None:
            self._span = self.scene.used_span
        first, last = row.trimmed(end, self.layout_now().place_of(at.x()))
        draft = replace(row, first_frame=first, last_frame=last)
        rows = tuple(draft if one.side == row.side else one for one in self.scene.rows)
        self._draft = replace(self.scene, rows=rows)
        frame = first if end == "start" else last
        self.frame_requested.emit(row.side, frame)
        text = f"The clip {end}s at frame {frame}, {row.times_s[frame]:.3f} s"
        QToolTip.showText(self.mapToGlobal(at.toPoint()), text, self)
        self._redraw()

    def _end_trim(self, held: Held) -> None:
        draft, self._draft = self._draft, None
        row = None if draft is None else draft.row(held.side)
        self._set_span(None)
        if row is not None:
            self.trim_chosen.emit(held.side, row.first_frame, row.last_frame)

    def _show_hint(self, at: QPointF) -> None:
        flag, end = self._flag_at(at), self._trim_end_at(at)
        if (flag or end) == self._hovered:
            return
        if end:
            self._hovered = end
            text = f"Drag: the clip {end}s here"
            QToolTip.showText(self.mapToGlobal(at.toPoint()), text, self)
            self.setCursor(Qt.CursorShape.SizeHorCursor)
            self.update()
            return
        self._hovered = flag
        row = self.scene.row(self.active)
        if flag and row is not None:
            is_ghost = flag in row.suggested
            QToolTip.showText(self.mapToGlobal(at.toPoint()), _flag_text(row, flag), self)
            shapes = Qt.CursorShape
            self.setCursor(shapes.PointingHandCursor if is_ghost else shapes.SplitHCursor)
        else:
            QToolTip.hideText()
            self.unsetCursor()
        self.update()

    def event(self, event: QEvent) -> bool:
        """Say what a row's bars mean where the pointer rests on them."""
        if isinstance(event, QHelpEvent) and not self._hovered:
            layout, at = self.layout_now(), QPointF(event.pos())
            number = layout.row_number_at(at.y())
            if number is not None and layout.left <= at.x() <= layout.right:
                text = self.scene.rows[number].coverage_text(layout.place_of(at.x()))
                QToolTip.showText(event.globalPos(), text, self)
                return True
        return super().event(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go; a flag that was not moved is gone to, a ghost is accepted."""
        held, self._held = self._held, None
        if held is None or event.button() != Qt.MouseButton.LeftButton:
            return
        if held.trim_end:
            self._end_trim(held)
        elif not held.key:
            self.scrub_ended.emit()
        elif held.is_moving:
            self.mark_drag_ended.emit(held.side, held.key)
        elif self._flag_at(event.position()) == held.key and self._is_ghost(held):
            self.suggestion_chosen.emit(held.side, held.key)
        else:
            self.event_chosen.emit(held.key)
        self.update()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Ask for a mark on the flags' lane; elsewhere show all that is used, or the whole clip."""
        at, row = event.position(), self.scene.row(self.active)
        if row is None:
            return
        if at.y() <= self.layout_now().flags_height and not self._flag_at(at):
            frame = row.frame_at(self.layout_now().place_of(at.x()))
            self.mark_requested.emit(row.side, float(row.times_s[frame]))
        elif at.y() > self.layout_now().flags_height:
            self.show_all()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Step frames; with Ctrl zoom the axis about the pointer."""
        if not self.scene.rows:
            return
        turns = (event.angleDelta().y() or event.angleDelta().x()) / WHEEL_STEP
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom(ZOOM_STEP**turns, self.layout_now().place_of(event.position().x()))
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
        row = self.scene.row(self.active)
        act = _KEYS.get(Qt.Key(event.key()), "")
        is_taken = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if row is None or is_taken or not self._act(row, act, event.modifiers()):
            super().keyPressEvent(event)

    def _act(self, row: ScrubRow, act: str, modifiers: Qt.KeyboardModifier) -> bool:
        """Wish for what a key means; return whether it means anything now."""
        if act in _STEPS:
            is_fast = abs(_STEPS[act]) == 1 and modifiers & Qt.KeyboardModifier.ShiftModifier
            self.frames_stepped.emit(_STEPS[act] * (10 if is_fast else 1))
        elif act in _EVENTS:
            self.events_stepped.emit(_EVENTS[act])
        elif act == "first frame":
            self.frame_requested.emit(self.active, row.first_frame)
        elif act == "last frame":
            self.frame_requested.emit(self.active, row.last_frame)
        elif act == "remove mark" and self._event_here():
            self.mark_removed.emit(self.active, self._event_here())
        else:
            return False
        return True


def _flag_text(row: ScrubRow, key: str) -> str:
    """Return what the pointer on a flag or a ghost is told."""
    if key in row.suggested:
        return row.suggested[key].text
    text = f"{BY_KEY[key].name}: {row.time_at(row.marks[key]):.3f} s\n{BY_KEY[key].cue}"
    return f"{text}\n{row.doubted[key].text}" if key in row.doubted else text
