"""The field from above, to scale: where the phones stand and what they see, and where cones lie."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from reportlab.lib.colors import Color, HexColor

from deliverylab.core.cameras.control import rubber
from deliverylab.core.cameras.ground import MOUND_CENTRE_X_M, MOUND_RADIUS_M
from deliverylab.core.report.field_layout import (
    SIZE_PX,
    TARGET_X_M,
    FieldLayout,
    StoodView,
    paced,
    taped,
)
from deliverylab.core.report.fonts import Align, Style, draw_text, text_width
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import AMBER, GREY, INK, LILAC, PANEL, PAPER, TEAL
from deliverylab.core.units import UnitSystem

MARK = Style(8.6, INK)
STRONG_MARK = Style(8.6, INK, "bold")
QUIET_MARK = Style(8.6, GREY)
MOUND = HexColor("#e4dccf")
MIDDLE_SHARE = 0.5
"""Part of the picture's width in which the delivery belongs."""

_AHEAD_M, _BESIDE_M = 3.6, 3.1
_ROOM_M = 1.0
_DETAIL_AHEAD_M, _DETAIL_BEHIND_M, _DETAIL_BESIDE_M = 2.5, 0.5, 1.02
_SIGHT_M = 40.0
"""Sight lines are drawn so far: beyond the edge of any plan."""
_SIDE_COLOURS: dict[StoodView, Color] = {"open-side": TEAL, "rear": LILAC}


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A piece of the field on paper: X up, the pitcher's left to the left, one scale.

    Attributes
    ----------
    cell : Cell
    points_a_metre : float
    origin : tuple of float
        Where the middle of the rubber's front edge lies, points.
    """

    cell: Cell
    points_a_metre: float
    origin: tuple[float, float]

    def place(self, x_m: float, y_m: float) -> tuple[float, float]:
        """Return where a place of the field lies on the paper."""
        return (
            self.origin[0] - y_m * self.points_a_metre,
            self.origin[1] + x_m * self.points_a_metre,
        )


def fitted_plan(cell: Cell, ahead_m: float, behind_m: float, left_m: float, right_m: float) -> Plan:
    """Return the largest plan of a stretch of field that a cell holds, in its middle."""
    scale = min(cell.width / (left_m + right_m), cell.height / (ahead_m + behind_m))
    across = cell.left + 0.5 * (cell.width - scale * (left_m + right_m)) + scale * left_m
    up = cell.bottom + 0.5 * (cell.height - scale * (ahead_m + behind_m)) + scale * behind_m
    return Plan(cell=cell, points_a_metre=scale, origin=(across, up))


def draw_plan(canvas: Any, layout: FieldLayout, system: UnitSystem, cell: Cell) -> None:
    """Draw both phones with what they see, the mound, the rubber, the cones and the distances."""
    side_m, other_m = layout.side_distance_m + _ROOM_M, _BESIDE_M
    left_m, right_m = (other_m, side_m) if layout.open_side < 0 else (side_m, other_m)
    plan = fitted_plan(cell, _AHEAD_M, layout.behind_rubber_m + _ROOM_M, left_m, right_m)
    canvas.saveState()
    frame = canvas.beginPath()
    frame.roundRect(*cell, 3.0)
    canvas.clipPath(frame, stroke=0, fill=0)
    canvas.setFillColor(PANEL)
    canvas.rect(*cell, stroke=0, fill=1)
    if layout.field.rubber_height_m:
        _draw_mound(canvas, layout, plan)
    for view in _SIDE_COLOURS:
        _draw_sight(canvas, layout, view, plan)
    _draw_line_to_plate(canvas, layout, system, plan)
    _draw_distances(canvas, layout, system, plan)
    _draw_rubber(canvas, layout, plan)
    for cone in layout.cones:
        draw_cone(canvas, *plan.place(*cone.place_m[:2]), 3.4)
    for view in _SIDE_COLOURS:
        _draw_phone(canvas, layout, view, plan)
    _name_open_side(canvas, layout, plan)
    canvas.restoreState()


def _label(canvas: Any, x: float, y: float, text: str, style: Style, *, align: Align) -> None:
    """Write on the plan, with the lines behind the words taken away."""
    width = text_width(text, style)
    left = x - {"left": 0.0, "centre": 0.5 * width, "right": width}[align]
    canvas.setFillColor(PANEL)
    canvas.setFillAlpha(0.8)
    canvas.roundRect(left - 1.5, y - 2.4, width + 3.0, style.size + 2.2, 1.5, stroke=0, fill=1)
    canvas.setFillAlpha(1.0)
    draw_text(canvas, x, y, text, style, align=align)


def _draw_mound(canvas: Any, layout: FieldLayout, plan: Plan) -> None:
    canvas.setFillColor(MOUND)
    middle, radius = plan.place(MOUND_CENTRE_X_M, 0.0), MOUND_RADIUS_M * plan.points_a_metre
    canvas.circle(*middle, radius, stroke=0, fill=1)
    x, y = plan.place(-1.3, -layout.open_side * 1.25)
    draw_text(canvas, x, y, "mound", QUIET_MARK, align="centre")


def _draw_sight(canvas: Any, layout: FieldLayout, view: StoodView, plan: Plan) -> None:
    """Draw the edges of what a phone's picture holds, and shade the middle half of it."""
    camera = layout.camera(view)
    x, y, _ = camera.position_m
    to_x, to_y, _ = camera.axes[2]
    reach = 0.5 * SIZE_PX[0] / camera.focal_px * _SIGHT_M
    for share in (1.0, MIDDLE_SHARE):
        path = canvas.beginPath()
        start, *ends = (
            plan.place(x + depth * to_x - across * to_y, y + depth * to_y + across * to_x)
            for depth, across in ((0.0, 0.0), (_SIGHT_M, -share * reach), (_SIGHT_M, share * reach))
        )
        path.moveTo(*start)
        for end in ends:
            path.lineTo(*end)
        path.close()
        is_middle = share < 1.0
        canvas.setFillColor(_SIDE_COLOURS[view])
        canvas.setFillAlpha(0.15)
        canvas.setStrokeColor(_SIDE_COLOURS[view])
        canvas.setLineWidth(0.6)
        canvas.setDash()
        canvas.drawPath(path, stroke=int(not is_middle), fill=int(is_middle))
    canvas.setFillAlpha(1.0)


