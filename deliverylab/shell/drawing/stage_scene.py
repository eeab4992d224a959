"""Everything one stage shows, as plain data, and the order in which it is painted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF
from PySide6.QtGui import QPainter, QPen

from deliverylab.core.model.walkthrough import Drawing
from deliverylab.core.vocabulary.landmarks import Hand, role_for_key, role_name
from deliverylab.shell.drawing import palette, stage_text
from deliverylab.shell.drawing.annotations import Annotation, Cross, paint_annotations
from deliverylab.shell.drawing.caption import paint_caption
from deliverylab.shell.drawing.epipolar import SightLine, paint_sight_lines
from deliverylab.shell.drawing.field_marks import FieldMark, paint_field_marks
from deliverylab.shell.drawing.guess_mark import GuessMark, paint_guess
from deliverylab.shell.drawing.handles import Handle, paint_handles
from deliverylab.shell.drawing.loupe import LoupePlace, loupe_area, loupe_place, paint_loupe
from deliverylab.shell.drawing.pen_strokes import PenStroke, paint_drawings
from deliverylab.shell.drawing.picture_layer import PictureLayer
from deliverylab.shell.drawing.skeleton import (
    SkeletonLook,
    StagePoint,
    Style,
    hidden_keys,
    paint_chosen,
    paint_skeleton,
)
from deliverylab.shell.drawing.stage_boxes import StageBox, paint_boxes
from deliverylab.shell.drawing.stage_text import Request
from deliverylab.shell.drawing.view_transform import ViewTransform

PICKING_KEYS = "Backspace takes one back · Esc stops"
PLACING_KEYS = "J takes the guess · S skip · H hidden"
GUESS_KEYS = "Arrow keys move the guess · J takes it · S skip · H hidden"


@dataclass
class StageScene:
    """What a stage shows; the canvas changes it, `paint_scene` draws it.

    Attributes
    ----------
    layer : PictureLayer
        The picture.
    points, ghost : mapping of str to StagePoint
        Landmarks of the delivery; of another one laid over it.
    hand, style : str
        Throwing hand; ``athlete`` or ``model``.
    next_key, chosen, hovered, moving : str
        Landmark keys asked for, moved by nudges, under the pointer, being dragged; or empty.
    guess : GuessMark or None
        Where the landmark asked for may be.
    request : Request
        Words about what is asked for.
    annotations : tuple
        Angles, scale and the like.
    tag, message : str
        The event's name; something that has to be said instead of a request.
    picks : list of (x, y)
        Points picked so far, frame px.
    field_marks : tuple of FieldMark
        Clicks on the field.
    sight_lines : tuple of SightLine
        Where landmarks must lie after another clip.
    boxes : tuple of StageBox
        Boxes round people.
    drawings : tuple of Drawing
        What was drawn by hand on this picture.
    pen : PenStroke or None
        What is being drawn; the points so far are the picks.
    ground_y_px : float or None
        Where the ground lies on a stage without a picture.
    """

    layer: PictureLayer = field(default_factory=PictureLayer)
    points: dict[str, StagePoint] = field(default_factory=dict)
    ghost: Mapping[str, StagePoint] = field(default_factory=dict)
    ghost_hand: Hand = "right"
    hand: Hand = "right"
    style: Style = "athlete"
    next_key: str = ""
    chosen: str = ""
    hovered: str = ""
    moving: str = ""
    guess: GuessMark | None = None
    request: Request = field(default_factory=Request)
    annotations: tuple[Annotation, ...] = ()
    tag: str = ""
    message: str = ""
    picks: list[tuple[float, float]] = field(default_factory=list)
    handles: tuple[Handle, ...] = ()
    held_handle: str = ""
    current_handle: str = ""
    field_marks: tuple[FieldMark, ...] = ()
    sight_lines: tuple[SightLine, ...] = ()
    boxes: tuple[StageBox, ...] = ()
    drawings: tuple[Drawing, ...] = ()
    pen: PenStroke | None = None
    ground_y_px: float | None = None
    loupe: LoupePlace | None = None

    def name_of(self, key: str) -> str:
        """Return a landmark's name by its role: ``throwing wrist``."""
        return role_name(role_for_key(key, self.hand)) if key else ""


