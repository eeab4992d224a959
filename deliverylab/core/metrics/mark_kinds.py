"""Marks of measurements in a picture: an angle's arc, a line, a ruler, in px of the upright frame."""

from __future__ import annotations

import math
from dataclasses import dataclass

from deliverylab.core.metrics.figure_places import shifted
from deliverylab.core.model.scale import Point


@dataclass(frozen=True, kw_only=True)
class _Said:
    """What every mark says.

    Attributes
    ----------
    metric, event : str
        Keys of the result.
    name, text : str
        What is measured; its value with U in the reader's units: ``47° ± 4``, with ``in space`` or
        ``estimated`` where the picture itself does not show just that.
    is_in_space : bool
        Whether several cameras measured it together.
    is_true : bool
        Whether the picture shows what was measured: not where it shows an angle foreshortened beyond
        its U, or where the angle was only estimated.  The words then stand without the arc.
    """

    metric: str
    event: str
    name: str
    text: str
    is_in_space: bool
    is_true: bool = True


@dataclass(frozen=True, kw_only=True)
class ArcMark(_Said):
    """An angle between two arms.

    Attributes
    ----------
    corner : Point
        Where the arms meet, px of the upright frame.
    reference : Point
        End of the arm it is measured from: a thigh carried on beyond the knee, the vertical.
    arm : Point
        End of the arm it is measured to.
    """

    corner: Point
    reference: Point
    arm: Point

    @property
    def turn_deg(self) -> float:
        """Turn from the reference to the arm in the picture, degrees, clockwise positive."""
        start, end = (
            direction_rad(self.corner, self.reference),
            direction_rad(self.corner, self.arm),
        )
        return math.degrees(math.remainder(end - start, 2.0 * math.pi))

    def arc(self, radius_px: float, n_places: int = 17) -> tuple[Point, ...]:
        """Return places along the arc from the reference to the arm."""
        start, turn = direction_rad(self.corner, self.reference), math.radians(self.turn_deg)
        angles = [start + turn * step / (n_places - 1) for step in range(n_places)]
        return tuple(
            shifted(self.corner, Point(math.cos(a), math.sin(a)), radius_px) for a in angles
        )

    @property
    def reach_px(self) -> float:
        """Length of the shorter arm, px."""
        return min(math.dist(self.corner, self.reference), math.dist(self.corner, self.arm))


@dataclass(frozen=True, kw_only=True)
class LineMark(_Said):
    """A line across the body, from the throwing side (or the heel) to the other, px."""

    start: Point
    end: Point


@dataclass(frozen=True, kw_only=True)
class RulerMark(_Said):
    """A distance along the level line or the vertical, px.

    Attributes
    ----------
    start, end : Point
        Ends of the ruler.
    ticks : tuple of Point
        Whole steps from the start; empty where the scale does not tell them.
    feet : tuple of (Point, Point)
        From each measured point to its end of the ruler, where it does not lie on it.
    """

    start: Point
    end: Point
    ticks: tuple[Point, ...]
    feet: tuple[tuple[Point, Point], ...]


Mark = ArcMark | LineMark | RulerMark


def direction_rad(start: Point, end: Point) -> float:
    """Return a direction in the picture, radians, clockwise from its right."""
    return math.atan2(end.y_px - start.y_px, end.x_px - start.x_px)