def _draw_line_to_plate(canvas: Any, layout: FieldLayout, system: UnitSystem, plan: Plan) -> None:
    start = plan.place(0.0, 0.0)
    end = start[0], plan.cell.bottom + plan.cell.height - 3.0
    canvas.setStrokeColor(GREY)
    canvas.setLineWidth(0.9)
    canvas.setDash(4.0, 2.5)
    canvas.line(*start, *end)
    canvas.setDash()
    _draw_arrow_head(canvas, *end, math.pi / 2.0, GREY)
    words = f"to home plate, {taped(layout.field.pitching_distance_m, system)}"
    x, align = _beside(layout, end[0], 6.0)
    _label(canvas, x, end[1] - 7.0, words, MARK, align=align)


def _beside(layout: FieldLayout, x: float, gap: float) -> tuple[float, Align]:
    """Return where text begins beside the line to the plate: toward the side phone is room."""
    return (x + gap, "left") if layout.open_side < 0 else (x - gap, "right")


def _draw_distances(canvas: Any, layout: FieldLayout, system: UnitSystem, plan: Plan) -> None:
    """Draw how far each phone stands: the side one from the line, the rear one from the rubber."""
    side = layout.open_side
    target = plan.place(TARGET_X_M, 0.0)
    phone = plan.place(TARGET_X_M, side * layout.side_distance_m)
    draw_dimension(canvas, target, phone, TEAL)
    text = paced(layout.side_distance_m, system)
    # nearer to the phone than to the cones, yet clear of both
    length, half = abs(phone[0] - target[0]), 0.5 * text_width(text, STRONG_MARK)
    x = target[0] - side * min(0.66 * length, length - half - 8.0)
    _label(canvas, x, target[1] + 4.0, text, STRONG_MARK, align="centre")
    canvas.setFillColor(TEAL)
    canvas.circle(*target, 1.8, stroke=0, fill=1)
    rear = plan.place(-layout.behind_rubber_m, 0.0)
    draw_dimension(canvas, plan.place(0.0, 0.0), rear, LILAC)
    x, align = _beside(layout, rear[0], 5.0)
    y = plan.place(-0.6 * layout.behind_rubber_m, 0.0)[1]
    _label(canvas, x, y, paced(layout.behind_rubber_m, system), STRONG_MARK, align=align)


def draw_dimension(
    canvas: Any, start: tuple[float, float], end: tuple[float, float], colour: Color
) -> None:
    """Draw a line with an arrow head at either end."""
    turn = math.atan2(end[1] - start[1], end[0] - start[0])
    canvas.setStrokeColor(colour)
    canvas.setLineWidth(0.9)
    canvas.setDash()
    canvas.line(*start, *end)
    _draw_arrow_head(canvas, *end, turn, colour)
    _draw_arrow_head(canvas, *start, turn + math.pi, colour)


def _draw_arrow_head(canvas: Any, x: float, y: float, turn: float, colour: Color) -> None:
    path = canvas.beginPath()
    path.moveTo(x, y)
    for side in (-1.0, 1.0):
        back = turn + math.pi + side * 0.38
        path.lineTo(x + 5.0 * math.cos(back), y + 5.0 * math.sin(back))
    path.close()
    canvas.setFillColor(colour)
    canvas.drawPath(path, stroke=0, fill=1)


