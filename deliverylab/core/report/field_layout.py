"""Where things stand on the field for two phones: the numbers behind the set-up sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from deliverylab.core.cameras.control import ControlPoint, two_cones
from deliverylab.core.cameras.pinhole import PinholeCamera, axes_of
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.field import CameraStand
from deliverylab.core.units import INCH_M, UnitSystem
from deliverylab.core.vocabulary.field import BY_KEY, FieldSize
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.lookup import entry_of
from deliverylab.core.vocabulary.views import square_azimuth_deg

StoodView = Literal["open-side", "rear"]

TARGET_X_M = 0.85
"""Ahead of the rubber, the middle of a stride: phones face it, distances count from it."""
LENS_HEIGHT_M = 1.2
"""Of both lenses above the rubber."""
SIZE_PX = (1920, 1080)
NEAREST_M, FARTHEST_M = 5.0, 15.0
"""Nearer, a stride leaves the middle half of a picture at 1x; farther, pixels are too coarse at 2x."""
ZOOM_FROM_M = 9.0
"""From here on 2x; nearer, a stride would leave the middle half of its picture."""

_GAP = "\u00a0"
"""A space at which no line ends."""
_FRACTIONS = ("", "¼", "½", "¾")


@dataclass(frozen=True, kw_only=True)
class FieldLayout:
    """A field, whose side it is filmed from, and how far the phones stand.

    Attributes
    ----------
    field : FieldSize
    hand : {"left", "right"}
        Throwing hand: the open side is third base's for a right-hander.
    side_distance_m, rear_distance_m : float
        Level distance of each phone from the middle of the stride.
    """

    field: FieldSize
    hand: Hand
    side_distance_m: float
    rear_distance_m: float

    @cached_property
    def cones(self) -> tuple[ControlPoint, ControlPoint]:
        """The cones of the standard field, the pitcher's left one first."""
        return two_cones(self.field)

    @property
    def open_side(self) -> int:
        """Sign of Y on the side phone's side."""
        return -1 if self.hand == "right" else 1

    @property
    def lens_above_field_m(self) -> float:
        """Height of the lenses above the field beside the mound."""
        return LENS_HEIGHT_M + self.field.rubber_height_m

    @property
    def behind_rubber_m(self) -> float:
        """Rear phone behind the rubber's front edge."""
        return self.rear_distance_m - TARGET_X_M

    def distance_m(self, view: StoodView) -> float:
        """Return how far a phone stands from the middle of the stride."""
        return self.side_distance_m if view == "open-side" else self.rear_distance_m

    def zoom(self, view: StoodView) -> int:
        """Return the zoom that suits a phone's distance, 1 or 2."""
        return 1 if self.distance_m(view) < ZOOM_FROM_M else 2

    def camera(self, view: StoodView) -> PinholeCamera:
        """Return a phone as it should stand: level, facing the middle of the stride."""
        azimuth = math.radians(square_azimuth_deg(view, self.hand))
        away = self.distance_m(view)
        return PinholeCamera(
            position_m=np.array(
                [
                    TARGET_X_M - away * math.cos(azimuth),
                    -away * math.sin(azimuth),
                    LENS_HEIGHT_M,
                ]
            ),
            axes=axes_of(azimuth, 0.0, 0.0),
            focal_px=CameraStand(zoom=float(self.zoom(view))).focal_px_in(*SIZE_PX),
            size_px=SIZE_PX,
        )


def field_layout(
    field_size_key: str, hand: Hand, side_distance_m: float = 6.0, rear_distance_m: float = 6.0
) -> FieldLayout:
    """Lay out a field for two phones.

    Raises
    ------
    NotFoundError
        No such field size.
    InputValueError
        No such hand, or a phone too near or too far for its picture.
    """
    if hand not in {"left", "right"}:
        raise InputValueError("unknown hand", where=str(hand), remedy="use left or right")
    for name, distance_m in (("side phone", side_distance_m), ("rear phone", rear_distance_m)):
        if not NEAREST_M <= distance_m <= FARTHEST_M:
            raise InputValueError(
                "a phone so near or so far does not show a delivery well",
                where=f"{name}, {distance_m:g} m",
                remedy=f"stand {NEAREST_M:g} to {FARTHEST_M:g} m away: about 6 m at 1x, 11 m at 2x",
            )
    return FieldLayout(
        field=entry_of(BY_KEY, field_size_key, "field size"),
        hand=hand,
        side_distance_m=side_distance_m,
        rear_distance_m=rear_distance_m,
    )


def taped(length_m: float, system: UnitSystem) -> str:
    """Return a length to be laid by tape: to the centimetre, or to a quarter of an inch."""
    if system == "metric":
        return f"{length_m:.2f}{_GAP}m"
    return _feet(round(4.0 * length_m / INCH_M))


def paced(length_m: float, system: UnitSystem) -> str:
    """Return a length that need not be exact: to 0.1 m, or to half a foot."""
    if system == "metric":
        return f"{round(length_m, 1):g}{_GAP}m"
    return _feet(24 * round(length_m / (6.0 * INCH_M)))


def _feet(n_quarters: int) -> str:
    """Write quarters of an inch as feet, inches and a fraction."""
    feet, quarters = divmod(n_quarters, 48)
    inches, part = divmod(quarters, 4)
    parts = [f"{feet}{_GAP}ft"] if feet else []
    if inches or part or not feet:
        # "7 ft 0¾ in": without the zero it would be misread
        parts.append(f"{inches}{_FRACTIONS[part]}{_GAP}in")
    return _GAP.join(parts)
