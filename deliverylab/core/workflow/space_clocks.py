"""What event marks say of the clocks of two clips, and a delivery as all its cameras saw it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from deliverylab.core.cameras.body_facts import U_HEIGHT_SHARE, BodyFacts, FilmedDelivery
from deliverylab.core.cameras.body_tracks import CameraTracks, SmoothTracks, smooth_alike
from deliverylab.core.cameras.rough_offset import rough_offset_s
from deliverylab.core.cameras.synchronise import SEARCH_S
from deliverylab.core.metrics.space_tracks import camera_tracks
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.field import FieldSize
from deliverylab.core.vocabulary.landmarks import key_for_role

LEAST_FRAMES = 4
LEAST_SIGHTS = 200
"""Places of landmarks that both clips show while they are smoothed, below which the body's lines of
sight take no part: about ten landmarks over twenty independent instants."""
FAR_APART_S = 0.040
"""What people part by who mark one event in two views: laboratories' definitions of foot contact
differ by as much."""
STANDING = (("drive", "leg_lift"), ("lead", "foot_plant"))
"""Which foot stands on the ground at which event."""


class ClockByMarks(NamedTuple):
    """What events marked in two clips say of the second one's clock.

    Attributes
    ----------
    offset_s, u_s : float
        Added to its real time to give the first clip's, with u.
    events : tuple of str
    """

    offset_s: float
    u_s: float
    events: tuple[str, ...]


def clock_by_marks(first: Camera, other: Camera) -> ClockByMarks | None:
    """Return what marks of the same events in two clips say; None without any.

    Where several events contradict each other beyond their u, u is widened to what they show.
    """
    events = tuple(event for event in first.marks if event in other.marks)
    if not events:
        return None
    gaps_s, u_s = np.array([_gap_s(first, other, event) for event in events]).T
    weights = 1.0 / np.maximum(u_s, 1e-6) ** 2
    offset_s = float(weights @ gaps_s / weights.sum())
    apart = float(weights @ (gaps_s - offset_s) ** 2)
    widened = math.sqrt(max(1.0, apart / max(len(events) - 1, 1)))
    return ClockByMarks(offset_s, widened / math.sqrt(float(weights.sum())), events)


def events_apart(first: Camera, other: Camera, offset_s: float) -> tuple[str, ...]:
    """Return the events whose marks in two clips lie far apart at a known offset, worst first.

    Far is three times u and more than people usually part by.
    """
    found = {}
    for event in first.marks:
        if event in other.marks:
            gap_s, u_s = _gap_s(first, other, event)
            apart_s = abs(gap_s - offset_s)
            if apart_s > max(3.0 * u_s, FAR_APART_S):
                found[event] = apart_s
    return tuple(sorted(found, key=lambda event: -found[event]))


def _gap_s(first: Camera, other: Camera, event: str) -> tuple[float, float]:
    """Return how much later an event is on the first clip's clock than on the other's, and its u."""
    pair = (first, other)
    ours_s, theirs_s = (float(each.timing.real_s(each.marks[event].time_s)) for each in pair)
    u_s = math.hypot(*(each.timing.real_per_clip * each.u_mark_s(event) for each in pair))
    return ours_s - theirs_s, u_s


@dataclass(frozen=True, kw_only=True)
class FilmedBody:
    """A delivery on the way to a solve.

    Attributes
    ----------
    delivery : Delivery
    filmed : FilmedDelivery or None
        With its offsets' start; None where the body cannot take part.
    marked : tuple of ClockByMarks or None
        What marks say of each further camera's clock.
    missing : tuple of str
        Further cameras whose clock neither the body nor a mark tells.
    """

    delivery: Delivery
    filmed: FilmedDelivery | None
    marked: tuple[ClockByMarks | None, ...]
    missing: tuple[str, ...]


def filmed_body(delivery: Delivery, names: Sequence[str], size: FieldSize) -> FilmedBody:
    """Return what some cameras of a delivery tell of body and clocks.

    Parameters
    ----------
    delivery : Delivery
    names : sequence of str
        Its cameras that take part; the first gives the clock.
    size : FieldSize
        Whose mound it was thrown from.

    Notes
    -----
    Marks only start the search where the body's movement can decide: people mark an event some
    frames early in one view and late in another, lines of sight meet to a few tenths of a
    millisecond.
    """
    cameras = [delivery.camera(name) for name in names]
    marked = tuple(clock_by_marks(cameras[0], other) for other in cameras[1:])
    filmed = filmed_delivery(delivery, cameras, marked, size)
    missing: tuple[str, ...] = ()
    if filmed is None:
        missing = tuple(
            name for name, clock in zip(names[1:], marked, strict=True) if clock is None
        )
    return FilmedBody(delivery=delivery, filmed=filmed, marked=marked, missing=missing)


def filmed_delivery(
    delivery: Delivery,
    cameras: Sequence[Camera],
    marked: Sequence[ClockByMarks | None],
    size: FieldSize,
) -> FilmedDelivery | None:
    """Return a delivery as a solve takes it; None where two clips hold no shared movement."""
    if any(each.timing.n_frames < LEAST_FRAMES for each in cameras):
        return None
    tracks = tuple(camera_tracks(delivery, camera) for camera in cameras)
    if any(len(each.times_s) < LEAST_FRAMES for each in tracks):
        return None
    smooth = smooth_alike(tracks)
    starts = [
        _start_s(clock, rough_offset_s(smooth[0], each))
        for clock, each in zip(marked, smooth[1:], strict=True)
    ]
    offsets_s = tuple(start for start in starts if start is not None)
    if len(offsets_s) < len(starts):
        return None
    for other, offset_s in zip(smooth[1:], offsets_s, strict=True):
        if n_shared_sights(smooth[0], other, offset_s) < LEAST_SIGHTS:
            return None
    return FilmedDelivery(
        tracks=tracks,
        offsets_s=offsets_s,
        standing=_standing(delivery, cameras, (0.0, *offsets_s), tracks),
        facts=body_facts(delivery, size),
    )


def _start_s(clock: ClockByMarks | None, rough_s: float | None) -> float | None:
    """Return where the search for an offset starts: marks, unless the movement speaks against them."""
    if clock is None or (rough_s is not None and abs(clock.offset_s - rough_s) > SEARCH_S):
        return rough_s
    return clock.offset_s


def n_shared_sights(first: SmoothTracks, other: SmoothTracks, offset_s: float) -> int:
    """Return how many independent places of landmarks two clips show at the same time."""
    start_s = max(first.start_s, other.start_s + offset_s)
    end_s = min(first.end_s, other.end_s + offset_s)
    times_s = np.arange(start_s, end_s, max(first.apart_s, other.apart_s))
    seen = np.isfinite(first.at(times_s)) & np.isfinite(other.at(times_s - offset_s))
    return int(seen.all(axis=-1).sum())


def body_facts(delivery: Delivery, size: FieldSize) -> BodyFacts:
    """Return what is known of the athlete and of the mound."""
    athlete = delivery.athlete
    height_m = math.nan if athlete.height_m is None else athlete.height_m
    share = athlete.u_height_m / height_m if height_m > 0.0 else 0.0
    return BodyFacts(
        height_m=height_m,
        u_height_share=math.hypot(U_HEIGHT_SHARE, share),
        female_share=athlete.female_share,
        mound_height_m=size.rubber_height_m,
    )


def _standing(
    delivery: Delivery,
    cameras: Sequence[Camera],
    offsets_s: Sequence[float],
    tracks: Sequence[CameraTracks],
) -> tuple[tuple[str, float], ...]:
    """Return the feet that stand, by the first clip that has the event marked."""
    found = []
    last_s = float(tracks[0].times_s[-1])
    for side, event in STANDING:
        times_s = [
            float(camera.timing.real_s(camera.marks[event].time_s)) + offset_s
            for camera, offset_s in zip(cameras, offsets_s, strict=True)
            if event in camera.marks
        ]
        if times_s and 0.0 <= times_s[0] <= last_s:
            found += [
                (key_for_role(f"{side}_{part}", delivery.athlete.hand), times_s[0])
                for part in ("heel", "toe")
            ]
    return tuple(found)
