"""Where everything stands in a picture of a walkthrough, for any size."""

from __future__ import annotations

from typing import NamedTuple

from deliverylab.core.errors import InputValueError

SIZES: dict[str, tuple[int, int]] = {
    "1080p": (1920, 1080),
    "720p": (1280, 720),
    "upright": (1080, 1920),
}
"""Sizes by name, width and height in px: side by side, or one above the other for a phone."""
DEFAULT_SIZE = SIZES["1080p"]
SMALLEST_PX, LARGEST_PX = 360, 4096


class Area(NamedTuple):
    """A part of the picture, px; whole pixels from the upper left corner."""

    left: int
    top: int
    width: int
    height: int

    @property
    def right(self) -> int:
        """First column to the right of it."""
        return self.left + self.width

    @property
    def bottom(self) -> int:
        """First row below it."""
        return self.top + self.height


class WalkLayout(NamedTuple):
    """Where the parts stand.

    Attributes
    ----------
    width, height : int
        Of the whole picture, px; even.
    unit : float
        Pixels of what is one pixel at 1920 × 1080: letters and lines scale with it.
    head, athlete, model, strip, words : Area
        Title; both pictures; the strip of events; caption and numbers.
    """

    width: int
    height: int
    unit: float
    head: Area
    athlete: Area
    model: Area
    strip: Area
    words: Area

    @property
    def is_upright(self) -> bool:
        """Whether the two pictures stand one above the other."""
        return self.height > self.width


def walk_layout(size: tuple[int, int] = DEFAULT_SIZE) -> WalkLayout:
    """Return where everything stands in a picture of this size.

    Raises
    ------
    InputValueError
        Too small to read, too large to play, or an odd number of pixels.
    """
    width, height = size
    if not all(SMALLEST_PX <= side <= LARGEST_PX and side % 2 == 0 for side in size):
        raise InputValueError(
            f"a walkthrough cannot be {width} × {height}",
            remedy=f"give even numbers of {SMALLEST_PX} to {LARGEST_PX} pixels, like 1280x720",
        )
    unit = min(size) / 1080.0
    if height <= width:
        unit = min(unit, width / 1920.0)

    def px(length: float) -> int:
        return round(length * unit)

    edge, gap = px(28.0), px(16.0)
    room = width - 2 * edge
    head = Area(edge, px(18.0), room, px(64.0))
    if height > width:
        words = Area(edge, height - px(18.0) - px(390.0), room, px(390.0))
        strip = Area(edge, words.top - px(74.0), room, px(74.0))
        each = (strip.top - gap - head.bottom - gap) // 2
        athlete = Area(edge, head.bottom, room, each)
        model = Area(edge, athlete.bottom + gap, room, each)
    else:
        words = Area(edge, height - px(18.0) - px(214.0), room, px(214.0))
        strip = Area(edge, words.top - px(74.0), room, px(74.0))
        each = (room - gap) // 2
        athlete = Area(edge, head.bottom, each, strip.top - gap // 2 - head.bottom)
        model = athlete._replace(left=width - edge - each)
    return WalkLayout(width, height, unit, head, athlete, model, strip, words)
