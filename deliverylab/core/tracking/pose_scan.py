"""Who is in a picture: the pose network asked about windows over the whole of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from concurrent.futures import Executor
from functools import partial

import numpy as np

from deliverylab.core.tracking.pose import MIN_SCORE, BodyNetwork
from deliverylab.core.tracking.pose_region import (
    MARGIN,
    Picture,
    Region,
    is_usable,
    region_of_points,
)

_SHARES = (1.0, 0.55)
"""Heights of a person over the picture's height that are looked for."""
_SMALL_SHARE = 0.3
"""And this one where nobody is found so."""
_STRIDE = 0.4
"""Step of the windows over their side."""
_N_SETTLINGS = 3
_SAME = 0.35
"""Two bodies whose middles are nearer than this, of the larger one's side, are one."""


def people(network: BodyNetwork, picture: Picture, beside: Executor | None = None) -> list[Region]:
    """Return where people are in a picture, the largest first.

    Parameters
    ----------
    network : BodyNetwork
    picture : ndarray, shape (h, w, 3), uint8
        RGB.
    beside : Executor, optional
        Whose threads look at the windows; this one without.
    """
    look = partial(_settled, network, picture)
    found: list[Region] = []
    for share in (*_SHARES, _SMALL_SHARE):
        if share == _SMALL_SHARE and found:
            break
        windows = _windows(picture, share)
        for body in map(look, windows) if beside is None else beside.map(look, windows):
            if body is not None and not any(_is_same(body, other) for other in found):
                found.append(body)
    return sorted(found, key=lambda region: -region.side_px)


def _windows(picture: Picture, share: float) -> Iterator[Region]:
    height, width = picture.shape[:2]
    side = MARGIN * share * height
    for y in _middles(height, side):
        for x in _middles(width, side):
            yield Region(x_px=x, y_px=y, side_px=side)


def _middles(length: int, side: float) -> list[float]:
    """Return where windows stand along an edge, evenly, none much beyond the picture."""
    inner = side / MARGIN
    n = 1 + max(0, math.ceil((length - inner) / (_STRIDE * side)))
    ends = (inner / 2, length - inner / 2) if n > 1 else (length / 2, length / 2)
    return [float(value) - 0.5 for value in np.linspace(*ends, n)]


def _settled(network: BodyNetwork, picture: Picture, window: Region) -> Region | None:
    """Return the region that a window leads to; None where it leads to nobody."""
    size = picture.shape[1], picture.shape[0]
    region = window
    for _ in range(_N_SETTLINGS):
        answer = network.run(region.cut_out(picture))
        middle, above = region.placed(answer.points[-2:])
        region = region_of_points(middle, above)
        if answer.score < MIN_SCORE or not is_usable(region, size):
            return None
    return region


def _is_same(a: Region, b: Region) -> bool:
    away = math.hypot(a.x_px - b.x_px, a.y_px - b.y_px)
    return away < _SAME * max(a.side_px, b.side_px)
