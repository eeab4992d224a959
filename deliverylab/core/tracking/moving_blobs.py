"""Small bright things that were not there a moment before: what a frame holds and its neighbours lack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
GreyPicture = NDArray[np.uint8]

N_MEDIAN = 5
"""Frames whose median is the background, the frame itself among them: what is new in one is out."""
MIN_CONTRAST = 14.0
"""Levels of 255 by which a ball stands out at least."""
NOISE_FACTOR = 6.0
"""The same in standard deviations of the difference where nothing moves."""
MAX_BLOBS = 60
"""The brightest blobs of a frame that are kept."""
REPEAT_LEVELS = 5.0
"""Largest change of 4 by 4 pixels, levels, in a frame that repeats the one before: a coder that
stores a repeat leaves less, anything that moves changes more somewhere."""
_REPEAT_BLOCK = 4


@dataclass(frozen=True)
class Blobs:
    """Blobs of one frame.

    Attributes
    ----------
    xy_px : ndarray, shape (n, 2), px
        Middles, weighted by how much each pixel stands out: of a streak, its middle.
    length_px, width_px : ndarray, shape (n,), px
        Size along and across; a sharp disc has its diameter for both.
    along : ndarray, shape (n, 2)
        Unit vector along; its sign means nothing.
    contrast : ndarray, shape (n,)
        Largest difference, levels.
    """

    xy_px: FloatArray
    length_px: FloatArray
    width_px: FloatArray
    along: FloatArray
    contrast: FloatArray

    def __len__(self) -> int:
        """Return the number of blobs."""
        return len(self.xy_px)


def grey(picture: NDArray[np.uint8]) -> GreyPicture:
    """Return a picture in levels of grey, shape (h, w); RGB or grey in."""
    if picture.ndim == 2:
        return picture
    out: GreyPicture = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY).astype(np.uint8, copy=False)
    return out


def repeated(pictures: Sequence[GreyPicture]) -> NDArray[np.bool_]:
    """Return which pictures repeat the one before, shape (n,); the first never does."""
    out = np.zeros(len(pictures), dtype=np.bool_)
    for number in range(1, len(pictures)):
        changed = cv2.absdiff(pictures[number], pictures[number - 1])
        height, width = changed.shape
        size = (max(1, width // _REPEAT_BLOCK), max(1, height // _REPEAT_BLOCK))
        blocks = cv2.resize(changed, size, interpolation=cv2.INTER_AREA)
        out[number] = float(blocks.max()) < REPEAT_LEVELS
    return out


def moving_blobs(
    pictures: Sequence[GreyPicture], number: int, *, stride: int, diameter_px: float
) -> Blobs:
    """Find what is brighter in one picture than in its neighbours.

    Parameters
    ----------
    pictures : sequence of ndarray, shape (h, w), uint8
        Neighbours in time, without repeats.
    number : int
        Which one.
    stride : int
        Pictures from one neighbour to the next: so far apart that the ball has moved off.
    diameter_px : float
        Expected diameter of the ball; blobs much wider or narrower are left out.

    Returns
    -------
    Blobs
        The brightest first.
    """
    new = cv2.subtract(pictures[number], _background(pictures, number, stride))
    noise = 1.4826 * float(np.median(new[::4, ::4])) + 1.0
    bar = max(MIN_CONTRAST, NOISE_FACTOR * noise)
    _, mask = cv2.threshold(new, bar / 2.0, 255, cv2.THRESH_BINARY)
    n, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    found = []
    for label in range(1, n):
        left, top, width, height, area = (int(each) for each in stats[label])
        if area < max(4.0, 0.25 * diameter_px**2) or min(width, height) > 12.0 * diameter_px:
            continue
        part = np.s_[top : top + height, left : left + width]
        weight = np.where(labels[part] == label, new[part], 0).astype(np.float64)
        if weight.max() < bar:
            continue
        blob = _moments(weight, left, top)
        if 0.45 * diameter_px - 0.5 <= blob[3] <= 1.7 * diameter_px + 1.5:
            found.append((*blob, float(weight.max())))
    found.sort(key=lambda blob: -blob[-1])
    table = np.array(found[:MAX_BLOBS]).reshape(-1, 7)
    return Blobs(table[:, :2], table[:, 2], table[:, 3], table[:, 4:6], table[:, 6])


def _background(pictures: Sequence[GreyPicture], number: int, stride: int) -> GreyPicture:
    """Return the median of the picture and of neighbours on either side, or what there is."""
    span = (N_MEDIAN - 1) // 2 * stride
    first = min(max(0, number - span), max(0, len(pictures) - 1 - 2 * span))
    chosen = {min(first + step * stride, len(pictures) - 1) for step in range(N_MEDIAN)}
    if number not in chosen:
        chosen.remove(min(chosen, key=lambda each: abs(each - number)))
        chosen.add(number)
    return _median(*(pictures[each] for each in sorted(chosen)))


def _median(*pictures: GreyPicture) -> GreyPicture:
    """Return the median of five pictures by exchanges, or of fewer the slow way."""
    if len(pictures) != N_MEDIAN:
        slow: GreyPicture = np.median(np.stack(pictures), axis=0).astype(np.uint8)
        return slow
    a, b, c, d, e = pictures
    a, b = np.minimum(a, b), np.maximum(a, b)
    c, d = np.minimum(c, d), np.maximum(c, d)
    # the least and the greatest of four are not the median of five
    low, high = np.maximum(a, c), np.minimum(b, d)
    low, high = np.minimum(low, high), np.maximum(low, high)
    out: GreyPicture = np.maximum(low, np.minimum(high, e))
    return out


def _moments(
    weight: FloatArray, left: int, top: int
) -> tuple[float, float, float, float, float, float]:
    """Return middle, length, width and direction of a blob."""
    rows, columns = np.nonzero(weight)
    w = weight[rows, columns]
    total = float(w.sum())
    x, y = float(w @ columns) / total, float(w @ rows) / total
    dx, dy = columns - x, rows - y
    spread = np.array([[w @ (dx * dx), w @ (dx * dy)], [w @ (dx * dy), w @ (dy * dy)]]) / total
    # An even disc of diameter d has the variance d²/16 either way, a pixel 1/12.
    values, vectors = np.linalg.eigh(spread + np.eye(2) / 12.0)
    return (
        left + x, top + y, 4.0 * float(np.sqrt(values[1])), 4.0 * float(np.sqrt(values[0])),
        float(vectors[0, 1]), float(vectors[1, 1]),
    )  # fmt: skip
