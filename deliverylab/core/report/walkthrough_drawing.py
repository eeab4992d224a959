"""Draws on the pictures of a walkthrough: the skeleton, and what the instructor drew by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence

import cv2
import numpy as np

from deliverylab.core.model.walkthrough import Drawing
from deliverylab.core.report.figures import Picture, Side, skeleton
from deliverylab.core.report.hand_strokes import Place, hand_strokes, round_stroke
from deliverylab.core.report.walkthrough_crop import Placement
from deliverylab.core.report.walkthrough_style import (
    DASH_PX,
    HALO,
    HAND,
    HAND_LINE_PX,
    LINE_PX,
    MARKER_PX,
    MODEL,
    MODEL_LINE_PX,
    RIM_PX,
    SIDES,
    rgb,
)

Colour = tuple[int, int, int]
_SHIFT = 4
"""Places are given to the drawing in sixteenths of a pixel."""
BARB_PX = 26.0
"""Length of an arrow's barbs at 1920 × 1080."""


def draw_body(
    picture: Picture,
    points: dict[str, Place],
    hand: str,
    placement: Placement,
    *,
    is_model: bool,
    unit: float,
) -> None:
    """Draw a body's skeleton into a part of the picture, in place.

    The athlete's is solid, amber with squares on the throwing side and teal with circles on the
    glove side; the model delivery's is thin, dashed and lilac, with the same shapes.

    Parameters
    ----------
    picture : ndarray of uint8, shape (h, w, 3)
        RGB; it is changed.
    points : dict of str to (float, float)
        Landmarks in px of the upright frame.
    hand : {"left", "right"}
        Throwing hand.
    placement : Placement
        How the frame lies in the picture.
    is_model : bool
    unit : float
        Pixels of what is one pixel at 1920 × 1080.
    """
    bones, joints = skeleton(points, hand)
    width = (MODEL_LINE_PX if is_model else LINE_PX) * unit
    lines = [
        (
            bone.side,
            (placement.to_picture(bone.x0, bone.y0), placement.to_picture(bone.x1, bone.y1)),
        )
        for bone in bones
    ]
    polylines(picture, [line for _, line in lines], rgb(HALO), width + RIM_PX * unit)
    for side, line in lines:
        if is_model:
            polylines(picture, dashes(*line, unit, DASH_PX), rgb(MODEL), width)
        else:
            polylines(picture, [line], rgb(SIDES[side]), width)
    for joint in joints:
        colour = rgb(MODEL if is_model else SIDES[joint.side])
        half = MARKER_PX * unit * (0.8 if is_model else 1.0)
        _marker(picture, joint.side, placement.to_picture(joint.x, joint.y), half, colour)


def draw_by_hand(
    picture: Picture, drawings: Sequence[Drawing], placement: Placement, unit: float
) -> None:
    """Draw arrows, lines, arcs, circles and freehand lines into a part of the picture, in place."""
    for drawing in drawings:
        points = [placement.to_picture(*point) for point in drawing.points_px]
        lines = hand_strokes(drawing.kind, points, BARB_PX * unit)
        for colour, extra in ((rgb(HALO), RIM_PX), (rgb(HAND), 0.0)):
            polylines(picture, lines, colour, (HAND_LINE_PX + extra) * unit)


def dashes(
    start: Place, end: Place, unit: float, on_off: tuple[float, float]
) -> list[Sequence[Place]]:
    """Return a line as dashes; it begins and ends with one."""
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    on, off = (unit * part for part in on_off)
    n = max(1, round((length + off) / (on + off)))
    # the gaps give way, so that the joints at both ends are reached
    step = (length + off) / n
    edges = [(number * step, min(length, number * step + step - off)) for number in range(n)]

    def at(along: float) -> Place:
        share = along / length if length else 0.0
        return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])

    return [(at(begin), at(finish)) for begin, finish in edges]


def _marker(picture: Picture, side: Side, at: Place, half: float, colour: Colour) -> None:
    """Draw a joint: a square, a circle, or a small circle for the middle; dark inside."""
    if side == "throwing":
        x, y = at
        outline = [
            (x - half, y - half),
            (x + half, y - half),
            (x + half, y + half),
            (x - half, y + half),
        ]
    else:
        radius = half * (1.15 if side == "glove" else 0.75)
        outline = list(round_stroke(at, radius, 0.0, 2.0 * math.pi))
    closed = [*outline, outline[0]]
    polygon(picture, closed, rgb(HALO))
    polylines(picture, [closed], rgb(HALO), half * 0.9)
    polylines(picture, [closed], colour, half * 0.45)


def polylines(
    picture: Picture, lines: Sequence[Sequence[Place]], colour: Colour, width: float
) -> None:
    """Draw lines of this colour and width into a picture, in place."""
    thickness = max(1, round(width))
    paths = [_fixed(line) for line in lines if len(line) > 1]
    cv2.polylines(picture, paths, False, colour, thickness, cv2.LINE_AA, _SHIFT)


def polygon(picture: Picture, corners: Sequence[Place], colour: Colour) -> None:
    """Fill what lies within corners with this colour, in place."""
    cv2.fillPoly(picture, [_fixed(corners)], colour, cv2.LINE_AA, _SHIFT)


def _fixed(line: Sequence[Place]) -> np.ndarray[tuple[int, int], np.dtype[np.int32]]:
    """Return places as OpenCV takes them; far away ones are kept where it can count."""
    places = np.clip(np.array(line, dtype=np.float64), -2e4, 2e4)
    fixed: np.ndarray[tuple[int, int], np.dtype[np.int32]] = np.round(places * 2**_SHIFT).astype(
        np.int32
    )
    return fixed
