"""Measurements on the pictures of a walkthrough: arcs, lines and rulers, each with its number."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from deliverylab.core.metrics.figure_marks import ArcMark, LineMark, Mark
from deliverylab.core.model.scale import Point
from deliverylab.core.report.figures import Picture
from deliverylab.core.report.hand_strokes import Place
from deliverylab.core.report.walkthrough_crop import Placement
from deliverylab.core.report.walkthrough_drawing import dashes, polylines
from deliverylab.core.report.walkthrough_label import Label, lay_over
from deliverylab.core.report.walkthrough_style import (
    DASH_PX,
    HALO,
    MARK_LINE_PX,
    RIM_PX,
    TEXT,
    rgb,
)

ARC_PX, MOST_OF_ARM = 74.0, 0.8
"""Radius of an arc at 1920 × 1080, and the most of its shorter arm."""
LEAST_OPEN = 0.08
"""How far the arms of an angle lie apart, as a share of their length, where they say a side."""
TICK_PX, AWAY_PX = 9.0, 16.0
Lines = list[list[Place]]


def draw_marks(
    picture: Picture,
    marks: Iterable[Mark],
    placement: Placement,
    unit: float,
    label_of: Callable[[str], Label],
) -> None:
    """Draw measurements into a part of the picture, in place.

    Parameters
    ----------
    picture : ndarray of uint8, shape (h, w, 3)
        RGB; it is changed.
    marks : iterable of ArcMark, LineMark or RulerMark
        In px of the upright frame.
    placement : Placement
        How the frame lies in the picture.
    unit : float
        Pixels of what is one pixel at 1920 × 1080.
    label_of : callable
        Gives the plate of a text.
    """
    words: list[tuple[Place, Place, str]] = []
    for mark in marks:
        lines, dashed, beside, away = _shape(mark, placement, unit)
        paths = [
            *lines,
            *(dash for line in dashed for dash in dashes(line[0], line[1], unit, DASH_PX)),
        ]
        polylines(picture, paths, rgb(HALO), (MARK_LINE_PX + RIM_PX) * unit)
        polylines(picture, paths, rgb(TEXT), MARK_LINE_PX * unit)
        words.append((beside, away, mark.text))
    taken: list[tuple[int, int, int, int]] = []
    for beside, away, text in words:
        plate = label_of(text)
        left, top = _free_place(picture, plate, beside, away, unit, taken)
        taken.append((left, top, left + plate.shape[1], top + plate.shape[0]))
        lay_over(picture, plate, left, top)


def _shape(mark: Mark, placement: Placement, unit: float) -> tuple[Lines, Lines, Place, Place]:
    """Return solid and dashed lines, the place that the number stands beside, and in which direction."""

    def at(point: Point) -> Place:
        return placement.to_picture(point.x_px, point.y_px)

    if isinstance(mark, ArcMark):
        radius = min(ARC_PX * unit / placement.zoom, MOST_OF_ARM * mark.reach_px)
        arc = [at(point) for point in mark.arc(radius)]
        corner, reference, arm = at(mark.corner), at(mark.reference), at(mark.arm)
        away = (reference[0] - arm[0], reference[1] - arm[1])
        # the number stands off the arc and the body; beside where both arms all but meet
        if math.hypot(*away) < LEAST_OPEN * math.dist(corner, arm):
            away = (1.0, 0.0)
        if not mark.is_true:  # the picture does not show this angle: the words stand alone
            return [], [], corner, away
        return [arc], [[corner, reference]], arc[0], away
    start, end = at(mark.start), at(mark.end)
    middle = (0.5 * (start[0] + end[0]), 0.5 * (start[1] + end[1]))
    along = (end[0] - start[0], end[1] - start[1])
    # the side that lies lower, where the ground is, or the right one of an upright line
    across = (-along[1], along[0]) if along[0] > 0 else (along[1], -along[0])
    if isinstance(mark, LineMark):
        return [[start, end]], [], middle, (-across[0], -across[1])
    length = math.hypot(*across) or 1.0
    tick = (across[0] / length * TICK_PX * unit, across[1] / length * TICK_PX * unit)
    lines = [[start, end]]
    lines += [
        [(x - tick[0], y - tick[1]), (x + tick[0], y + tick[1])]
        for x, y in (start, end, *map(at, mark.ticks))
    ]
    return lines, [[at(a), at(b)] for a, b in mark.feet], middle, across


def _free_place(
    picture: Picture,
    plate: Label,
    beside: Place,
    away: Place,
    unit: float,
    taken: list[tuple[int, int, int, int]],
) -> tuple[int, int]:
    """Return where a plate stands beside a place: inside the picture, off the plates before it."""
    height, width = plate.shape[:2]
    length = math.hypot(*away) or 1.0
    dx, dy = away[0] / length, away[1] / length
    gap = AWAY_PX * unit
    # as far as the plate must go until it is past the place, to the side or above or below
    reach = min((0.5 * width + gap) / max(abs(dx), 1e-9), (0.5 * height + gap) / max(abs(dy), 1e-9))
    while True:
        left = round(beside[0] + dx * reach - 0.5 * width)
        top = round(beside[1] + dy * reach - 0.5 * height)
        left = min(max(left, 0), picture.shape[1] - width)
        top = min(max(top, 0), picture.shape[0] - height)
        is_free = all(
            left >= right or left + width <= start or top >= bottom or top + height <= above
            for start, above, right, bottom in taken
        )
        if is_free or reach > max(picture.shape):
            return left, top
        reach += 6.0 * unit
