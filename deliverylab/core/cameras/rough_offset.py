"""Clocks of two clips from nothing: heights in the picture rise and fall together in all level cameras.

Where a camera stands changes how a body moves across its picture, hardly how it moves up and down.
So the speeds with which landmarks rise, in one clip and in the other, agree best at the right shift,
good to some hundredths of a second: a start for `synchronise`, wherever the clips were cut.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_tracks import SmoothTracks

Array = NDArray[np.float64]

STEP_S = 0.010
LEAST_SHARE = 0.3
"""Of each clip's whole movement, what must fall into the time that both show."""
LEAST_AGREEMENT = 0.5
"""Correlation below which no shift is taken: judgement; the right one has 0.8 and more."""


def rough_offset_s(first: SmoothTracks, second: SmoothTracks) -> float | None:
    """Return what is added to the second clip's clock to give the first's, s; None where unclear.

    Parameters
    ----------
    first, second : SmoothTracks
        Of the same landmarks, smoothed alike.
    """
    rises, seen = zip(_rises(first), _rises(second), strict=True)
    n_shifts = len(rises[0]) + len(rises[1]) - 1
    together, own, others = (np.zeros(n_shifts) for _ in range(3))
    for column in range(rises[0].shape[1]):
        a, b = rises[0][:, column], rises[1][:, column]
        is_a, is_b = seen[0][:, column], seen[1][:, column]
        together += np.correlate(a, b, "full")
        own += np.correlate(a**2, is_b, "full")
        others += np.correlate(is_a, b**2, "full")
    is_enough = (own > LEAST_SHARE * own.max()) & (others > LEAST_SHARE * others.max())
    if not is_enough.any() or own.max() <= 0.0 or others.max() <= 0.0:
        return None
    agreement = np.where(is_enough, together / np.sqrt(np.maximum(own * others, 1e-12)), -1.0)
    best = int(np.argmax(agreement))
    if agreement[best] < LEAST_AGREEMENT:
        return None
    return first.start_s - second.start_s + STEP_S * (best - (len(rises[1]) - 1))


def _rises(tracks: SmoothTracks) -> tuple[Array, Array]:
    """Return upward speeds on an even grid, shape (n, n_landmarks), 0 in gaps; and where they are."""
    times_s = np.arange(tracks.start_s, tracks.end_s, STEP_S)
    rise = -tracks.speed_at(times_s)[..., 1]
    is_seen = np.isfinite(rise)
    return np.where(is_seen, rise, 0.0), is_seen.astype(float)
