"""A delivery in space, painted as seen from any side by parallel projection: no lens, true from above."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QLinearGradient, QPainter, QPen, QPolygonF

from deliverylab.core.cameras.pinhole import axes_of
from deliverylab.core.vocabulary.field import BY_KEY as FIELDS
from deliverylab.core.vocabulary.field import FieldSize
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, Hand
from deliverylab.core.vocabulary.segments import DRAWN, MIDPOINTS
from deliverylab.core.vocabulary.views import square_azimuth_deg
from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.caption import paint_caption
from deliverylab.shell.drawing.skeleton import SkeletonLook, StagePoint, paint_skeleton
from deliverylab.shell.drawing.view_transform import ViewTransform

if TYPE_CHECKING:
    from deliverylab.core.workflow.space_figure import Trails

FloatArray = NDArray[np.float64]

CENTRE_M = np.array([0.8, 0.0, 0.9])
"""What the view turns about: about where the body is in mid-stride."""
SEEN_M = 2.5
"""What is seen at first, across the smaller side of the picture."""
LOWEST_DEG, HIGHEST_DEG = -90.0, 12.0
CLOSEST, FARTHEST = 6.0, 0.35
ABOVE_DEG = -75.0
"""Looking down at least so steeply, the turn of hips and shoulders is drawn as an angle."""
GRID_M = 0.5
GRID_X_M, GRID_Y_M = (-1.5, 3.0), (-1.5, 1.5)
BEYOND_M = 0.35
"""By how much the lines of hips and shoulders are drawn out beyond the body, seen from above."""
ARC_M = 0.55
HIPS, SHOULDERS = palette.INK, palette.PICKED
DASHES = (5.0, 3.0)
"""Of the line of the shoulders: hue is not all that tells it from that of the hips."""
LEAST_WAY = 40.0
TO_PLATE = "to the plate"


@dataclass(frozen=True)
class Turn:
    """From where the figure is seen.

    Attributes
    ----------
    azimuth_deg : float
        Of the line of sight about the vertical, 0 to the plate, anticlockwise from above.
    pitch_deg : float
        Of the line of sight above level.
    zoom : float
        1 shows all of a delivery.
    """

    azimuth_deg: float = 65.0
    pitch_deg: float = -18.0
    zoom: float = 1.0

    @property
    def is_from_above(self) -> bool:
        """Whether one looks down."""
        return self.pitch_deg <= ABOVE_DEG

    def turned(self, dx_deg: float, dy_deg: float) -> Turn:
        """Return it turned about the vertical, and tipped."""
        return replace(
            self,
            azimuth_deg=(self.azimuth_deg + dx_deg) % 360.0,
            pitch_deg=min(max(self.pitch_deg + dy_deg, LOWEST_DEG), HIGHEST_DEG),
        )

    def zoomed(self, factor: float) -> Turn:
        """Return it closer by a factor."""
        return replace(self, zoom=min(max(self.zoom * factor, FARTHEST), CLOSEST))

    def to_widget(self, points_m: FloatArray, area: QRectF) -> FloatArray:
        """Return where points of shape (..., 3) are painted in an area, shape (..., 2)."""
        scale = self.zoom * min(area.width(), area.height()) / SEEN_M
        middle = np.array([area.center().x(), area.center().y()])
        out: FloatArray = middle + scale * (points_m - CENTRE_M) @ self._across.T
        return out

    @cached_property
    def _across(self) -> FloatArray:
        """Directions to the picture's right and down, shape (2, 3)."""
        return axes_of(math.radians(self.azimuth_deg), math.radians(self.pitch_deg), 0.0)[:2]


def standing_views(hand: Hand) -> dict[str, Turn]:
    """Return the views that one asks for by name; from above the plate lies to the right."""
    return {
        "above": Turn(90.0, LOWEST_DEG),
        "side": Turn(square_azimuth_deg("open-side", hand), -6.0),
        "behind": Turn(square_azimuth_deg("rear", hand), -6.0),
        "plate": Turn(square_azimuth_deg("front", hand), -6.0),
    }


