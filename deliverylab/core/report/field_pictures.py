"""What each phone's picture should look like: field and athlete through the camera that stands well."""

from __future__ import annotations

import io
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from reportlab.lib.colors import HexColor
from reportlab.lib.utils import ImageReader

from deliverylab.core.cameras.control import rubber
from deliverylab.core.cameras.ground import (
    MOUND_CENTRE_X_M,
    MOUND_RADIUS_M,
    ground_height_m,
)
from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.report.field_athlete import DrawnAthlete, drawn_athletes
from deliverylab.core.report.field_layout import FieldLayout, StoodView
from deliverylab.core.report.field_plan import MARK, MIDDLE_SHARE, MOUND
from deliverylab.core.report.fonts import draw_text
from deliverylab.core.report.sketch import Cell
from deliverylab.core.report.style import AMBER, GREY, INK, PANEL, PAPER

Array = NDArray[np.float64]

GROUND = HexColor("#dfe5dd")
_LABELS_APART, _BELOW = 36.0, 11.0
_LABELLED_SHARE = 0.3
"""Of the picture's height, kept for names at the lower edge."""
_CONE_HEIGHT_M, _CONE_RADIUS_M = 0.15, 0.09


def draw_picture(canvas: Any, layout: FieldLayout, view: StoodView, cell: Cell) -> None:
    """Draw a phone's picture into a cell of its shape: field, athlete and the middle half."""
    camera = layout.camera(view)
    canvas.saveState()
    frame = canvas.beginPath()
    frame.roundRect(*cell, 4.0)
    canvas.clipPath(frame, stroke=0, fill=0)
    canvas.setFillColor(PANEL)
    canvas.rect(*cell, stroke=0, fill=1)
    # level ground reaches the horizon, which a level camera sees in the middle
    canvas.setFillColor(GROUND)
    canvas.rect(cell.left, cell.bottom, cell.width, 0.5 * cell.height, stroke=0, fill=1)
    if layout.field.rubber_height_m:
        _fill(canvas, camera, cell, _mound_outline(camera, layout), MOUND)
    front_left, front_right, back_left, back_right = (p.place_m for p in rubber(layout.field))
    corners = np.array([front_left, front_right, back_right, back_left])
    _fill(canvas, camera, cell, camera.project(corners), PAPER, stroke=True)
    feet = np.array([cone.place_m for cone in layout.cones])
    is_near = camera.to_camera(feet)[:, 2] < layout.distance_m(view)
    _draw_cones(canvas, camera, cell, feet[~is_near])
    for athlete in drawn_athletes(layout, view):
        _draw_athlete(canvas, camera, cell, athlete)
    _draw_cones(canvas, camera, cell, feet[is_near])
    _draw_middle_half(canvas, cell)
    _name_things(
        canvas, cell, *(on_paper(camera, cell, camera.project(p)) for p in (corners, feet))
    )
    canvas.restoreState()
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.9)
    canvas.setDash()
    canvas.roundRect(*cell, 4.0, stroke=1, fill=0)


def on_paper(camera: PinholeCamera, cell: Cell, places_px: Array) -> Array:
    """Return where places of the picture, shape (..., 2), lie in the cell, points."""
    scale = cell.width / camera.size_px[0]
    # pixel centres are at whole numbers, so that the picture's edge lies at −½
    out: Array = np.stack(
        [
            cell.left + (places_px[..., 0] + 0.5) * scale,
            cell.bottom + cell.height - (places_px[..., 1] + 0.5) * scale,
        ],
        axis=-1,
    )
    return out


def _fill(
    canvas: Any,
    camera: PinholeCamera,
    cell: Cell,
    places_px: Array,
    colour: Any,
    *,
    stroke: bool = False,
) -> None:
    points = on_paper(camera, cell, places_px)
    path = canvas.beginPath()
    path.moveTo(*map(float, points[0]))
    for point in points[1:]:
        path.lineTo(*map(float, point))
    path.close()
    canvas.setFillColor(colour)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.6)
    canvas.setDash()
    canvas.drawPath(path, stroke=int(stroke), fill=1)


