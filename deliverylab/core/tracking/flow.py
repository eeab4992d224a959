"""Follow placed points through a clip, from both sides, and say where and how far they are believed.

Each point is followed from every placed position forward and backward.  What both saw becomes steps with
a u; the likeliest course through positions and steps (`course_fusion`) is the first answer, along which
the steps are seen once more and fused again.  Where the steps do not lead from one placed position to
the next, all of them between the two are doubted by as much.

The constants were chosen on our own rendered deliveries (seeds 3 and 4); tests/benchmarks/
bench_tracking.py says what they are worth on others.

References
----------
.. [1] Kalal Z, Mikolajczyk K, Matas J (2010). Forward-backward error: automatic detection of tracking
   failures.  ICPR 2010:2756-2759.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.tracking.course_fusion import CourseInputs, fused_course
from deliverylab.core.tracking.flow_noise import (
    DRIFT_KEEPS,
    LEAST_ALIKE,
    MISFIT_ALLOWED,
    MOST_MISFIT,
    ONE_SIDED_DOUBT,
    U_GROWTH,
    drift_px,
    guess_u_px,
    noise_px,
    turn_px,
    unlike_factor,
)
from deliverylab.core.tracking.flow_sight import (
    Anchors,
    KnownPlaces,
    PictureSight,
    SeenSteps,
    known_places,
)
from deliverylab.core.tracking.likeness import likeness
from deliverylab.core.tracking.picture_steps import Pictures

__all__ = ["LOST_REASONS", "Anchors", "FlowCourse", "LostReason", "Pictures", "follow"]

FloatArray = NDArray[np.float64]
LostReason = Literal["", "no picture", "faint", "covered", "disagrees", "far"]
LOST_REASONS: tuple[LostReason, ...] = get_args(LostReason)
"""Not lost; the frame cannot be read; the picture shows too little there; the place looks unlike itself;
what was followed does not lead to the next placed position; too far from any of them."""
MOST_U_SHARE = 0.02
"""A place less sure than this, of the torso's length, is none."""


@dataclass(frozen=True, kw_only=True)
class FlowCourse:
    """A point's course.

    Attributes
    ----------
    frames : ndarray of int, shape (n,)
    xy_px : ndarray, shape (n, 2), px
        NaN where it is lost.
    u_px : ndarray, shape (n,), px
        Standard uncertainty of either coordinate, NaN where it is lost.
    lost : ndarray of uint8, shape (n,)
        Indices into `LOST_REASONS`.
    likely_px, u_likely_px : ndarray, shapes (n, 2), (n,), px
        The likeliest place and its u also where it is lost, between the first and the last anchor; NaN
        beyond them.
    """

    frames: NDArray[np.int64]
    xy_px: FloatArray
    u_px: FloatArray
    lost: NDArray[np.uint8]
    likely_px: FloatArray
    u_likely_px: FloatArray