@dataclass(frozen=True, kw_only=True)
class SpaceBody:
    """One body at an instant, as it is drawn.

    Attributes
    ----------
    points_m : ndarray, shape (n_landmarks, 3), m
        NaN where it is not known.
    hand : str
        Throwing hand, as filmed.
    trails : Trails or None
    """

    points_m: FloatArray
    hand: Hand
    trails: Trails | None = None


@dataclass
class SpaceScene:
    """All that is painted.

    Attributes
    ----------
    athlete, model : SpaceBody or None
    is_mirrored : bool
        Whether a left-hander is drawn as a right-hander.
    separation : str
        Words for the angle between hips and shoulders, or empty.
    field_size : FieldSize
        For the rubber.
    has_trails : bool
        Whether trails are wanted.
    is_turning : bool
        Whether the figure is in the hand: thin lines then, so that it follows.
    """

    athlete: SpaceBody | None = None
    model: SpaceBody | None = None
    is_mirrored: bool = False
    separation: str = ""
    field_size: FieldSize = field(default_factory=lambda: FIELDS["baseball"])
    has_trails: bool = True
    is_turning: bool = False

    @property
    def drawn_hand(self) -> Hand:
        """The hand that is seen to throw."""
        if self.athlete is None or self.is_mirrored:
            return "right"
        return self.athlete.hand


def paint_space(painter: QPainter, scene: SpaceScene, turn: Turn, area: QRectF) -> None:
    """Paint the ground, the trails, the model, the athlete, and the angle from above."""
    _paint_ground(painter, scene, turn, area)
    for body, ink in ((scene.model, palette.MODEL), (scene.athlete, palette.INK_SOFT)):
        if body is not None:
            _paint_shadow(painter, body, turn, area, ink)
    if scene.athlete is not None and scene.athlete.trails is not None and scene.has_trails:
        _paint_trails(painter, scene.athlete.trails, turn, area, is_fine=not scene.is_turning)
    view = ViewTransform(area.width(), area.height(), area.width(), area.height(), 1.0)
    view = replace(view, centre_x=area.width() / 2.0, centre_y=area.height() / 2.0)
    moving = "figure" if scene.is_turning else ""
    if scene.model is not None:
        look = SkeletonLook(style="model", is_ghost=True, moving=moving)
        points = _stage_points(scene.model, turn, area)
        paint_skeleton(painter, points, view, scene.model.hand, look)
    if scene.athlete is not None:
        points = _stage_points(scene.athlete, turn, area)
        if turn.is_from_above:
            _paint_twist(painter, points, area)
        look = SkeletonLook(moving=moving)
        paint_skeleton(painter, points, view, scene.athlete.hand, look)
        if turn.is_from_above:
            _name_twist(painter, points, area)
        if scene.separation:
            paint_caption(painter, area, area.bottomLeft() + QPointF(0.0, -16.0), scene.separation)


def _stage_points(body: SpaceBody, turn: Turn, area: QRectF) -> dict[str, StagePoint]:
    """Return what is known of a body as points of a picture."""
    places = turn.to_widget(body.points_m, area)
    return {
        key: StagePoint(float(x), float(y))
        for key, (x, y) in zip(LANDMARK_KEYS, places, strict=True)
        if math.isfinite(x)
    }


# ------------------------------------------------------------------------------------ the ground


