"""What people know of a field and of how cameras stand on it, and where they clicked it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal, get_args

import msgspec

from deliverylab.core.errors import InputValueError, NotFoundError

PointKind = Literal["rubber", "plate", "cone", "pole", "unknown"]
POINT_KINDS: tuple[PointKind, ...] = get_args(PointKind)
Place = tuple[float, float, float]

USUAL_FOCAL_OVER_DIAGONAL = 0.70
"""A phone's main lens, as its video shows it, over the diagonal of the picture (common practice:
24-28 mm of a 36 × 24 mm picture, of which video uses a part)."""
U_CLICK_PX = 1.0


class FieldPoint(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A point of the field that can be clicked, as somebody measured it.

    Attributes
    ----------
    key, name : str
        Stable key and what a person calls it.
    kind : {"rubber", "plate", "cone", "pole", "unknown"}
    place_m : tuple of float, m
        In the field frame; counted from the point `above` where that is given.
    u_m : tuple of float or None, m
        Standard uncertainty along X, Y and Z; None where nothing is known.
    above : str
        Key of the point from which `place_m` counts: a pole's foot.
    """

    key: str
    name: str
    kind: PointKind
    place_m: Place
    u_m: tuple[float | None, float | None, float | None]
    above: str = ""

    def __post_init__(self) -> None:
        """Refuse a place or an uncertainty that cannot be one.

        Raises
        ------
        InputValueError
            A place that is no number, or an uncertainty that is not positive.
        """
        if not all(math.isfinite(value) for value in self.place_m):
            raise InputValueError(
                "a place is three numbers", where=self.name, remedy="give metres along X, Y and Z"
            )
        if any(u is not None and not 0.0 < u < math.inf for u in self.u_m):
            raise InputValueError(
                "an uncertainty is above zero",
                where=self.name,
                remedy="leave it out where nothing is known of the place",
            )


class FieldSetUp(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The field a delivery was filmed on.

    Attributes
    ----------
    size : str
        Key of the table of fields, for the mound.
    points : tuple of FieldPoint
        What can be clicked; a point stands after the one it counts from.
    """

    size: str = "baseball"
    points: tuple[FieldPoint, ...] = ()

    def point(self, key: str) -> FieldPoint:
        """Return the point of this key.

        Raises
        ------
        NotFoundError
            No such point; the message lists the keys.
        """
        for point in self.points:
            if point.key == key:
                return point
        keys = ", ".join(point.key for point in self.points) or "none yet"
        raise NotFoundError(
            "no such point of the field", where=key, remedy=f"the points are: {keys}"
        )

    def faults(self) -> Iterator[tuple[int, str, str]]:
        """Yield (number of a point, what is wrong with it beside the others, what to do)."""
        known: set[str] = set()
        for number, point in enumerate(self.points):
            if point.key in known:
                yield number, "a point of the field stands twice", ""
            if point.above and point.above not in known:
                remedy = f"add {point.above} ahead of it"
                yield number, "a point counts from one that does not come before it", remedy
            known.add(point.key)


class ControlClick(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where a point of the field is in a picture, px, with the u of either coordinate."""

    x_px: float
    y_px: float
    u_px: float = U_CLICK_PX

    def __post_init__(self) -> None:
        """Refuse what is no place.

        Raises
        ------
        InputValueError
            A coordinate that is no number, or an uncertainty that is not positive.
        """
        if not (
            math.isfinite(self.x_px) and math.isfinite(self.y_px) and 0.0 < self.u_px < math.inf
        ):
            raise InputValueError(
                "a click is two numbers and an uncertainty above zero",
                where=f"{self.x_px:g}, {self.y_px:g} ± {self.u_px:g} px",
            )


class CameraStand(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a camera stands and what lens it has, as far as a person knows.

    Attributes
    ----------
    zoom : float
        Of the phone, 1 for its main lens.
    focal_px : float or None
        Focal length where it is known; None takes what is usual for a phone at that zoom.
    u_focal_share : float
        Relative standard uncertainty of the focal length.
    u_level_deg : float or None
        How well it was levelled; None where nobody looked.
    turn_deg : float
        Turn of the line of sight from its view, anticlockwise seen from above: 45 stands between
        two views.
    """

    zoom: float = 1.0
    focal_px: float | None = None
    u_focal_share: float = 0.10
    u_level_deg: float | None = 1.0
    turn_deg: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what no phone can be.

        Raises
        ------
        InputValueError
            A zoom, focal length, uncertainty or turn out of range.
        """
        level_deg = 1.0 if self.u_level_deg is None else self.u_level_deg
        checks = (
            (
                0.2 <= self.zoom <= 50.0,
                "the zoom cannot be true",
                f"{self.zoom:g}",
                "1 is a main lens",
            ),
            (
                self.focal_px is None or 50.0 <= self.focal_px <= 1e5,
                "the focal length cannot be true",
                f"{self.focal_px} px",
                "leave it out, and the usual one of a phone is taken",
            ),
            (
                0.0 < self.u_focal_share <= 1.0,
                "the focal length's uncertainty is a share above zero",
                f"{self.u_focal_share:g}",
                "0.1 is usual",
            ),
            (
                0.0 < level_deg <= 45.0,
                "the level's uncertainty is above zero",
                f"{level_deg:g}°",
                "1°",
            ),
            (
                -180.0 <= self.turn_deg <= 180.0,
                "the turn is at most half a round",
                f"{self.turn_deg:g}°",
                "0 is square to the view",
            ),
        )
        for is_right, what, where, remedy in checks:
            if not is_right:
                raise InputValueError(what, where=where, remedy=remedy)

    def focal_px_in(self, width_px: int, height_px: int) -> float:
        """Return the focal length to start from in a picture of this size, px."""
        if self.focal_px is not None:
            return self.focal_px
        return self.zoom * USUAL_FOCAL_OVER_DIAGONAL * math.hypot(width_px, height_px)