def follow(
    pictures: Pictures,
    anchors: Mapping[str, Anchors],
    frames: Sequence[int],
    *,
    size_px: float,
    progress: Callable[[float], object] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> dict[str, FlowCourse]:
    """Follow points through frames.

    Parameters
    ----------
    pictures : callable
        Frame to picture, shape (h, w) or (h, w, 3) RGB, uint8; None where it cannot be read.
    anchors : mapping of str to Anchors
        By point; those outside the frames do not count.
    frames : sequence of int
        Ascending, without those that repeat the one before.
    size_px : float
        Length of the torso, px.
    progress : callable, optional
        Called with the part done, 0 to 1.
    is_cancelled : callable, optional
        Asked after every frame; True gives an empty answer.

    Returns
    -------
    dict of str to FlowCourse
        Of the points that have an anchor in the frames; their anchors come back as they are.
    """
    numbers = np.asarray(frames, dtype=np.int64)
    names = [name for name, one in anchors.items() if np.isin(one.frames, numbers).any()]
    if not names or len(numbers) < 2 or not size_px > 0.0:
        return {}
    known = known_places(numbers, [anchors[name] for name in names])
    run = PictureSight(pictures, numbers, known, size_px, progress, is_cancelled)
    seen = run.from_both_sides()
    if seen is None:
        return {}
    first = _fused(known, seen, size_px, None)
    again = run.along(first.places_px)
    if again is None:
        return {}
    found = _fused(known, again, size_px, first.places_px)
    places_px = np.where(known.is_placed[..., None], known.xy_px, found.places_px)
    alike = likeness(run.pictures, numbers, known.is_placed, places_px, size_px)
    is_read = np.array([run.pictures.read(int(frame)) is not None for frame in numbers])
    return {
        name: _course(numbers, known, found, alike[:, column], size_px, is_read, column)
        for column, name in enumerate(names)
    }


@dataclass(frozen=True)
class _Fused:
    places_px: FloatArray  # (n, k, 2)
    u_px: FloatArray  # (n, k)
    is_seen: NDArray[np.bool_]  # (n - 1, k)
    misfit: FloatArray  # (n, k): how many times its u a gap does not close by


def _fused(
    known: KnownPlaces, seen: SeenSteps, size_px: float, along_px: FloatArray | None
) -> _Fused:
    n, k = known.is_placed.shape
    places_px, u_px, misfit = np.empty((n, k, 2)), np.empty((n, k)), np.zeros((n, k))
    is_seen = np.isfinite(seen.u_px)
    guess_px = np.diff(known.guess_px, axis=0)
    for column in range(k):
        own = is_seen[:, column]
        moved_px = np.where(
            own[:, None], np.nan_to_num(seen.moved_px[:, column]), guess_px[:, column]
        )
        course = moved_px if along_px is None else np.diff(along_px[:, column], axis=0)
        speed_px, guess_speed_px = np.hypot(*course.T), np.hypot(*guess_px[:, column].T)
        u_moved_px = np.where(
            own,
            noise_px(np.where(own, seen.u_px[:, column], 0.0), speed_px, size_px),
            guess_u_px(np.maximum(speed_px, guess_speed_px)),
        )
        u_drift_px = drift_px(speed_px, size_px, own)
        rows = np.flatnonzero(known.is_placed[:, column])
        factor, misfit[:, column] = _misfits(
            rows, known.xy_px[rows, column], known.u_px[rows, column],
            moved_px, u_moved_px, u_drift_px,
        )  # fmt: skip
        places_px[:, column], u_px[:, column] = fused_course(
            CourseInputs(
                rows=rows, placed_px=known.xy_px[rows, column], u_placed_px=known.u_px[rows, column],
                moved_px=moved_px, u_moved_px=factor * u_moved_px, u_drift_px=factor * u_drift_px,
                u_turn_px=turn_px(speed_px, size_px), drift_keeps=DRIFT_KEEPS,
            )
        )  # fmt: skip
    return _Fused(places_px, u_px, is_seen, misfit)


def _misfits(
    rows: NDArray[np.int64],
    placed_px: FloatArray,
    u_placed_px: FloatArray,
    moved_px: FloatArray,
    u_moved_px: FloatArray,
    u_drift_px: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Return by what factor each step's u grows, (n - 1,), and each frame's misfit, (n,).

    Between two placed positions the steps must add up to what lies between them, within their u.  Before
    the first and after the last nothing tells whether they do.
    """
    factor, misfit = np.full(len(moved_px), ONE_SIDED_DOUBT), np.zeros(len(moved_px) + 1)
    factor[rows[0] : rows[-1]] = 1.0
    for number, (start, stop) in enumerate(pairwise(rows.tolist())):
        if stop - start < 2:
            continue
        gap = placed_px[number + 1] - placed_px[number] - moved_px[start:stop].sum(axis=0)
        lag = np.abs(np.subtract.outer(np.arange(stop - start), np.arange(stop - start)))
        drift = u_drift_px[start:stop]
        u_gap_px = np.sqrt(
            np.sum(u_moved_px[start:stop] ** 2)
            + drift @ DRIFT_KEEPS**lag @ drift
            + u_placed_px[number] ** 2
            + u_placed_px[number + 1] ** 2
        )
        times = float(np.hypot(*gap) / u_gap_px)
        factor[start:stop] = np.clip(times / MISFIT_ALLOWED, 1.0, MOST_MISFIT)
        misfit[start + 1 : stop] = times
    return factor, misfit


def _course(
    numbers: NDArray[np.int64],
    known: KnownPlaces,
    found: _Fused,
    alike: FloatArray,
    size_px: float,
    is_read: NDArray[np.bool_],
    column: int,
) -> FlowCourse:
    """Return a point's course with what is not sure enough taken out."""
    placed = known.is_placed[:, column]
    u_placed_px = float(np.mean(known.u_px[placed, column]))
    # what grows beside the anchors' own u is larger by a factor than the course says, see flow_noise
    grown = np.maximum(found.u_px[:, column] ** 2 - u_placed_px**2, 0.0)
    u_seen_px = np.sqrt(found.u_px[:, column] ** 2 + (U_GROWTH - 1.0) * grown)
    u_px = u_seen_px * unlike_factor(alike)
    is_seen = np.pad(found.is_seen[:, column], 1, mode="edge")
    lost = np.zeros(len(numbers), dtype=np.uint8)
    is_unsure = u_px > MOST_U_SHARE * size_px
    lost[is_unsure] = LOST_REASONS.index("far")
    lost[is_unsure & (found.misfit[:, column] > MISFIT_ALLOWED)] = LOST_REASONS.index("disagrees")
    lost[(alike < LEAST_ALIKE) & (u_seen_px <= MOST_U_SHARE * size_px)] = LOST_REASONS.index(
        "covered"
    )
    lost[is_unsure & ~(is_seen[:-1] & is_seen[1:])] = LOST_REASONS.index("faint")
    lost[~is_read] = LOST_REASONS.index("no picture")
    lost[placed] = 0
    likely_px, u_likely_px = found.places_px[:, column].copy(), u_px
    likely_px[placed], u_likely_px[placed] = known.xy_px[placed, column], known.u_px[placed, column]
    rows = np.flatnonzero(placed)
    is_beside = (np.arange(len(numbers)) < rows[0]) | (np.arange(len(numbers)) > rows[-1])
    xy_px = np.where((lost == 0)[:, None], likely_px, np.nan)
    u_px = np.where(lost == 0, u_likely_px, np.nan)
    return FlowCourse(
        frames=numbers, xy_px=xy_px, u_px=u_px, lost=lost,
        likely_px=np.where(is_beside[:, None], np.nan, likely_px),
        u_likely_px=np.where(is_beside, np.nan, u_likely_px),
    )  # fmt: skip
