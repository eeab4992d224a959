from __future__ import annotations

import math
from typing import Any

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.walkthrough import Drawing, Stop, Walkthrough

PAIR = ("Ana 1", "Model")


@pytest.mark.parametrize(
    ("kind", "n_points", "is_possible"),
    [
        ("arrow", 2, True),
        ("arrow", 3, False),
        ("arc", 3, True),
        ("arc", 2, False),
        ("circle", 1, False),
        ("freehand", 40, True),
        ("freehand", 1, False),
    ],
)
def test_each_drawing_has_its_number_of_points(kind: Any, n_points: int, is_possible: bool) -> None:
    """Too few are refused, and too many where they would mean nothing."""
    points = tuple((10.0 * number, 5.0) for number in range(n_points))
    if is_possible:
        assert Drawing(side="athlete", kind=kind, points_px=points).points_px == points
    else:
        with pytest.raises(InputValueError, match="needs"):
            Drawing(side="athlete", kind=kind, points_px=points)


def test_points_are_somewhere() -> None:
    """NaN is refused."""
    with pytest.raises(InputValueError, match="nowhere"):
        Drawing(side="model", kind="line", points_px=((0.0, 0.0), (math.nan, 1.0)))


@pytest.mark.parametrize(
    "facts",
    [
        {},
        {"event": "release", "phase": 150.0},
        {"phase": math.nan},
        {"event": "release", "pause_s": -1.0},
    ],
)
def test_a_stop_is_somewhere_and_ends(facts: dict[str, Any]) -> None:
    """Neither or both of event and phase, and endless pauses, are refused."""
    with pytest.raises(InputValueError):
        Stop(**facts)


@pytest.mark.parametrize("facts", [{"speed": 0.0}, {"speed": 9.0}, {"voice_offset_s": -0.1}])
def test_a_script_can_be_followed(facts: dict[str, Any]) -> None:
    """Standing still, racing, and a voice before the clip are refused."""
    with pytest.raises(InputValueError):
        Walkthrough(pair=PAIR, **facts)
