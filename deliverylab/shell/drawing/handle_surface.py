"""A stage on which points of a form can be dragged, in place of the body's landmarks."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, Signal
from PySide6.QtWidgets import QWidget

from deliverylab.shell.drawing.field_marks import FieldMark
from deliverylab.shell.drawing.handles import Handle
from deliverylab.shell.drawing.placing_surface import PlacingSurface
from deliverylab.shell.drawing.stage_text import Request

REACH = 14.0
DRAG_STARTS = 3.0
"""Px of the screen that the hand goes before a press becomes a drag."""
HANDLE_KEYS = "arrow keys move the last one · Shift finer"


class HandleSurface(PlacingSurface):
    """While there are handles, they alone are moved: no landmark is placed by accident.

    Signals
    -------
    handle_moved(str, float, float)
        Key and frame px; whoever listens sets the handles again.
    """

    handle_moved = Signal(str, float, float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._handle_request: Request | None = None
        self._last_at = QPointF()
        # where the button went down on a point that can be dragged, while another one is picked
        self._pressed_at: QPointF | None = None

    @property
    def has_handles(self) -> bool:
        """Whether points of a form are dragged here instead of landmarks."""
        return self._handle_request is not None

    def set_handles(self, handles: Sequence[Handle] | None, what: str = "", hint: str = "") -> None:
        """Show points to drag, and say what they are; None goes back to the landmarks."""
        if handles is None:
            self.scene.handles, self.scene.current_handle = (), ""
            was_handling, self._handle_request = self.has_handles, None
            if was_handling and not self.is_picking:
                self._end_picking()
            return
        self.scene.handles = tuple(handles)
        self._handle_request = Request(what, hint, HANDLE_KEYS if handles else "")
        self._prompt()

    def _prompt(self) -> None:
        if self._handle_request is not None and not self.is_picking:
            self.scene.request = self._handle_request
            self._update_cursor()
            self.update()
        else:
            super()._prompt()

    @property
    def _wants_loupe(self) -> bool:
        return self.is_picking or (super()._wants_loupe and not self.has_handles)

    def handle_at(self, at: QPointF) -> str:
        """Return the handle within reach of a widget place, the nearest; or empty."""
        best, best_distance = "", REACH
        for one in self.scene.handles:
            place = self.view.to_widget(one.x_px, one.y_px)
            distance = math.hypot(place.x() - at.x(), place.y() - at.y())
            if distance < best_distance:
                best, best_distance = one.key, distance
        return best

    def choose_handle(self, key: str) -> None:
        """Let arrow keys move this one; empty: none."""
        self.scene.current_handle = key

    def set_field_marks(self, marks: Sequence[FieldMark]) -> None:
        """Show clicks on the field."""
        self.scene.field_marks = tuple(marks)
        self.update()

    def _press_picking(self, at: QPointF) -> None:
        """Begin to pick: on a point that can be dragged, only letting go there picks another."""
        if self.handle_at(at):
            self._pressed_at = at
        else:
            self._want_to_place("", at)

    def _move_picking(self, at: QPointF) -> None:
        """Drag the point that was pressed, once the hand has gone some way."""
        start = self._pressed_at
        if start is not None and math.hypot(at.x() - start.x(), at.y() - start.y()) >= DRAG_STARTS:
            self._pressed_at = None
            self._take_handle(start)

    def _release_picking(self) -> None:
        start, self._pressed_at = self._pressed_at, None
        if start is not None and self.is_picking:
            self._want_to_place("", start)

    def _take_handle(self, at: QPointF) -> None:
        self.scene.held_handle = self.handle_at(at)
        if self.scene.held_handle:
            self.scene.current_handle = self.scene.held_handle
            self._is_ready()
        self._last_at = at

    def _drag_handle(self, at: QPointF, share: float) -> None:
        """Move the held handle by what the hand has moved, or a share of it."""
        step, self._last_at = (at - self._last_at) * share, at
        across = -step.x() if self.view.is_mirrored else step.x()
        self.move_handle(self.scene.held_handle, across / self.view.zoom, step.y() / self.view.zoom)

    def move_handle(self, key: str, dx_px: float, dy_px: float) -> None:
        """Wish to move a handle by so many frame px; it stays inside the frame."""
        for one in self.scene.handles:
            if one.key == key:
                x_px = min(max(one.x_px + dx_px, -0.5), self.view.frame_width - 0.5)
                y_px = min(max(one.y_px + dy_px, -0.5), self.view.frame_height - 0.5)
                self.handle_moved.emit(key, x_px, y_px)

    def _magnified(self) -> tuple[float, float] | None:
        for one in self.scene.handles:
            if one.key == self.scene.held_handle:
                return one.x_px, one.y_px
        return super()._magnified()
