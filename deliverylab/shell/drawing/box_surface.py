"""A stage on which a box is drawn round somebody, or one of several people is chosen."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, Signal
from PySide6.QtWidgets import QWidget

from deliverylab.shell.drawing.handle_surface import DRAG_STARTS, HandleSurface
from deliverylab.shell.drawing.stage_boxes import StageBox, box_between
from deliverylab.shell.drawing.stage_text import Request

BOX_KEYS = "Enter sets a corner where the pointer is · Esc stops"
SECOND = "Now the opposite corner"
SMALLEST_PX = 8.0
"""Box that counts as drawn, px of the screen: a smaller one is a hand that trembled."""


class BoxSurface(HandleSurface):
    """Take a box: dragged, or by two opposite corners, each a click or a key.

    Signals
    -------
    box_drawn(float, float, float, float)
        Left, top, right and bottom, frame px.
    box_given_up()
        The box that was asked for is not wanted any more.
    """

    box_drawn = Signal(float, float, float, float)
    box_given_up = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._box_prompt = ""
        self._people: tuple[StageBox, ...] = ()
        self._corner: tuple[float, float] | None = None
        self._box_pressed_at: QPointF | None = None

    @property
    def is_boxing(self) -> bool:
        """Whether a box is asked for."""
        return bool(self._box_prompt)

    def pick_box(self, prompt: str, people: Sequence[StageBox] = ()) -> None:
        """Ask for a box; where boxes of people are given, a click in one of them takes it."""
        self.pick_points(2, [prompt, SECOND])
        self._people = tuple(people)
        self._box_prompt = prompt
        self.show_boxes(self._people)
        self._prompt()

    def pick_points(self, n_points: int, prompts: Sequence[str]) -> None:
        """Ask for points, in place of a box that was asked for."""
        self._forget_box()
        super().pick_points(n_points, prompts)

    def show_boxes(self, boxes: Sequence[StageBox]) -> None:
        """Show boxes; none takes them away."""
        self.scene.boxes = tuple(boxes)
        self.update()

    def stop_picking(self) -> None:
        """Ask for landmarks again; say so where it was a box that was asked for."""
        was_boxing = self.is_boxing
        super().stop_picking()
        if was_boxing:
            self.box_given_up.emit()

    def _end_picking(self) -> None:
        self._forget_box()
        super()._end_picking()

    def _forget_box(self) -> None:
        self._box_prompt, self._corner, self._box_pressed_at = "", None, None
        self._people = ()
        self.scene.boxes = ()

    def _prompt(self) -> None:
        if not self.is_boxing:
            super()._prompt()
            return
        said = self._box_prompt if self._corner is None else SECOND
        self.scene.request = Request(said, "", BOX_KEYS)
        self._update_cursor()
        self.update()

    @property
    def _wants_loupe(self) -> bool:
        return super()._wants_loupe and not self.is_boxing

    # --------------------------------------------------------------------------- the hand

    def _press_picking(self, at: QPointF) -> None:
        if not self.is_boxing:
            super()._press_picking(at)
            return
        self._box_pressed_at = at
        if self._corner is None and self._person_at(at) is None:
            self._take_corner(at)

    def _move_picking(self, at: QPointF) -> None:
        if not self.is_boxing:
            super()._move_picking(at)
            return
        start = self._box_pressed_at
        if self._corner is None and start is not None and _away(start, at) >= DRAG_STARTS:
            self._take_corner(start)  # a box of one's own, begun within a person's
        if self._corner is not None:
            drawn = box_between(self._corner, self._inside(at))._replace(is_chosen=True)
            self.show_boxes((*self._people, drawn))

    def _release_picking(self) -> None:
        if not self.is_boxing:
            super()._release_picking()
            return
        start, self._box_pressed_at = self._box_pressed_at, None
        if start is None:
            return
        person = self._person_at(start)
        if self._corner is None and person is not None:
            self._finish(person)
        elif self._corner is not None:
            self._end_box_at(self._pointer)

    def _want_to_place(self, key: str, at: QPointF) -> None:
        """Take a corner by key; a box needs no exact frame."""
        if key or not self.is_boxing:
            super()._want_to_place(key, at)
            return
        person = self._person_at(at)
        if self._corner is not None:
            self._end_box_at(at)
        elif person is not None:
            self._finish(person)
        else:
            self._take_corner(at)

    def _take_corner(self, at: QPointF) -> None:
        self._corner = self._inside(at)
        self._prompt()

    def _end_box_at(self, at: QPointF) -> None:
        """Take the box that ends here, once it is one: a click alone begins it."""
        if self._corner is None:
            return
        box = box_between(self._corner, self._inside(at))
        width, height = box.right_px - box.left_px, box.bottom_px - box.top_px
        if min(width, height) * self.view.zoom >= SMALLEST_PX:
            self._finish(box)

    def _finish(self, box: StageBox) -> None:
        self._end_picking()
        self.box_drawn.emit(box.left_px, box.top_px, box.right_px, box.bottom_px)

    def _person_at(self, at: QPointF) -> StageBox | None:
        """Return the smallest box of a person at a widget place."""
        x_px, y_px = self.view.to_frame(at)
        here = [box for box in self._people if box.contains(x_px, y_px)]
        return min(here, key=lambda box: box.size_px, default=None)

    def _inside(self, at: QPointF) -> tuple[float, float]:
        """Return the frame place at a widget place, kept within the frame."""
        x_px, y_px = self.view.to_frame(at)
        return (
            min(max(x_px, -0.5), self.view.frame_width - 0.5),
            min(max(y_px, -0.5), self.view.frame_height - 0.5),
        )


def _away(a: QPointF, b: QPointF) -> float:
    return math.hypot(a.x() - b.x(), a.y() - b.y())
