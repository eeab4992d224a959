"""Table of the places a camera stands at.

The picture of a side view shows the vertical plane through the rubber and the plate (X-Z); that of
a rear or front view the vertical plane across it (Y-Z).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.lookup import entry_of

Plane = Literal["sagittal", "frontal", "horizontal"]
Direction = Literal["left", "right"]


@dataclass(frozen=True, kw_only=True)
class View:
    """Where the camera stood.

    Attributes
    ----------
    key, name, standing : str
        Stable key, its name, and where to stand in one clause.
    plane : {"sagittal", "frontal", "horizontal"}
        The plane of the field frame that the picture shows: X-Z, Y-Z, X-Y.
    """

    key: str
    name: str
    standing: str
    plane: Plane


VIEWS: tuple[View, ...] = (
    View(
        key="open-side",
        name="open side",
        plane="sagittal",
        standing="facing the athlete's chest at leg lift, square to the line to the plate",
    ),
    View(
        key="closed-side",
        name="closed side",
        plane="sagittal",
        standing="facing the athlete's back at leg lift, square to the line to the plate",
    ),
    View(
        key="rear",
        name="rear",
        plane="frontal",
        standing="behind the rubber, on the line to the plate",
    ),
    View(
        key="front",
        name="front",
        plane="frontal",
        standing="behind the plate, on the line to the rubber",
    ),
    View(key="top", name="top", plane="horizontal", standing="straight above"),
)

BY_KEY: dict[str, View] = {view.key: view for view in VIEWS}
VIEW_KEYS: tuple[str, ...] = tuple(BY_KEY)
SIDE_VIEWS: tuple[str, ...] = ("open-side", "closed-side")
END_VIEWS: tuple[str, ...] = ("rear", "front")


def view(key: str) -> View:
    """Return the view of this key.

    Raises
    ------
    NotFoundError
        No such key; the message lists the keys.
    """
    return entry_of(BY_KEY, key, "view")


_SQUARE_AZIMUTH_DEG = {"open-side": 90.0, "closed-side": -90.0, "rear": 0.0, "front": 180.0}


def square_azimuth_deg(view_key: str, hand: Hand) -> float:
    """Return where a camera square to its view looks, degrees about the vertical.

    0 is toward the plate, anticlockwise seen from above.  The side views turn round for a
    left-hander; the top view has no such direction.

    Raises
    ------
    NotFoundError
        No such view, or the view from the top.
    """
    square_deg = entry_of(_SQUARE_AZIMUTH_DEG, view_key, "view of a level camera")
    return -square_deg if hand == "left" and view_key in SIDE_VIEWS else square_deg


def plate_direction(view_key: str, hand: Hand) -> Direction | None:
    """Return on which side of the picture the plate lies, or None where it does not apply.

    A right-hander's chest faces third base at leg lift, so a camera on the open side has the plate
    to its right; the closed side and left-handers turn it round.
    """
    if view_key not in SIDE_VIEWS:
        return None
    is_right = (view_key == "open-side") == (hand == "right")
    return "right" if is_right else "left"
