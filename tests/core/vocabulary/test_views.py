from __future__ import annotations

import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.vocabulary.views import (
    BY_KEY,
    END_VIEWS,
    SIDE_VIEWS,
    VIEW_KEYS,
    VIEWS,
    plate_direction,
    view,
)


def test_each_view_says_where_to_stand_and_what_plane_it_shows():
    assert VIEW_KEYS == ("open-side", "closed-side", "rear", "front", "top")
    assert all(entry.name and entry.standing for entry in VIEWS)
    assert {BY_KEY[key].plane for key in SIDE_VIEWS} == {"sagittal"}
    assert {BY_KEY[key].plane for key in END_VIEWS} == {"frontal"}
    assert BY_KEY["top"].plane == "horizontal"


@pytest.mark.parametrize(
    ("key", "hand", "side"),
    [
        # a right-hander's chest faces third base at leg lift; from there home lies to the right
        ("open-side", "right", "right"),
        ("open-side", "left", "left"),
        ("closed-side", "right", "left"),
        ("closed-side", "left", "right"),
        ("rear", "right", None),
        ("front", "left", None),
        ("top", "right", None),
    ],
)
def test_the_plate_lies_where_view_and_hand_put_it(key, hand, side):
    assert plate_direction(key, hand) == side


@pytest.mark.parametrize("hand", ["left", "right"])
def test_the_side_agrees_with_the_geometry_of_the_field(hand):
    # X to the plate, Y to the left of who faces it, Z up. At leg lift a right-hander's chest points
    # to third base, which lies on his right side: -Y. The camera looks the other way, and the
    # right edge of its picture points along looking x up.
    chest_y = -1.0 if hand == "right" else 1.0
    looking = (0.0, -chest_y, 0.0)
    up = (0.0, 0.0, 1.0)
    right_x = looking[1] * up[2] - looking[2] * up[1]
    assert plate_direction("open-side", hand) == ("right" if right_x > 0 else "left")


def test_an_unknown_view_lists_the_known():
    assert view("rear").name == "rear"
    with pytest.raises(NotFoundError, match="open-side, closed-side"):
        view("roof")
