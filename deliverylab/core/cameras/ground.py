"""The ground under the thrower: a rule-book mound, level round the rubber, falling to the plate."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from deliverylab.core.units import INCH_M
from deliverylab.core.vocabulary.field import BY_KEY, FOOT_M, MOUND_SLOPE, SLOPE_START_M

Array = NDArray[np.float64]

# Official Baseball Rules 2.01: 10 in above the plate, circle of 18 ft whose middle is 59 ft from
# the rear point of the plate (18 in ahead of the rubber), level area 5 ft wide, 34 in deep.
MOUND_HEIGHT_M = BY_KEY["baseball"].rubber_height_m
MOUND_RADIUS_M = 9 * FOOT_M
MOUND_CENTRE_X_M = 1.5 * FOOT_M
LEVEL_HALF_WIDTH_M = 2.5 * FOOT_M
LEVEL_BACK_X_M = SLOPE_START_M - 34 * INCH_M


def ground_height_m(
    x_m: ArrayLike, y_m: ArrayLike = 0.0, mound_height_m: float = MOUND_HEIGHT_M
) -> Array:
    """Give the height of the ground.

    Level round the rubber, falling 1 in a foot toward the plate from 6 in ahead of it, and to the
    other sides evenly from the level area to the edge of the circle; the field lies lower by the
    mound's height, which is 0 on a flat field.

    Parameters
    ----------
    x_m, y_m : array_like, m
        Ahead of the rubber's front edge, and to the pitcher's left; broadcast together.
    mound_height_m : float, m
        Of the rubber above the field; the circle is that of the full-size mound for any height.

    Returns
    -------
    Array, m
        0 at the rubber, negative below it.
    """
    x, y = np.broadcast_arrays(np.asarray(x_m, dtype=float), np.asarray(y_m, dtype=float))
    ramp = -np.maximum(0.0, x - SLOPE_START_M) * MOUND_SLOPE
    # to the sides and the rear the fall is shared out along the ray from the level area's edge
    beside = np.maximum(np.abs(y) - LEVEL_HALF_WIDTH_M, 0.0)
    behind = np.maximum(LEVEL_BACK_X_M - x, 0.0)
    off = np.hypot(beside, behind)
    left = np.maximum(MOUND_RADIUS_M - np.hypot(x - MOUND_CENTRE_X_M, y), 0.0)
    share = np.where(off > 0.0, left / np.maximum(off + left, 1e-9), 1.0)
    height: Array = np.maximum(ramp, -mound_height_m)
    height = -mound_height_m + (height + mound_height_m) * share
    return np.where(left > 0.0, height, -mound_height_m)