def _mound_outline(camera: PinholeCamera, layout: FieldLayout) -> Array:
    """Return what the mound covers in the picture: the hull of its surface, shape (n, 2), px."""
    turns = np.linspace(0.0, 2.0 * np.pi, 73)
    x, y = (
        np.outer(np.linspace(0.0, MOUND_RADIUS_M, 12), side(turns)).ravel()
        for side in (np.cos, np.sin)
    )
    x = x + MOUND_CENTRE_X_M
    z = ground_height_m(x, y, layout.field.rubber_height_m)
    seen = camera.project(np.stack([x, y, z], axis=-1))
    hull = cv2.convexHull(seen.astype(np.float32)).reshape(-1, 2)
    return np.asarray(hull, dtype=float)


def _draw_cones(canvas: Any, camera: PinholeCamera, cell: Cell, feet_m: Array) -> None:
    """Draw low cones, each as a triangle on its foot."""
    right, up = camera.axes[0] * _CONE_RADIUS_M, np.array([0.0, 0.0, _CONE_HEIGHT_M])
    for foot in feet_m:
        outline = camera.project([foot - right, foot + up, foot + right])
        _fill(canvas, camera, cell, outline, AMBER, stroke=True)


def _draw_athlete(canvas: Any, camera: PinholeCamera, cell: Cell, athlete: DrawnAthlete) -> None:
    low, high = on_paper(
        camera,
        cell,
        np.array([[athlete.left, athlete.bottom], [athlete.right, athlete.top]]),
    )
    canvas.drawImage(
        ImageReader(io.BytesIO(athlete.png)),
        float(low[0]),
        float(low[1]),
        float(high[0] - low[0]),
        float(high[1] - low[1]),
        mask="auto",
    )


def _draw_middle_half(canvas: Any, cell: Cell) -> None:
    canvas.setStrokeColor(GREY)
    canvas.setLineWidth(0.9)
    canvas.setDash(4.0, 2.5)
    for sign in (-1.0, 1.0):
        x = cell.left + 0.5 * cell.width * (1.0 + sign * MIDDLE_SHARE)
        canvas.line(x, cell.bottom + _LABELLED_SHARE * cell.height, x, cell.bottom + cell.height)
    canvas.setDash()
    top = cell.bottom + cell.height - 11.0
    draw_text(canvas, cell.left + 0.5 * cell.width, top, "middle half", MARK, align="centre")


def _name_things(canvas: Any, cell: Cell, corners: Array, feet: Array) -> None:
    """Write what is what: the rubber, and the cone that lies farther from it."""
    (left, low), (right, _) = corners.min(axis=0), corners.max(axis=0)
    middle = 0.5 * (left + right)
    _name(canvas, cell, "rubber", (left, right), low, is_below=True)
    x, y = feet[np.argmax(np.abs(feet[:, 0] - middle))]
    is_apart = abs(x - middle) > _LABELS_APART
    sides = (x - 4.0, x + 4.0) if x > middle else (x + 4.0, x - 4.0)
    _name(canvas, cell, "cones", sides, y, is_below=is_apart)


def _name(
    canvas: Any, cell: Cell, words: str, sides: tuple[float, float], low: float, *, is_below: bool
) -> None:
    """Write below a thing where that is asked for and there is room, else beside its second side."""
    near, far = float(sides[0]), float(sides[1])
    if is_below and low - _BELOW - 2.5 > cell.bottom:
        draw_text(canvas, 0.5 * (near + far), float(low) - _BELOW, words, MARK, align="centre")
    elif far > near:
        draw_text(canvas, far + 3.0, float(low), words, MARK)
    else:
        draw_text(canvas, far - 3.0, float(low), words, MARK, align="right")
