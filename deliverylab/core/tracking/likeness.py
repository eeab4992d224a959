"""Whether a followed point still looks as it did where it was placed.

Something that comes in front of a point carries the steps along with it, and there and back agree; only
the look of the place tells.  It is not used to move a point: on rendered deliveries the best match near it
lay farther from the truth than the course did (1.8 against 1.4 px).

References
----------
.. [1] Lewis JP (1995). Fast normalized cross-correlation. Vision Interface 95:120-123.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.tracking.picture_steps import GreyPictures, window_px

FloatArray = NDArray[np.float64]
Patch = NDArray[np.float32]


def likeness(
    pictures: GreyPictures,
    numbers: NDArray[np.int64],
    is_placed: NDArray[np.bool_],
    places_px: FloatArray,
    size_px: float,
) -> FloatArray:
    """Return how alike points look to themselves at the placed frames on either side, shape (n, k).

    Parameters
    ----------
    pictures : GreyPictures
    numbers : ndarray of int, shape (n,)
        Frames.
    is_placed : ndarray of bool, shape (n, k)
        Where each point was placed.
    places_px : ndarray, shape (n, k, 2), px
        Its places in all frames, at the placed ones as placed.
    size_px : float
        Length of the torso, px.

    Returns
    -------
    ndarray
        The larger of the normalised cross-correlations with both, at most 1; NaN without a picture,
        and where nothing is printed.
    """
    side = window_px(size_px)
    n, k = is_placed.shape
    looks: list[dict[int, Patch | None]] = [{} for _ in range(k)]
    for row, column in zip(*np.nonzero(is_placed), strict=True):
        looks[column][int(row)] = _patch(pictures, int(numbers[row]), places_px[row, column], side)
    found = np.full((n, k), np.nan)
    for column in range(k):
        rows = np.flatnonzero(is_placed[:, column])
        for row in range(n):
            here = _patch(pictures, int(numbers[row]), places_px[row, column], side)
            after = int(np.searchsorted(rows, row))
            beside = {int(rows[at]) for at in (after - 1, after) if 0 <= at < len(rows)}
            found[row, column] = max(
                (_correlation(here, looks[column][at]) for at in beside), default=np.nan
            )
    return found


def _patch(pictures: GreyPictures, frame: int, place_px: FloatArray, side: int) -> Patch | None:
    """Return the picture around a place, less its mean and of unit size; None without one."""
    picture = pictures.read(frame)
    if picture is None or not np.isfinite(place_px).all():
        return None
    x, y = (place_px - pictures.origin_px).tolist()
    cut = cv2.getRectSubPix(picture, (side, side), (x, y)).astype(np.float32)
    cut -= cut.mean()
    size = float(np.sqrt(np.sum(cut * cut)))
    return None if size < side else np.asarray(cut / size)


def _correlation(one: Patch | None, other: Patch | None) -> float:
    if one is None or other is None:
        return float("nan")
    return float(np.sum(one * other))
