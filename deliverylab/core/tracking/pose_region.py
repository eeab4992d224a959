"""The square part of a picture that the pose network looks at, and how it follows the body."""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError

FloatArray = NDArray[np.float64]
Picture = NDArray[np.uint8]

INPUT_PX = 256
"""Side of the network's input."""
MARGIN = 1.25
"""Side of a region over the diameter of the circle about the body: as the network was trained."""
SMALLEST_PX = 24.0
"""A body in a smaller region is a speck."""


@dataclass(frozen=True, kw_only=True)
class Region:
    """A square, turned so that the body stands upright in it.

    Attributes
    ----------
    x_px, y_px : float
        Its middle; the centre of the picture's top-left pixel is (0, 0).
    side_px : float
        Its side.
    turn_rad : float
        How far the body's axis is turned from upright; clockwise in the picture is positive.
    """

    x_px: float
    y_px: float
    side_px: float
    turn_rad: float = 0.0

    @property
    def pixel_px(self) -> float:
        """Size of one pixel of the network's input in the picture, px."""
        return self.side_px / INPUT_PX

    def to_picture(self) -> FloatArray:
        """Return what takes the input's (x, y, 1) to the picture, shape (2, 3).

        Input coordinates run from 0 to 256 over the square, so that the first pixel's centre is at
        one half; the picture's pixel centres are whole numbers.
        """
        size = self.pixel_px
        cos, sin = size * math.cos(self.turn_rad), size * math.sin(self.turn_rad)
        turn = np.array([[cos, -sin], [sin, cos]])
        middle = np.array([self.x_px, self.y_px])
        shift = middle - turn @ np.full(2, INPUT_PX / 2)
        return np.column_stack([turn, shift])

    def cut_out(self, picture: Picture) -> Picture:
        """Return the network's input, shape (256, 256, 3); black beyond the picture."""
        forward = self.to_picture()
        # cv2 counts pixel centres as whole numbers in the input too
        forward[:, 2] += forward[:, :2] @ np.full(2, 0.5)
        return np.asarray(
            cv2.warpAffine(
                picture, forward, (INPUT_PX, INPUT_PX),
                flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_CONSTANT,
            ),
            dtype=np.uint8,
        )  # fmt: skip

    def placed(self, points: FloatArray) -> FloatArray:
        """Return points of the input, shape (..., 2), in the picture, px."""
        forward = self.to_picture()
        in_picture: FloatArray = points @ forward[:, :2].T + forward[:, 2]
        return in_picture

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, width and height of the upright box within its margin, px."""
        side = self.side_px / MARGIN
        return self.x_px - side / 2, self.y_px - side / 2, side, side


def region_of_box(box: tuple[float, float, float, float]) -> Region:
    """Return the region about a box drawn round a person.

    Parameters
    ----------
    box : tuple of float
        Left, top, width and height, px.

    Raises
    ------
    InputValueError
        The box is too small to hold a body.
    """
    left, top, width, height = box
    side = MARGIN * max(width, height)
    if not (width > 0.0 and height > 0.0 and side >= SMALLEST_PX):
        raise InputValueError(
            "the box is too small to hold a body",
            where=",".join(f"{number:g}" for number in box),
            remedy="draw it round the whole person: left, top, width, height in pixels",
        )
    return Region(x_px=left + width / 2 - 0.5, y_px=top + height / 2 - 0.5, side_px=side)


def region_of_points(middle: FloatArray, above: FloatArray) -> Region:
    """Return the region for the next frame from the network's own two points for that.

    Parameters
    ----------
    middle, above : ndarray, shape (2,), px
        The middle of the hips, and the point over it on the circle about the whole body.
    """
    across, up = (above - middle).tolist()
    radius = math.hypot(across, up)
    return Region(
        x_px=float(middle[0]), y_px=float(middle[1]), side_px=2.0 * MARGIN * radius,
        turn_rad=math.atan2(across, -up),
    )  # fmt: skip


def is_usable(region: Region, size_px: tuple[int, int]) -> bool:
    """Return whether a region can hold a body of a picture of this width and height."""
    width, height = size_px
    return (
        all(map(math.isfinite, (region.x_px, region.y_px, region.side_px, region.turn_rad)))
        and SMALLEST_PX <= region.side_px <= 4.0 * max(size_px)
        and 0.0 <= region.x_px < width
        and 0.0 <= region.y_px < height
    )
