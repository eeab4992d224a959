"""A stage that takes places: landmarks asked for one by one, or points that somebody picks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QWidget

from deliverylab.core.vocabulary.landmarks import landmark
from deliverylab.shell.drawing.stage_scene import PICKING_KEYS
from deliverylab.shell.drawing.stage_surface import StageSurface
from deliverylab.shell.drawing.stage_text import Request

WAITING = "Fetching the exact frame …"


@dataclass(frozen=True)
class _Picking:
    """Points that somebody asked for, one prompt each."""

    n_points: int
    prompts: Sequence[str]


class PlacingSurface(StageSurface):
    """Take places on the exact frame only.

    Signals
    -------
    landmark_placed(str, float, float)
        Key and frame px.
    points_picked(list), picking_cancelled()
        Places of the points asked for by `pick_points`, frame px.
    pick_skipped(), pick_taken_back()
        Keys, while points are picked: this one cannot be seen; the one before anew, where none of
        those asked for now is picked yet.
    exact_requested()
        The hand is about to place on a picture that is not exact: `set_picture` is due.
    """

    landmark_placed = Signal(str, float, float)
    points_picked = Signal(list)
    picking_cancelled = Signal()
    pick_skipped = Signal()
    pick_taken_back = Signal()
    exact_requested = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._is_inside = False
        self._picking: _Picking | None = None
        self._pending: tuple[str, float, float] | None = None

    def set_picture(
        self,
        picture: NDArray[np.uint8] | None,
        frame_size: tuple[int, int],
        *,
        is_exact: bool = True,
    ) -> None:
        """Show a picture; a place that waits for the exact frame is taken once that is here."""
        super().set_picture(picture, frame_size, is_exact=is_exact)
        if self.is_exact and self._pending is not None:
            waiting = self._pending
            self.drop_pending()
            self._take(*waiting)

    def drop_pending(self) -> None:
        """Forget a place that waits for the exact frame: another frame is on its way."""
        if self._pending is not None:
            self._pending = None
            self.set_message("")

    def set_next_landmark(self, key: str, name: str = "", hint: str = "") -> None:
        """Announce the landmark that a click places; empty when none is asked for."""
        super().set_next_landmark(key, name, hint)
        self._prompt()

    @property
    def is_picking(self) -> bool:
        """Whether clicks answer `pick_points`."""
        return self._picking is not None

    def pick_points(self, n_points: int, prompts: Sequence[str]) -> None:
        """Ask for so many points instead of landmarks; `points_picked` brings them."""
        self._picking = _Picking(n_points, tuple(prompts))
        self.scene.picks = []
        self._prompt()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def stop_picking(self) -> None:
        """Ask for landmarks again; the points picked so far are forgotten."""
        if self._picking is not None:
            self._end_picking()
            self.picking_cancelled.emit()

    def _end_picking(self) -> None:
        self._picking = None
        self.scene.picks = []
        key = self.scene.next_key
        self.set_next_landmark(key, self.scene.name_of(key), landmark(key).hint if key else "")

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Take it as a press, unless points are picked: the next one asked for is elsewhere."""
        if self.is_picking:
            event.accept()
        else:
            self.mousePressEvent(event)

    def _prompt(self) -> None:
        if self._picking is not None:
            number, prompts = len(self.scene.picks), self._picking.prompts
            said = prompts[number] if number < len(prompts) else "next point"
            n_points = self._picking.n_points
            counted = f"{said} ({number + 1} of {n_points})" if n_points > 1 else said
            self.scene.request = Request(counted, "", PICKING_KEYS)
        self._update_cursor()
        self.update()

    def _want_to_place(self, key: str, at: QPointF) -> None:
        """Take a place for a landmark (or a picked point, key empty) once the frame is exact."""
        x_px, y_px = self.view.to_frame(at)
        if not self.view.contains(x_px, y_px):
            return
        if self._is_ready():
            self._take(key, x_px, y_px)
        else:
            self._pending = (key, x_px, y_px)
            self.set_message(WAITING)

    def _is_ready(self) -> bool:
        """Return whether the picture is exact, having asked for it."""
        if not self.is_exact:
            self.exact_requested.emit()
        return self.is_exact

    def _take(self, key: str, x_px: float, y_px: float) -> None:
        if key:
            self.landmark_placed.emit(key, x_px, y_px)
            return
        if self._picking is None:
            return
        self.scene.picks.append((x_px, y_px))
        if len(self.scene.picks) >= self._picking.n_points:
            picks = list(self.scene.picks)
            self._end_picking()
            self.points_picked.emit(picks)
        else:
            self._prompt()

    @property
    def _wants_loupe(self) -> bool:
        """Whether the place under the pointer is magnified."""
        return self.is_picking or bool(self.scene.next_key)

    def _magnified(self) -> tuple[float, float] | None:
        moving = self.scene.points.get(self.scene.moving)
        if moving is not None:
            return moving.x_px, moving.y_px
        if not self._is_inside or not self._wants_loupe:
            return None
        return self.view.to_frame(self._pointer)

    def _update_cursor(self) -> None:
        """Show what the pointer would do."""
