"""Draws an event figure: the frame's window, and the skeleton so that any picture lets it show."""

from __future__ import annotations

import io
from typing import Any, NamedTuple

import cv2
import numpy as np
from reportlab.lib.colors import Color
from reportlab.lib.utils import ImageReader

from deliverylab.core.report.figures import Box, Figure, Picture, Side
from deliverylab.core.report.style import AMBER, DASH, INK, LILAC, PANEL, PAPER, TEAL

DOTS_PER_INCH = 230.0
JPEG_QUALITY = 88
CORNER = 3.0
_ATHLETE: dict[Side, Color] = {"throwing": AMBER, "glove": TEAL, "middle": INK}


class Cell(NamedTuple):
    """Where on the paper a figure stands, points; the origin is the lower left corner."""

    left: float
    bottom: float
    width: float
    height: float


def draw_figure(
    canvas: Any, figure: Figure | None, window: Box, cell: Cell, *, is_model: bool
) -> None:
    """Draw a figure's window into a cell of the same aspect, on a pale panel.

    The athlete's skeleton is solid, amber with squares on the throwing side and teal with circles
    on the glove side; the model delivery's is thin, dashed and lilac, with the same shapes.
    """
    canvas.saveState()
    outline = canvas.beginPath()
    outline.roundRect(*cell, CORNER)
    canvas.clipPath(outline, stroke=0, fill=0)
    canvas.setFillColor(PANEL)
    canvas.rect(*cell, stroke=0, fill=1)
    if figure is not None:
        if figure.picture is not None:
            _draw_picture(canvas, figure.picture, window, cell)
        _draw_skeleton(canvas, figure, window, cell, is_model=is_model)
    canvas.restoreState()


def _draw_picture(canvas: Any, picture: Picture, window: Box, cell: Cell) -> None:
    """Draw the part of the frame that lies in the window."""
    height, width = picture.shape[:2]
    # pixel centres are at whole numbers, so that pixel i covers i − ½ to i + ½
    left, right = max(0, round(window.left + 0.5)), min(width, round(window.right + 0.5))
    top, bottom = max(0, round(window.top + 0.5)), min(height, round(window.bottom + 0.5))
    if right - left < 1 or bottom - top < 1:
        return
    part = picture[top:bottom, left:right]
    scale = cell.width / window.width
    n_dots = max(1, round((right - left) * scale * DOTS_PER_INCH / 72.0))
    if n_dots < part.shape[1]:
        size = (n_dots, max(1, round(part.shape[0] * n_dots / part.shape[1])))
        part = cv2.resize(part, size, interpolation=cv2.INTER_AREA).astype(np.uint8)
    canvas.drawImage(
        ImageReader(io.BytesIO(jpeg(part))),
        cell.left + (left - 0.5 - window.left) * scale,
        cell.bottom + cell.height - (bottom - 0.5 - window.top) * scale,
        (right - left) * scale,
        (bottom - top) * scale,
    )


def jpeg(picture: Picture) -> bytes:
    """Return an RGB picture as JPEG."""
    options = [int(cv2.IMWRITE_JPEG_QUALITY), JPEG_QUALITY]
    bgr = cv2.cvtColor(np.ascontiguousarray(picture), cv2.COLOR_RGB2BGR)
    _, encoded = cv2.imencode(".jpg", bgr, options)
    return encoded.tobytes()


def _draw_skeleton(canvas: Any, figure: Figure, window: Box, cell: Cell, *, is_model: bool) -> None:
    scale = cell.width / window.width

    def place(x: float, y: float) -> tuple[float, float]:
        return (
            cell.left + (x - window.left) * scale,
            cell.bottom + cell.height - (y - window.top) * scale,
        )

    width = 1.15 if is_model else 1.9
    lines = [
        (bone.side, *place(bone.x0, bone.y0), *place(bone.x1, bone.y1)) for bone in figure.bones
    ]
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    if figure.picture is not None:
        # a dark rim shows on bright pictures, a light one inside it on dark ones
        rims = (
            ((INK, 0.40, 1.9), (PAPER, 0.85, 1.0))
            if is_model
            else ((INK, 0.45, 2.6), (PAPER, 0.92, 1.5))
        )
        for colour, alpha, extra in rims:
            canvas.setStrokeColor(colour)
            canvas.setStrokeAlpha(alpha)
            canvas.setLineWidth(width + extra)
            path = canvas.beginPath()
            for _, x0, y0, x1, y1 in lines:
                path.moveTo(x0, y0)
                path.lineTo(x1, y1)
            canvas.drawPath(path, stroke=1, fill=0)
        canvas.setStrokeAlpha(1.0)
    canvas.setLineWidth(width)
    if is_model:
        canvas.setLineCap(0)
        canvas.setDash(*DASH)
    for side, x0, y0, x1, y1 in lines:
        canvas.setStrokeColor(LILAC if is_model else _ATHLETE[side])
        canvas.line(x0, y0, x1, y1)
    canvas.setDash()
    for joint in figure.joints:
        draw_marker(canvas, joint.side, *place(joint.x, joint.y), is_model=is_model)


def draw_marker(
    canvas: Any, side: Side, x: float, y: float, *, is_model: bool, size: float = 1.5
) -> None:
    """Draw a joint: square on the throwing side, circle on the glove side, small in the middle."""
    canvas.setFillColor(PAPER)
    canvas.setStrokeColor(LILAC if is_model else _ATHLETE[side])
    canvas.setLineWidth(0.7 if is_model else 0.9)
    if is_model:
        size *= 0.85
    if side == "throwing":
        canvas.rect(x - size, y - size, 2.0 * size, 2.0 * size, stroke=1, fill=1)
    else:
        radius = size * (1.1 if side == "glove" else 0.7)
        canvas.circle(x, y, radius, stroke=1, fill=1)
