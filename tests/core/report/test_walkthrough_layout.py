from __future__ import annotations

from itertools import combinations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.report.walkthrough_layout import DEFAULT_SIZE, SIZES, walk_layout


@pytest.mark.parametrize(
    "size", [*SIZES.values(), (1600, 900), (640, 360), (3840, 2160), (800, 800)]
)
def test_parts_lie_inside_and_apart(size):
    made = walk_layout(size)
    parts = (made.head, made.athlete, made.model, made.strip, made.words)
    for part in parts:
        assert part.left >= 0
        assert part.top >= 0
        assert part.right <= size[0]
        assert part.bottom <= size[1]
        assert min(part.width, part.height) > 0
    for a, b in combinations(parts, 2):
        is_apart = a.right <= b.left or b.right <= a.left or a.bottom <= b.top or b.bottom <= a.top
        assert is_apart, (a, b)


@pytest.mark.parametrize("size", SIZES.values())
def test_both_pictures_are_as_large(size):
    made = walk_layout(size)
    assert (made.athlete.width, made.athlete.height) == (made.model.width, made.model.height)


def test_a_high_picture_has_one_above_the_other():
    made = walk_layout(SIZES["upright"])
    assert made.is_upright
    assert made.athlete.bottom <= made.model.top
    assert not walk_layout(DEFAULT_SIZE).is_upright


def test_letters_scale_with_the_picture():
    assert walk_layout((1920, 1080)).unit == 1.0
    assert walk_layout((1280, 720)).unit == pytest.approx(2 / 3)
    assert walk_layout((1080, 1920)).unit == 1.0


@pytest.mark.parametrize("size", [(1921, 1080), (1920, 1081), (200, 100), (8000, 4000)])
def test_sizes_that_cannot_be_are_refused(size):
    with pytest.raises(InputValueError, match="cannot be"):
        walk_layout(size)