def _paint_ground(painter: QPainter, scene: SpaceScene, turn: Turn, area: QRectF) -> None:
    """Paint a plane through the rubber, the rubber, and the line to the plate."""
    sky = QLinearGradient(area.topLeft(), area.bottomLeft())
    sky.setColorAt(0.0, palette.STAGE_TOP)
    sky.setColorAt(1.0, palette.STAGE_LOW)
    painter.fillRect(area, sky)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=not scene.is_turning)
    (x_0, x_1), (y_0, y_1) = GRID_X_M, GRID_Y_M
    corners = [(x_0, y_0, 0.0), (x_1, y_0, 0.0), (x_1, y_1, 0.0), (x_0, y_1, 0.0)]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.GROUND if turn.pitch_deg < 0.0 else palette.GROUND_FAR)
    painter.drawPolygon(_polygon(turn.to_widget(np.array(corners), area)))
    across = [((x, y_0, 0.0), (x, y_1, 0.0)) for x in np.arange(x_0, x_1 + 0.01, GRID_M)]
    along = [((x_0, y, 0.0), (x_1, y, 0.0)) for y in np.arange(y_0, y_1 + 0.01, GRID_M)]
    painter.setPen(QPen(palette.GRID, 1.0))
    painter.drawLines(_lines(turn.to_widget(np.array([*across, *along]), area)))
    half, depth = scene.field_size.rubber_width_m / 2.0, scene.field_size.rubber_depth_m
    pen = QPen(palette.INK_SOFT, 1.0)
    pen.setDashPattern([5.0, 4.0])
    painter.setPen(pen)
    end_m = np.array([[0.0, 0.0, 0.0], [x_1 - 0.1, 0.0, 0.0]])
    way = QLineF(*_points(turn.to_widget(end_m, area)))
    painter.drawLine(way)
    _paint_way(painter, way, area)
    rubber = [(0.0, half, 0.0), (0.0, -half, 0.0), (-depth, -half, 0.0), (-depth, half, 0.0)]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.INK)
    painter.drawPolygon(_polygon(turn.to_widget(np.array(rubber), area)))


def _paint_way(painter: QPainter, way: QLineF, area: QRectF) -> None:
    """Paint the arrow's head on the line to the plate, and its name, as far out as they are seen.

    Nothing where the line points at the eye.
    """
    if way.length() < LEAST_WAY:
        return
    inside = area.adjusted(10.0, 10.0, -10.0, -24.0)
    shares = (share for share in np.linspace(1.0, 0.3, 15) if inside.contains(way.pointAt(share)))
    share = next(shares, None)
    if share is None:
        return
    end = way.pointAt(float(share))
    painter.setPen(QPen(palette.INK_SOFT, 1.0))
    for turn_deg in (155.0, -155.0):
        head = QLineF(end, end + QPointF(1.0, 0.0))
        head.setAngle(way.angle() + turn_deg)
        head.setLength(8.0)
        painter.drawLine(head)
    width = painter.fontMetrics().horizontalAdvance(TO_PLATE)
    left = min(max(end.x() - 0.5 * width, area.left() + 8.0), area.right() - width - 8.0)
    painter.drawText(QPointF(left, end.y() + 17.0), TO_PLATE)


def _paint_shadow(
    painter: QPainter, body: SpaceBody, turn: Turn, area: QRectF, ink: QColor
) -> None:
    """Paint the body flat on the ground: it tells how far away each part is."""
    if turn.is_from_above:
        return
    flat = body.points_m * np.array([1.0, 1.0, 0.0])
    places = _named(turn.to_widget(flat, area))
    faint = QColor(ink)
    faint.setAlpha(60)
    painter.setPen(QPen(faint, 1.0))
    painter.drawLines(
        [QLineF(places[a], places[b]) for a, b in DRAWN if a in places and b in places]
    )


# ------------------------------------------------------------------------------------- the trails