def paint_scene(
    painter: QPainter,
    scene: StageScene,
    view: ViewTransform,
    *,
    magnified: tuple[float, float] | None,
    pointer: QPointF,
) -> None:
    """Paint a whole stage.

    Parameters
    ----------
    magnified : (x, y) or None
        Frame place that the loupe shows, px; None without a loupe.
    pointer : QPointF
        Where the hand is, widget px.
    """
    scene.layer.paint(painter, view, scene.ground_y_px)
    size, taken = QSizeF(view.width, view.height), QRectF()
    if magnified is not None and not scene.layer.is_empty:
        scene.loupe = loupe_place(size, pointer, scene.loupe)
        taken = loupe_area(size, scene.loupe)
    paint_sight_lines(painter, scene.sight_lines, view, pointer, taken)
    if scene.ghost:
        look = SkeletonLook(style="model", is_ghost=True)
        paint_skeleton(painter, scene.ghost, view, scene.ghost_hand, look)
    look = SkeletonLook(style=scene.style, moving=scene.moving)
    paint_skeleton(painter, scene.points, view, scene.hand, look)
    paint_annotations(painter, scene.annotations, view)
    _paint_chosen(painter, scene, view)
    if scene.guess is not None and not scene.handles:
        paint_guess(painter, scene.guess, view, palette.side_of(scene.next_key, scene.hand))
    paint_handles(painter, scene.handles, view, scene.held_handle)
    paint_field_marks(painter, scene.field_marks, view)
    paint_boxes(painter, scene.boxes, view)
    paint_drawings(painter, scene.drawings, scene.pen, view)
    if scene.pen is None:
        _paint_picks(painter, scene, view)
    if magnified is not None and scene.loupe is not None and not taken.isNull():
        paint_loupe(painter, scene.layer, view, scene.loupe, magnified, _loupe_name(scene))
    _paint_words(painter, scene, view)


def _loupe_name(scene: StageScene) -> str:
    """Return what the loupe is held over: a handle, a landmark, or a point without a name."""
    held = next((one.name for one in scene.handles if one.key == scene.held_handle), "")
    if held or scene.picks or scene.request.hint == "":
        return held
    return scene.name_of(scene.moving or scene.next_key)


def _paint_chosen(painter: QPainter, scene: StageScene, view: ViewTransform) -> None:
    chosen = scene.points.get(scene.chosen)
    if chosen is not None and chosen.state != "hidden":
        at = view.to_widget(chosen.x_px, chosen.y_px)
        side = palette.side_of(scene.chosen, scene.hand)
        paint_chosen(painter, at, side, is_moving=bool(scene.moving))
    named = scene.points.get("" if scene.moving else scene.hovered)
    if named is not None and named.state != "hidden":
        beside = view.to_widget(named.x_px, named.y_px) + QPointF(0.0, -24.0)
        text = scene.name_of(scene.hovered)
        if named.state != "placed":
            text = f"{text} · {named.state}"
        paint_caption(painter, view.area, beside, text)


def _paint_picks(painter: QPainter, scene: StageScene, view: ViewTransform) -> None:
    crosses = tuple(
        Cross(at=place, text=str(number + 1)) for number, place in enumerate(scene.picks)
    )
    if len(scene.picks) > 1:
        painter.setPen(QPen(palette.PICKED, 1.2))
        places = [view.to_widget(*place) for place in scene.picks]
        painter.drawLines([QLineF(a, b) for a, b in pairwise(places)])
    paint_annotations(painter, crosses, view)


def _paint_words(painter: QPainter, scene: StageScene, view: ViewTransform) -> None:
    strip = QRectF(0.0, view.height, view.width, stage_text.STRIP_HEIGHT)
    request = Request(scene.message) if scene.message else scene.request
    is_side = bool(scene.next_key) and not scene.message
    side = palette.side_of(scene.next_key, scene.hand) if is_side else "middle"
    stage_text.paint_request(painter, strip, request, side)
    stage_text.paint_hidden(painter, view.area, hidden_keys(scene.points), scene.hand)
    if scene.tag:
        stage_text.paint_tag(painter, view.area, scene.tag)
