"""How long an athlete's limbs are: one answer for all clips of the same person in a project.

References
----------
.. [1] Gordon CC et al. (1989). 1988 Anthropometric Survey of US Army Personnel, Natick: spread of
   forearms and its correlation with stature; from memory, to be confirmed there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.metrics.inputs import metres_per_px
from deliverylab.core.metrics.lifted_arm import U_LENGTH_SHARE
from deliverylab.core.metrics.rates import band_of
from deliverylab.core.metrics.shutter import seen_track
from deliverylab.core.metrics.space_sight import SpaceSight, space_sight
from deliverylab.core.metrics.space_tracks import rising_frames
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.track import Track
from deliverylab.core.vocabulary.segments import SEGMENTS, Segment

Array = NDArray[np.float64]

SAME_HEIGHT_M = 0.05
"""Two deliveries of one name whose heights differ by less are of one body: shoes, a tape, a season."""
N_INSTANTS = 40
"""Instants of a solved delivery at which a limb is measured."""
LONGEST_QUANTILE = 0.9
"""Of the lengths seen in a clip: beyond it mistakes and scatter make the longest longer still."""
LEAST_FRAMES = 5
"""Frames that must show a limb before the longest of them says something."""
U_SEEN_SHARE, U_SEEN_M = 0.045, 0.008
"""u of that quantile as a limb's length: foreshortening, depth beside the plane of the scale, and
placing.  Own simulation, 30 varied deliveries a view at 8 m, side and rear: RMS 2 to 8 % of limbs, 8 to
14 % of hands."""
AS_LONG_U = 2.0
"""Clips that show a limb shorter than the longest by more than this many u never show it square."""


@dataclass(frozen=True, kw_only=True)
class SegmentLength:
    """How long one segment of an athlete is.

    Attributes
    ----------
    length_m, u_m : float, m
        From joint to joint, and standard uncertainty.
    source : str
        Where it is from, in words.
    """

    length_m: float
    u_m: float
    source: str


@dataclass(frozen=True)
class _Found:
    length_m: float
    u_m: float
    clip: str


def segment_lengths(record: ProjectRecord, delivery: Delivery) -> dict[str, SegmentLength]:
    """Return how long the segments of a delivery's athlete are, by segment key.

    Measured in space where any delivery of the athlete has solved cameras; else the longest that the
    clips with a scale show (a lower bound, were there no scatter), put together with the usual share
    of the athlete's height, each by its u; else one of the two.  Left and right are taken as alike.

    Parameters
    ----------
    record : ProjectRecord
        Its deliveries by an athlete of the same name and height are looked at as well.
    delivery : Delivery

    Returns
    -------
    dict of str to SegmentLength
        Without segments that nothing tells: no height, and no scale or too few frames.
    """
    same = same_athlete(record, delivery)
    height_m = next((d.athlete.height_m for d in same if d.athlete.height_m is not None), None)
    lengths: dict[str, SegmentLength] = {}
    for pair in _pairs():
        found = (
            _in_space(same, pair)
            or _seen_and_usual(same, pair, height_m, delivery.athlete)
        )  # fmt: skip
        if found is not None:
            lengths.update({segment.key: found for segment in pair})
    return lengths


def same_athlete(record: ProjectRecord, delivery: Delivery) -> tuple[Delivery, ...]:
    """Return the deliveries that the athlete of this one threw, this one first."""
    own = delivery.athlete

    def is_same(other: Athlete) -> bool:
        if other.name.strip().casefold() != own.name.strip().casefold():
            return False
        heights_m = own.height_m, other.height_m
        return None in heights_m or abs(heights_m[0] - heights_m[1]) < SAME_HEIGHT_M  # type: ignore[operator]

    others = (d for d in record.deliveries if d.name != delivery.name and is_same(d.athlete))
    return (delivery, *others)


@lru_cache(maxsize=1)
def _pairs() -> tuple[tuple[Segment, ...], ...]:
    """Return the segments from joint to joint, left and right together."""
    by_part: dict[str, list[Segment]] = {}
    for segment in SEGMENTS:
        if segment.length_over_height is not None:
            by_part.setdefault(segment.key.partition("_")[2], []).append(segment)
    return tuple(map(tuple, by_part.values()))


def _in_space(same: Iterable[Delivery], pair: tuple[Segment, ...]) -> SegmentLength | None:
    """Return the length that solved cameras measure, mean of both sides."""
    found = [
        each
        for delivery in same
        if (sight := space_sight(delivery)).absence is None
        for segment in pair
        if (each := _measured(sight, segment)) is not None
    ]
    if not found:
        return None
    names = _listed(each.clip for each in found)
    u_m = math.sqrt(sum(each.u_m**2 for each in found) / len(found))
    length_m = sum(each.length_m for each in found) / len(found)
    return SegmentLength(length_m=length_m, u_m=u_m, source=f"measured in space ({names})")


def _measured(sight: SpaceSight, segment: Segment) -> _Found | None:
    """Return a segment's median length over a solved delivery."""
    _, times_s = rising_frames(sight.camera.timing)
    times_s = times_s[:: max(1, len(times_s) // N_INSTANTS)].copy()
    ends = segment.proximal, segment.distal
    cutoff_hz = max(band_of(end).cutoff_hz for end in ends)
    points = sight.places(times_s, cutoff_hz, ends).points
    start, end = (points.points_m[:, INDEX[key]] for key in ends)
    lengths_m = np.linalg.norm(end - start, axis=1)
    is_known = np.isfinite(lengths_m)
    if np.count_nonzero(is_known) < LEAST_FRAMES:
        return None
    gradient = np.zeros_like(points.points_m)
    direction = (end - start) / lengths_m[:, None]
    for key, sign in zip(ends, (-1.0, 1.0), strict=True):
        gradient[:, INDEX[key]] = sign * np.nan_to_num(direction)
    variance = points.variance_of(gradient, sight.covariance)[is_known]
    u_m = math.sqrt(float(np.median(variance)))
    return _Found(float(np.median(lengths_m[is_known])), u_m, sight.delivery.name)


def _seen_and_usual(
    same: Iterable[Delivery], pair: tuple[Segment, ...], height_m: float | None, athlete: Athlete
) -> SegmentLength | None:
    """Return the length by the longest seen, and by the usual share of the height."""
    seen, usual = _longest_seen(same, pair), _usual(pair[0], height_m, athlete)
    if seen is None or usual is None:
        return seen or usual
    weights = seen.u_m**-2, usual.u_m**-2
    return SegmentLength(
        length_m=(weights[0] * seen.length_m + weights[1] * usual.length_m) / sum(weights),
        u_m=sum(weights) ** -0.5,
        source=f"{seen.source}, with {usual.source}",
    )


def _usual(segment: Segment, height_m: float | None, athlete: Athlete) -> SegmentLength | None:
    share = segment.usual_length(athlete.sex)
    if height_m is None or share is None:
        return None
    length_m = share * height_m
    return SegmentLength(
        length_m=length_m, u_m=U_LENGTH_SHARE * length_m, source="usual share of the height"
    )


def _longest_seen(same: Iterable[Delivery], pair: tuple[Segment, ...]) -> SegmentLength | None:
    """Return the longest length that clips show: mean of those that show it about as long."""
    found = [
        each
        for delivery in same
        for camera in delivery.cameras
        if camera.scale is not None
        for segment in pair
        if (each := _seen(delivery, camera, segment)) is not None
    ]
    if not found:
        return None
    longest = max(found, key=lambda each: each.length_m)
    near_m = longest.length_m - AS_LONG_U * longest.u_m
    kept = [each for each in found if each.length_m >= near_m]
    names = _listed(each.clip for each in kept)
    return SegmentLength(
        length_m=sum(each.length_m for each in kept) / len(kept),
        u_m=longest.u_m,
        source=f"the longest seen ({names})",
    )


def _seen(delivery: Delivery, camera: Camera, segment: Segment) -> _Found | None:
    scale, size = camera.scale, metres_per_px(delivery, camera)
    if scale is None or size is None:
        return None
    longest_px = long_px(seen_track(camera, segment.proximal), seen_track(camera, segment.distal))
    if math.isnan(longest_px):
        return None
    length_m = size * longest_px
    share = math.hypot(U_SEEN_SHARE, scale.u_length_m / scale.length_m)
    return _Found(
        length_m, math.hypot(share * length_m, U_SEEN_M), f"{delivery.name}: {camera.name}"
    )


@lru_cache(maxsize=512)
def long_px(a: Track, b: Track) -> float:
    """Return `LONGEST_QUANTILE` of the distances of two landmarks, px; NaN from too few frames."""
    common, rows_a, rows_b = np.intersect1d(a.frames, b.frames, return_indices=True)
    if len(common) < LEAST_FRAMES:
        return math.nan
    return float(np.quantile(np.hypot(*(a.xy_px[rows_a] - b.xy_px[rows_b]).T), LONGEST_QUANTILE))


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names))