def _paint_trails(
    painter: QPainter, trails: Trails, turn: Turn, area: QRectF, *, is_fine: bool
) -> None:
    """Paint the hand's way and, fading, the lines of hips and shoulders."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    for ends, colour in ((trails.hips, HIPS), (trails.shoulders, SHOULDERS)):
        lines = _lines(turn.to_widget(ends, area))
        for number, line in enumerate(lines, 1):
            ink = QColor(colour)
            ink.setAlpha(20 + round(130 * number / len(lines)))
            painter.setPen(QPen(ink, 1.0))
            painter.drawLine(line)
    if len(trails.hand) < 2:
        return
    # many short thick lines with smooth edges would cost more than all the rest
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=is_fine)
    painter.setPen(QPen(palette.THROWING, 1.6 if is_fine else 0.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(_polygon(turn.to_widget(trails.hand, area)))


# -------------------------------------------------------------------------------- seen from above


def _twist_lines(points: Mapping[str, StagePoint]) -> tuple[QLineF, QLineF] | None:
    """Return hips and shoulders, each from the throwing side's end to the other; None without."""
    keys = ("left_hip", "right_hip", "left_shoulder", "right_shoulder")
    if not all(key in points for key in keys):
        return None
    places = [QPointF(points[key].x_px, points[key].y_px) for key in keys]
    return QLineF(places[0], places[1]), QLineF(places[2], places[3])


def _paint_twist(painter: QPainter, points: Mapping[str, StagePoint], area: QRectF) -> None:
    """Draw the lines of hips and shoulders out, with the angle between them."""
    lines = _twist_lines(points)
    if lines is None:
        return
    scale = min(area.width(), area.height()) / SEEN_M
    middle = lines[0].center()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    solid, dashed = QPen(HIPS, 1.8), QPen(SHOULDERS, 1.8)
    dashed.setDashPattern(list(DASHES))
    for ends, ink in zip(_drawn_out(lines, scale), (solid, dashed), strict=True):
        for pen in (QPen(palette.HALO, 4.0), ink):
            painter.setPen(pen)
            painter.drawLine(ends)
    radius = ARC_M * scale
    circle = QRectF(middle.x() - radius, middle.y() - radius, 2 * radius, 2 * radius)
    start = lines[0].angle()
    sweep = (lines[1].angle() - start + 180.0) % 360.0 - 180.0
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for turn_deg in (0.0, 180.0):
        painter.setPen(QPen(palette.INK_SOFT, 1.4))
        painter.drawArc(circle, round(16 * (start + turn_deg)), round(16 * sweep))


def _drawn_out(lines: tuple[QLineF, QLineF], scale: float) -> list[QLineF]:
    """Return hips and shoulders through the middle of the hips, each beyond the body at both ends."""
    middle, out = lines[0].center(), []
    for line in lines:
        moved = line.translated(middle - line.center())
        share = BEYOND_M * scale / max(line.length(), 1e-6)
        out.append(QLineF(moved.pointAt(-share), moved.pointAt(1.0 + share)))
    return out


def _name_twist(painter: QPainter, points: Mapping[str, StagePoint], area: QRectF) -> None:
    """Name both lines, one at its lower end, the other at its upper."""
    lines = _twist_lines(points)
    if lines is None:
        return
    scale = min(area.width(), area.height()) / SEEN_M
    for line, name in zip(_drawn_out(lines, scale), ("hips", "shoulders"), strict=True):
        is_second = (line.dy() > 0.0) != (name == "shoulders")
        paint_caption(painter, area, line.p2() if is_second else line.p1(), name)


# ------------------------------------------------------------------------------------------ shapes


def _points(places: FloatArray) -> list[QPointF]:
    return [QPointF(x, y) for x, y in places.tolist()]


def _polygon(places: FloatArray) -> QPolygonF:
    return QPolygonF(_points(places))


def _lines(ends: FloatArray) -> list[QLineF]:
    return [QLineF(*_points(pair)) for pair in ends]


def _named(places: FloatArray) -> dict[str, QPointF]:
    named = {
        key: at
        for key, at in zip(LANDMARK_KEYS, _points(places), strict=True)
        if math.isfinite(at.x())
    }
    for middle, (left, right) in MIDPOINTS.items():
        if left in named and right in named:
            named[middle] = (named[left] + named[right]) / 2.0
    return named
