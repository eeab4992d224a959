"""Lines that a drawing by hand consists of, for whatever they are drawn with."""

from __future__ import annotations

import math
from collections.abc import Sequence

from deliverylab.core.model.walkthrough import DrawingKind

Place = tuple[float, float]
BARB_DEG = 26.0
"""Angle between an arrow's shaft and its barbs."""
BARB_SHARE = 0.6
"""Longest barbs, as a share of the arrow: a short one keeps its shaft."""
ARC_SHARE = 0.45
"""Radius of an angle's arc, as a share of its shorter arm."""
_STEPS = 48
"""Pieces of a whole circle."""


def hand_strokes(
    kind: DrawingKind, places: Sequence[Place], barb: float
) -> tuple[tuple[Place, ...], ...]:
    """Return a drawing as lines through places.

    Parameters
    ----------
    kind : str
        As in `deliverylab.core.model.walkthrough.Drawing`.
    places : sequence of (float, float)
        Its points where it is drawn, y down; an arc with two of its three is the line between them.
    barb : float
        Length of an arrow's barbs, in the unit of the places.

    Returns
    -------
    tuple of tuple of (float, float)
        One for each stroke of the pen.
    """
    line = tuple(places)
    if kind == "arrow" and len(line) == 2:
        return line, _barbs(line[0], line[1], barb)
    if kind == "circle" and len(line) == 2:
        (x, y), rim = line
        return (round_stroke((x, y), math.hypot(rim[0] - x, rim[1] - y), 0.0, 2.0 * math.pi),)
    if kind == "arc" and len(line) == 3:
        return line, _arc(*line)
    return (line,)


def _barbs(start: Place, tip: Place, barb: float) -> tuple[Place, Place, Place]:
    back = math.atan2(start[1] - tip[1], start[0] - tip[0])
    length = min(barb, BARB_SHARE * math.hypot(start[0] - tip[0], start[1] - tip[1]))
    one, other = (
        (tip[0] + length * math.cos(back + turn), tip[1] + length * math.sin(back + turn))
        for turn in (math.radians(BARB_DEG), -math.radians(BARB_DEG))
    )
    return one, tip, other


def _arc(first: Place, vertex: Place, last: Place) -> tuple[Place, ...]:
    """Return the arc of the angle at the middle one of three places, the shorter way round."""
    arms = [(place[0] - vertex[0], place[1] - vertex[1]) for place in (first, last)]
    start, end = (math.atan2(y, x) for x, y in arms)
    sweep = (end - start + math.pi) % (2.0 * math.pi) - math.pi
    return round_stroke(vertex, ARC_SHARE * min(math.hypot(*arm) for arm in arms), start, sweep)


def round_stroke(middle: Place, radius: float, start: float, sweep: float) -> tuple[Place, ...]:
    """Return an arc around a middle as a line; `start` and `sweep` in radians, y down."""
    n_steps = max(2, round(_STEPS * abs(sweep) / (2.0 * math.pi)))
    turns = (start + sweep * step / n_steps for step in range(n_steps + 1))
    return tuple(
        (middle[0] + radius * math.cos(turn), middle[1] + radius * math.sin(turn)) for turn in turns
    )
