"""The surface of a stage: what is shown of a frame and its landmarks, and through which view."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.shell.drawing.annotations import Annotation
from deliverylab.shell.drawing.epipolar import SightLine
from deliverylab.shell.drawing.skeleton import StagePoint, Style
from deliverylab.shell.drawing.stage_scene import PLACING_KEYS, StageScene, paint_scene
from deliverylab.shell.drawing.stage_text import STRIP_HEIGHT, Request
from deliverylab.shell.drawing.view_transform import ViewTransform

ShownPoints = Mapping[str, tuple[float, float, str]]


def _stage_points(points: ShownPoints) -> dict[str, StagePoint]:
    return {key: StagePoint(*point) for key, point in points.items()}  # type: ignore[arg-type]


class StageSurface(QWidget):
    """Show a picture, a body, annotations and words; it takes no part in what the hand does.

    Attributes
    ----------
    view : ViewTransform
        Frame px to widget px.
    scene : StageScene
        What is shown.
    is_exact : bool
        Whether the picture is the clip's own frame; without a picture, true.
    home : QRectF or None
        Part of the frame that is shown at first, px; all of it when None.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.view = ViewTransform().fitted()
        self.scene = StageScene()
        self.is_exact = True
        self.home: QRectF | None = None
        self._pointer = QPointF(-1e4, -1e4)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def set_picture(
        self,
        picture: NDArray[np.uint8] | None,
        frame_size: tuple[int, int],
        *,
        is_exact: bool = True,
    ) -> None:
        """Show a picture, shape (h, w, 3) RGB, or the bare stage.

        Parameters
        ----------
        picture : ndarray or None
            It may be smaller than the frame: it fills the frame's rectangle.
        frame_size : (int, int)
            Width and height of the upright frame, px.
        is_exact : bool
            Whether it is the clip's own frame and not a light copy.
        """
        width, height = float(frame_size[0]), float(frame_size[1])
        if (width, height) != (self.view.frame_width, self.view.frame_height):
            self.home = None
            self.view = replace(self.view, frame_width=width, frame_height=height).fitted()
        self.scene.layer.set_picture(picture, (width, height))
        self.is_exact = is_exact or picture is None
        self.update()

    def set_skeleton(
        self,
        points: ShownPoints,
        hand: Hand,
        style: Style = "athlete",
    ) -> None:
        """Show landmarks: ``{key: (x_px, y_px, state)}``; a hidden one is listed in the margin."""
        scene, shown = self.scene, _stage_points(points)
        # while a point is dragged on one stage, the other is told too, and has nothing to paint
        if (shown, hand, style) == (scene.points, scene.hand, scene.style):
            return
        scene.points, scene.hand, scene.style = shown, hand, style
        if scene.hovered not in points:
            scene.hovered = ""
        self.update()

    def set_partner_skeleton(self, points: ShownPoints | None, hand: Hand = "right") -> None:
        """Lay another delivery's body over this one, thin and dashed; None takes it away."""
        self.scene.ghost = _stage_points(points or {})
        self.scene.ghost_hand = hand
        self.update()

    def set_next_landmark(self, key: str, name: str = "", hint: str = "") -> None:
        """Announce the landmark that a click places; empty when none is asked for."""
        self.scene.next_key = key
        self.scene.request = Request(f"Next: {name}", hint, PLACING_KEYS) if key else Request()
        self.update()

    def set_chosen(self, key: str) -> None:
        """Frame the landmark that nudges move."""
        self.scene.chosen = key
        self.update()

    def set_mirrored(self, is_mirrored: bool) -> None:
        """Exchange left and right on the screen; positions stay those of the frame."""
        if is_mirrored != self.view.is_mirrored:
            self.view = replace(self.view, is_mirrored=is_mirrored)
            self.update()

    def set_annotations(self, annotations: Sequence[Annotation]) -> None:
        """Show angles, the scale and the like."""
        shown = tuple(annotations)
        if shown != self.scene.annotations:
            self.scene.annotations = shown
            self.update()

    def set_sight_lines(self, lines: tuple[SightLine, ...]) -> None:
        """Show where landmarks must lie after another clip."""
        if lines != self.scene.sight_lines:
            self.scene.sight_lines = lines
            self.update()

    def set_tag(self, text: str) -> None:
        """Name the event that this frame is, or nothing."""
        self.scene.tag = text
        self.update()

    def set_message(self, text: str) -> None:
        """Say something in place of the request; empty takes it back."""
        self.scene.message = text
        self.update()

    def set_ground(self, y_px: float | None) -> None:
        """Say where the ground lies on a stage without a picture, frame px."""
        self.scene.ground_y_px = y_px
        self.update()

    def set_home(self, area: QRectF | None) -> None:
        """Say which part of the frame matters, px, and show it."""
        self.home = area
        self._set_view(self.view.fitted(area))

    def fit(self) -> None:
        """Show what matters of the frame; when that is seen already, all of it."""
        is_home = self.view.is_fitted_to(self.home)
        self._set_view(self.view.fitted(None if is_home else self.home))

    def show_whole(self) -> None:
        """Show all of the frame."""
        self._set_view(self.view.fitted(None))

    def show_part(self, area: QRectF) -> None:
        """Show a part of the frame, px."""
        self._set_view(self.view.fitted(area))

    def zoom(self, factor: float, at: QPointF | None = None) -> None:
        """Zoom about a widget place; about the pointer, or the middle, when None."""
        if at is None:
            is_over = self.rect().contains(self._pointer.toPoint())
            at = self._pointer if is_over else self.view.area.center()
        self._set_view(self.view.zoomed(factor, at))

    def _set_view(self, view: ViewTransform) -> None:
        self.view = view
        self.update()

    def sizeHint(self) -> QSize:
        """Return a size that suits half a window."""
        return QSize(480, 360)

    def minimumSizeHint(self) -> QSize:
        """Return the least size in which a body can be seen."""
        return QSize(220, 180)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep a view fitted to what matters so."""
        super().resizeEvent(event)
        self.view = self.view.resized(self.width(), self.height() - STRIP_HEIGHT, self.home)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the scene."""
        painter = QPainter(self)
        paint_scene(painter, self.scene, self.view, magnified=self._magnified(), pointer=self._hand)
        painter.end()

    @property
    def _hand(self) -> QPointF:
        """Where the hand works, widget px: the loupe keeps away from it."""
        return self._pointer

    def _magnified(self) -> tuple[float, float] | None:
        """Return the frame place that the loupe shows, px; None without a loupe."""
        return None
