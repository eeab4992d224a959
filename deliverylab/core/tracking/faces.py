"""Make faces in pictures unknowable: discs of coarse colour, and a finder that looks for more of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]

CELLS_ACROSS_HEAD = 4
"""What is left of a disc: so many patches of colour across it, too few for a face in any frame."""
CELLS_ACROSS_PICTURE = 16
"""What is left of a picture in which no head could be located."""
_WIDEST_LOOKED_AT_PX = 960
_STEP, _LEAST_NEIGHBOURS = 1.1, 5
_SMALLEST_PX = 20
_ROOM = 0.75
"""Radius of a disc over the side of the square in which a face was seen: hair and chin with it."""
_CASCADES = (
    ("haarcascade_frontalface_alt2.xml", False),
    ("haarcascade_profileface.xml", False),
    ("haarcascade_profileface.xml", True),
)
"""OpenCV's own, which come with it, and whether the picture is mirrored: they know left profiles."""


class Disc(NamedTuple):
    """A round part of the upright picture, px."""

    x_px: float
    y_px: float
    radius_px: float


class FaceFinder:
    """Look for faces with what comes with OpenCV: quick, and far from seeing all.

    Own trial on the example clips: from the side it sees the standing head in most frames and the moving
    one in none; from behind it sees none.
    """

    def __init__(self) -> None:
        folder = Path(cv2.__file__).parent / "data"
        self._cascades = [
            (cv2.CascadeClassifier(str(folder / name)), is_mirrored)
            for name, is_mirrored in _CASCADES
        ]

    def find(self, picture: Picture) -> list[Disc]:
        """Return where faces are seen in an RGB picture of shape (h, w, 3)."""
        grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
        scale = min(1.0, _WIDEST_LOOKED_AT_PX / grey.shape[1])
        small = cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        found: list[Disc] = []
        for cascade, is_mirrored in self._cascades:
            looked_at = np.ascontiguousarray(small[:, ::-1]) if is_mirrored else small
            boxes = cascade.detectMultiScale(
                looked_at, _STEP, _LEAST_NEIGHBOURS, minSize=(_SMALLEST_PX, _SMALLEST_PX)
            )
            for left, top, width, height in boxes:
                x = left + 0.5 * (width - 1.0)
                x = small.shape[1] - 1.0 - x if is_mirrored else x
                y = top + 0.5 * (height - 1.0)
                found.append(Disc(x / scale, y / scale, _ROOM * max(width, height) / scale))
        return found


def blurred(picture: Picture, discs: Sequence[Disc]) -> Picture:
    """Return an RGB picture with discs of it made coarse; the picture itself where there are none.

    A disc keeps `CELLS_ACROSS_HEAD` patches of colour across it, smoothed into each other: what is
    between them is gone from the file, not hidden in it.
    """
    if not discs:
        return picture
    result = picture.copy()
    for disc in discs:
        _blur_disc(result, disc)
    return result


def _blur_disc(picture: Picture, disc: Disc) -> None:
    height, width = picture.shape[:2]
    reach = max(2.0, disc.radius_px)
    left, right = max(0, round(disc.x_px - reach)), min(width, round(disc.x_px + reach) + 1)
    top, bottom = max(0, round(disc.y_px - reach)), min(height, round(disc.y_px + reach) + 1)
    if right - left < 2 or bottom - top < 2:
        return
    part = picture[top:bottom, left:right]
    cell = max(2.0, 2.0 * reach / CELLS_ACROSS_HEAD)
    y, x = np.ogrid[top:bottom, left:right]
    is_inside = (x - disc.x_px) ** 2 + (y - disc.y_px) ** 2 <= reach**2
    part[is_inside] = _coarse(part, cell)[is_inside]


def blurred_all(picture: Picture) -> Picture:
    """Return a picture that is coarse all over: shapes of people remain, nobody's face."""
    return _coarse(picture, max(2.0, picture.shape[1] / CELLS_ACROSS_PICTURE))


def _coarse(part: Picture, cell_px: float) -> Picture:
    height, width = part.shape[:2]
    cells = (max(1, round(width / cell_px)), max(1, round(height / cell_px)))
    patches = cv2.resize(part, cells, interpolation=cv2.INTER_AREA)
    return cv2.resize(patches, (width, height), interpolation=cv2.INTER_LINEAR).astype(np.uint8)
