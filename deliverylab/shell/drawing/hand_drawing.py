"""A stage that is drawn on by hand: arrows, lines, arcs, circles and freehand lines over a picture."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, Signal
from PySide6.QtWidgets import QWidget

from deliverylab.core.model.walkthrough import Drawing, DrawingKind
from deliverylab.shell.drawing.box_surface import BoxSurface
from deliverylab.shell.drawing.handle_surface import DRAG_STARTS
from deliverylab.shell.drawing.pen_strokes import PenStroke
from deliverylab.shell.drawing.stage_text import Request

SMALLEST = 8.0
"""Drawing that counts, px of the screen: a smaller one is a hand that trembled."""
FREEHAND_STEP = 3.0
"""Px of the screen from one point of a freehand line to the next."""
PEN_KEYS = "Backspace takes the last one back · Esc ends"
_N_POINTS = {"arc": 3, "freehand": 0}
_PROMPTS: dict[DrawingKind, tuple[tuple[str, str], ...]] = {
    "arrow": (("Arrow", "drag from its tail to its tip"), ("Arrow", "now its tip")),
    "line": (("Line", "drag from end to end"), ("Line", "now its other end")),
    "circle": (("Circle", "drag from its middle outwards"), ("Circle", "now how large it is")),
    "arc": (
        ("Angle", "click the end of one arm"),
        ("Angle", "now where both arms meet"),
        ("Angle", "now the end of the other arm"),
    ),
    "freehand": (("Freehand", "press, draw, let go"),),
}


class DrawingSurface(BoxSurface):
    """Take drawings by hand, one after the other, until Esc ends it.

    Signals
    -------
    drawn_by_hand(str, object)
        Kind, and a tuple of points in frame px.
    drawing_ended()
        Nothing more is drawn here.
    """

    drawn_by_hand = Signal(str, object)
    drawing_ended = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pen_pressed_at: QPointF | None = None

    @property
    def is_drawing(self) -> bool:
        """Whether the hand draws here."""
        return self.scene.pen is not None

    def draw_by_hand(self, kind: DrawingKind) -> None:
        """Let the hand draw this, again and again."""
        self.pick_points(_N_POINTS.get(kind, 2), [])
        self.scene.pen = PenStroke(kind)
        self._prompt()

    def show_drawings(self, drawings: Sequence[Drawing]) -> None:
        """Show what was drawn on this picture; nothing takes it away."""
        if tuple(drawings) != self.scene.drawings:
            self.scene.drawings = tuple(drawings)
            self.update()

    def pick_points(self, n_points: int, prompts: Sequence[str]) -> None:
        """Ask for points, in place of a drawing."""
        self._put_pen_down()
        super().pick_points(n_points, prompts)

    def stop_picking(self) -> None:
        """Ask for landmarks again; say so where something was drawn."""
        was_drawing = self.is_drawing
        super().stop_picking()
        if was_drawing:
            self.drawing_ended.emit()

    def _end_picking(self) -> None:
        self._put_pen_down()
        super()._end_picking()

    def _put_pen_down(self) -> None:
        self.scene.pen, self._pen_pressed_at = None, None

    def _prompt(self) -> None:
        pen = self.scene.pen
        if pen is None:
            super()._prompt()
            return
        prompts = _PROMPTS[pen.kind]
        name, hint = prompts[min(len(self.scene.picks), len(prompts) - 1)]
        self.scene.request = Request(name, hint, PEN_KEYS)
        self.scene.pen = PenStroke(pen.kind, tuple(self.scene.picks))
        self._update_cursor()
        self.update()

    @property
    def _wants_loupe(self) -> bool:
        return super()._wants_loupe and not self.is_drawing

    # --------------------------------------------------------------------------- the hand

    def _press_picking(self, at: QPointF) -> None:
        pen = self.scene.pen
        if pen is None:
            super()._press_picking(at)
            return
        self._pen_pressed_at = at
        if pen.kind == "arc":
            self._take_point(at)
        elif not self.scene.picks:
            self.scene.picks.append(self._inside(at))
            self._prompt()

    def _move_picking(self, at: QPointF) -> None:
        pen = self.scene.pen
        if pen is None:
            super()._move_picking(at)
            return
        if not self.scene.picks:
            return
        if pen.kind == "freehand":
            last = self.view.to_widget(*self.scene.picks[-1])
            if self._pen_pressed_at is not None and _away(last, at) >= FREEHAND_STEP:
                self.scene.picks.append(self._inside(at))
            self.scene.pen = PenStroke(pen.kind, tuple(self.scene.picks))
        else:
            self.scene.pen = PenStroke(pen.kind, (*self.scene.picks, self._inside(at)))

    def _release_picking(self) -> None:
        pen = self.scene.pen
        if pen is None:
            super()._release_picking()
            return
        start, self._pen_pressed_at = self._pen_pressed_at, None
        if start is None or pen.kind == "arc" or not self.scene.picks:
            return
        first = self.view.to_widget(*self.scene.picks[0])
        if pen.kind == "freehand":
            self._finish_drawing(tuple(self.scene.picks))
        elif _away(first, self._pointer) >= DRAG_STARTS:
            self._take_point(self._pointer)  # let go after a drag, or clicked at the other end

    def _want_to_place(self, key: str, at: QPointF) -> None:
        """Take a point by key; a drawing needs no exact frame."""
        pen = self.scene.pen
        if key or pen is None:
            super()._want_to_place(key, at)
        elif pen.kind != "freehand":
            self._take_point(at)

    def _take_point(self, at: QPointF) -> None:
        """Add a point; the last one that the kind needs finishes the drawing."""
        pen = self.scene.pen
        if pen is None:
            return
        self.scene.picks.append(self._inside(at))
        if len(self.scene.picks) >= _N_POINTS.get(pen.kind, 2):
            self._finish_drawing(tuple(self.scene.picks))
        else:
            self._prompt()

    def _finish_drawing(self, places: tuple[tuple[float, float], ...]) -> None:
        """Hand a drawing over, unless it is too small to be one, and begin the next."""
        pen = self.scene.pen
        if pen is None:
            return
        self.scene.picks = []
        self._prompt()
        xs, ys = zip(*places, strict=True)
        extent = math.hypot(max(xs) - min(xs), max(ys) - min(ys)) * self.view.zoom
        if extent >= SMALLEST:
            rounded = tuple((round(x, 1), round(y, 1)) for x, y in places)
            self.drawn_by_hand.emit(pen.kind, rounded)


def _away(a: QPointF, b: QPointF) -> float:
    return math.hypot(a.x() - b.x(), a.y() - b.y())