def _draw_rubber(canvas: Any, layout: FieldLayout, plan: Plan) -> None:
    left, top = plan.place(0.0, 0.5 * layout.field.rubber_width_m)
    width = layout.field.rubber_width_m * plan.points_a_metre
    depth = layout.field.rubber_depth_m * plan.points_a_metre
    canvas.setFillColor(PAPER)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.8)
    canvas.setDash()
    canvas.rect(left, top - depth, width, depth, stroke=1, fill=1)


def draw_cone(canvas: Any, x: float, y: float, size: float) -> None:
    """Draw the sign of a cone: an amber triangle round its place."""
    path = canvas.beginPath()
    path.moveTo(x, y + 1.2 * size)
    path.lineTo(x - size, y - 0.8 * size)
    path.lineTo(x + size, y - 0.8 * size)
    path.close()
    canvas.setFillColor(AMBER)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.6)
    canvas.setDash()
    canvas.drawPath(path, stroke=1, fill=1)


def _draw_phone(canvas: Any, layout: FieldLayout, view: StoodView, plan: Plan) -> None:
    """Draw a phone from above, with its name and its zoom beside it."""
    camera = layout.camera(view)
    x, y = plan.place(*camera.position_m[:2])
    canvas.saveState()
    canvas.translate(x, y)
    canvas.rotate(math.degrees(math.atan2(camera.axes[2][1], camera.axes[2][0])))
    canvas.setFillColor(INK)
    canvas.roundRect(-8.0, -4.4, 16.0, 4.4, 1.4, stroke=0, fill=1)
    canvas.setFillColor(_SIDE_COLOURS[view])
    canvas.circle(0.0, 0.0, 2.2, stroke=0, fill=1)
    canvas.restoreState()
    zoom = f"{layout.zoom(view)}×"
    if view == "rear":
        beside, align = _beside(layout, x, 13.0)
        _label(canvas, beside, y - 5.5, f"rear phone, {zoom}", STRONG_MARK, align=align)
        return
    name = f"side phone, {zoom}"
    half = 0.5 * text_width(name, STRONG_MARK)
    inside = min(max(x, plan.cell.left + half + 4.0), plan.cell.left + plan.cell.width - half - 4.0)
    _label(canvas, inside, y - 21.0, name, STRONG_MARK, align="centre")


def _name_open_side(canvas: Any, layout: FieldLayout, plan: Plan) -> None:
    # above the line on which the rear phone's name stands
    y = plan.place(-layout.behind_rubber_m, 0.0)[1] + 9.0
    # seen with the plate at the top, third base is to the right
    if layout.open_side < 0:
        right = plan.cell.left + plan.cell.width - 6.0
        _label(canvas, right, y, "third-base side", QUIET_MARK, align="right")
    else:
        _label(canvas, plan.cell.left + 6.0, y, "first-base side", QUIET_MARK, align="left")


def draw_detail(canvas: Any, layout: FieldLayout, system: UnitSystem, cell: Cell) -> None:
    """Draw the rubber with its corners to click, and how the cones are taped."""
    plan = fitted_plan(cell, _DETAIL_AHEAD_M, _DETAIL_BEHIND_M, _DETAIL_BESIDE_M, _DETAIL_BESIDE_M)
    canvas.saveState()
    frame = canvas.beginPath()
    frame.roundRect(*cell, 3.0)
    canvas.clipPath(frame, stroke=0, fill=0)
    canvas.setFillColor(MOUND if layout.field.rubber_height_m else PANEL)
    canvas.rect(*cell, stroke=0, fill=1)
    (ahead_m, beside_m, _), _ = (cone.place_m for cone in layout.cones)
    middle, ahead = plan.place(0.0, 0.0), plan.place(ahead_m, 0.0)
    draw_dimension(canvas, middle, ahead, INK)
    half_way = plan.place(0.5 * ahead_m, 0.0)
    draw_text(canvas, half_way[0] + 5.0, half_way[1] - 3.0, taped(ahead_m, system), STRONG_MARK)
    words = taped(beside_m, system)
    # two labels of feet and inches are wider than the dimensions that they stand over
    off = max(0.5 * beside_m * plan.points_a_metre, 0.5 * text_width(words, STRONG_MARK) + 2.5)
    for cone, sign in zip(layout.cones, (-1.0, 1.0), strict=True):
        end = plan.place(*cone.place_m[:2])
        draw_dimension(canvas, ahead, end, INK)
        x, y = ahead[0] + sign * off, end[1] + 9.0
        draw_text(canvas, x, y, words, STRONG_MARK, align="centre")
        draw_cone(canvas, *end, 5.0)
    _draw_rubber(canvas, layout, plan)
    for corner in rubber(layout.field):
        canvas.setFillColor(LILAC)
        canvas.circle(*plan.place(*corner.place_m[:2]), 2.2, stroke=0, fill=1)
    below = plan.place(-layout.field.rubber_depth_m, 0.0)
    draw_text(canvas, below[0], below[1] - 12.0, "rubber, four corners", MARK, align="centre")
    canvas.restoreState()
