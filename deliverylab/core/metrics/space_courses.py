"""A measure in space over an interval, and the same with each input a little larger and smaller.

An extreme, the rate of an angle and the instant of a peak hang on a whole course.  What stays the same
in all frames (a landmark beside its joint, a camera's numbers, a clock) moves that course as a whole,
so each such input is moved by its own u, and the whole course is measured again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from deliverylab.core.cameras.pinhole import point_jacobian
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.space_places import Clip, landmark_places, pinhole
from deliverylab.core.metrics.space_sight import SpaceSight
from deliverylab.core.metrics.space_tracks import places_at, rising_frames
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.model.space import N_NUMBERS
from deliverylab.core.model.track import Track
from deliverylab.core.numerics.filters import derivative_gain
from deliverylab.core.vocabulary.landmarks import key_for_role

AXES_PX = 2
NO_TRACK = Track.of()


class Asked(NamedTuple):
    """All that a course is made of: what is remembered by it need not be measured again.

    Attributes
    ----------
    metric : str
        Key of the metric whose measure it is.
    clips : tuple of tuple of Clip
        Each of its landmarks in each clip.
    covariance : bytes
        Of the cameras' numbers and the clocks' offsets.
    is_mirrored : bool
    height_m : float
        0 where it is not known.
    times : bytes
        Instants on the first camera's clock, s.
    cutoff_hz : float
    """

    metric: str
    clips: tuple[tuple[Clip, ...], ...]
    covariance: bytes
    is_mirrored: bool
    height_m: float
    times: bytes
    cutoff_hz: float


@dataclass(frozen=True)
class Course:
    """A measure at n instants.

    Attributes
    ----------
    times_s, values : ndarray, shape (n,)
        Values go on over a full turn; NaN where fewer than two clips show a landmark.
    cutoff_hz : float
        Of the low-pass.
    moved : ndarray, shape (2, k, n)
        With each of k inputs one u larger and one smaller: a landmark sideways and down in each
        clip, then what cameras and clocks share, then the clocks by themselves.
    scatter : ndarray, shape (2, n_placing)
        Standard deviation of the smoothed place of a landmark in a clip by what changes from frame to
        frame, and of its slope (1/s), over the whole u of that place.
    n_clocks : int
        How many of the last inputs are the clocks by themselves.
    """

    times_s: FloatArray
    cutoff_hz: float
    values: FloatArray
    moved: FloatArray
    scatter: FloatArray
    n_clocks: int

    @property
    def n_placing(self) -> int:
        """Number of inputs that are places of landmarks in clips."""
        return int(self.scatter.shape[1])


def asked_for(spec: MetricSpec, sight: SpaceSight, times_s: FloatArray, cutoff_hz: float) -> Asked:
    """Gather what a metric's course is made of."""
    athlete = sight.delivery.athlete
    return Asked(
        metric=spec.key,
        clips=tuple(
            _that_follow(sight.clips(key_for_role(role, athlete.hand)), times_s)
            for role in spec.landmarks
        ),
        covariance=sight.covariance.tobytes(),
        is_mirrored=athlete.hand == "left",
        height_m=athlete.height_m or 0.0,
        times=times_s.tobytes(),
        cutoff_hz=sight.carried_hz(cutoff_hz),
    )


def _that_follow(clips: tuple[Clip, ...], times_s: FloatArray) -> tuple[Clip, ...]:
    """Return the clips with those emptied that lose the landmark where two others do not.

    A clip that comes and goes moves a place in space by what it has beside the joint, which would be
    taken for a speed.
    """
    if len(clips) <= 2:
        return clips
    is_kept = [_is_throughout(clip, times_s) for clip in clips]
    if sum(is_kept) < 2:
        return clips
    return tuple(
        clip if kept else clip._replace(track=NO_TRACK)
        for clip, kept in zip(clips, is_kept, strict=True)
    )


def _is_throughout(clip: Clip, times_s: FloatArray) -> bool:
    """Return whether a clip shows the landmark in every frame between the first and last instant."""
    frames, real_s = rising_frames(clip.timing)
    on_clock = real_s + clip.camera.offset_s
    inside = frames[(on_clock >= times_s[0]) & (on_clock <= times_s[-1])]
    return bool(len(inside)) and bool(np.isin(inside, clip.track.frames).all())


def known_shares(asked: Asked) -> tuple[float, ...]:
    """Return of each landmark in how many of the instants its course is known."""
    followed = [_followed(clips, asked.times, asked.cutoff_hz) for clips in asked.clips]
    return tuple(float(np.mean(np.isfinite(each[:, 0]))) for each in followed)


@lru_cache(maxsize=256)
def plain_course(asked: Asked) -> FloatArray:
    """Return the measure at the instants, shape (n,), going on over a full turn."""
    followed = [_followed(clips, asked.times, asked.cutoff_hz) for clips in asked.clips]
    return _measured(asked, np.stack(followed))


@lru_cache(maxsize=64)
def slower_course(asked: Asked, lower_hz: float) -> FloatArray:
    """Return the same as `plain_course` does, with a lower cut-off, shape (n,)."""
    places = [_slower(clips, asked.times, asked.cutoff_hz, lower_hz) for clips in asked.clips]
    return _measured(asked, np.stack(places))


@lru_cache(maxsize=64)
def course(asked: Asked) -> Course:
    """Return the measure at the instants, also with each input moved."""
    places = [landmark_places(clips, asked.times, asked.cutoff_hz) for clips in asked.clips]
    points = np.stack([_followed(c, asked.times, asked.cutoff_hz) for c in asked.clips])
    by_calibration = np.stack([each.points.by_calibration for each in places])
    roots, n_clocks = _roots(asked.covariance, len(asked.clips[0]))
    together = np.moveaxis(by_calibration @ roots, -1, 0)
    by_place = [_placing_steps(c, asked.times, asked.cutoff_hz) for c in asked.clips]
    n_each = len(by_place[0])
    steps = np.zeros((n_each * len(places) + len(together), *points.shape))
    for number, own in enumerate(by_place):
        steps[n_each * number : n_each * (number + 1), number] = own
    steps[n_each * len(places) :] = together
    values = plain_course(asked)
    moved = np.stack([_measured(asked, points + sign * steps) for sign in (1.0, -1.0)])
    # a course that was unwrapped from another start is brought back beside the plain one
    moved -= 360.0 * np.round((moved - values) / 360.0)
    scatter = np.stack(
        [_scatter(clip, asked.cutoff_hz) for clips in asked.clips for clip in clips], axis=1
    )
    return Course(
        times_s=np.frombuffer(asked.times),
        cutoff_hz=asked.cutoff_hz,
        values=values,
        moved=moved,
        scatter=np.repeat(scatter, AXES_PX, axis=1),
        n_clocks=n_clocks,
    )


def _measured(asked: Asked, points: FloatArray) -> FloatArray:
    """Measure points of shape (..., n_landmarks, n, 3); angles go on over a full turn in time."""
    spec = BY_KEY[asked.metric]
    if spec.measure is None:
        return np.full((*points.shape[:-3], points.shape[-2]), np.nan)
    if asked.is_mirrored:
        points = points * np.array([1.0, -1.0, 1.0])
    named = {role: points[..., row, :, :] for row, role in enumerate(spec.landmarks)}
    values = spec.measure(Pose(named, np.array(asked.height_m or math.nan)))
    return _unwrapped(values) if spec.unit in {"deg", "deg/s"} else values


def _unwrapped(values: FloatArray) -> FloatArray:
    """Return angles that do not jump by a full turn in time, across gaps too."""
    is_known = np.isfinite(values.reshape(-1, values.shape[-1])).all(axis=0)
    out = values.copy()
    out[..., is_known] = np.unwrap(values[..., is_known], period=360.0, axis=-1)
    return out


@lru_cache(maxsize=8)
def _roots(covariance: bytes, n_cameras: int) -> tuple[FloatArray, int]:
    """Return independent steps of one u of the calibration, shape (n, n + n_clocks), and n_clocks.

    The last columns are the clocks by themselves, to tell their part of the whole.
    """
    size = math.isqrt(len(covariance) // 8)
    matrix = np.frombuffer(covariance).reshape(size, size)
    first = N_NUMBERS * n_cameras
    clocks = np.zeros((size, size - first))
    clocks[first:] = _root(matrix[first:, first:])
    return np.concatenate([_root(matrix), clocks], axis=1), size - first


def _root(covariance: FloatArray) -> FloatArray:
    values, vectors = np.linalg.eigh(covariance)
    root: FloatArray = vectors * np.sqrt(np.maximum(values, 0.0))
    return root


@lru_cache(maxsize=512)
def _placing_steps(clips: tuple[Clip, ...], times: bytes, cutoff_hz: float) -> FloatArray:
    """Return how a landmark moves with its place in each clip, shape (2 n_clips, n, 3), m.

    By one u to the right and one down in each clip in turn.
    """
    places = landmark_places(clips, times, cutoff_hz)
    points = places.points
    steps: list[FloatArray] = []
    for view, clip in enumerate(clips):
        _, by_point = point_jacobian(pinhole(clip.camera), points.points_m)
        is_used = points.is_used[view][:, None, None]
        # least squares: the covariance times the slopes, over u once as the step is one u
        to_point = points.covariance_m2 @ np.swapaxes(by_point, -1, -2)
        step = np.where(is_used, to_point / places.u_px[view][:, None, None], 0.0)
        steps.extend(np.moveaxis(step, -1, 0))
    return np.stack(steps)


@lru_cache(maxsize=512)
def _slower(clips: tuple[Clip, ...], times: bytes, cutoff_hz: float, lower_hz: float) -> FloatArray:
    """Return a landmark with a lower cut-off, shape (n, 3), m: moved as its places in the clips do."""
    places = landmark_places(clips, times, cutoff_hz)
    steps = _placing_steps(clips, times, cutoff_hz)
    points_m = _followed(clips, times, cutoff_hz).copy()
    for view, clip in enumerate(clips):
        at_s = np.frombuffer(times) - clip.camera.offset_s
        slow, usual = (
            places_at(clip.track, clip.timing, clip.placing, at_s, hz)
            for hz in (lower_hz, cutoff_hz)
        )
        shift_u = (slow.places_px - usual.places_px) / places.u_px[view][:, None]
        # near the end of a run only the quicker one is smoothed
        shift_u[slow.u_px >= clip.placing.u_px] = np.nan
        shift_u[~places.points.is_used[view]] = 0.0
        own = steps[AXES_PX * view : AXES_PX * (view + 1)]
        points_m += np.einsum("ani,na->ni", own, shift_u)
    return points_m


@lru_cache(maxsize=512)
def _followed(clips: tuple[Clip, ...], times: bytes, cutoff_hz: float) -> FloatArray:
    """Return a landmark's places, shape (n, 3), m; NaN where they are not smoothed in the usual clips.

    A single frame scatters more than a course, and another set of clips sees another place: neither
    belongs to a course.
    """
    places = landmark_places(clips, times, cutoff_hz)
    used = places.points.is_used
    is_enough = used.sum(axis=0) >= 2
    if not is_enough.any():
        return places.points.points_m
    which = 2 ** np.arange(len(clips)) @ used
    usual = np.bincount(which[is_enough]).argmax()
    placed_px = np.array([[clip.placing.u_px] for clip in clips])
    is_smooth = places.u_px < (1.0 - 1e-9) * placed_px
    is_followed = (which == usual) & np.all(is_smooth | ~used, axis=0)
    return np.where(is_followed[:, None], places.points.points_m, np.nan)


def _scatter(clip: Clip, cutoff_hz: float) -> FloatArray:
    """Return the scatter of a smoothed place, and of its slope over the place's whole u."""
    gains = _gains(clip.timing.true_rate_hz, cutoff_hz)
    u_px = math.hypot(gains[0] * clip.placing.scatter_px, clip.placing.bias_px)
    return np.array(gains) * clip.placing.scatter_px / u_px


@lru_cache(maxsize=64)
def _gains(rate_hz: float, cutoff_hz: float) -> tuple[float, float]:
    """Return what smoothing leaves of the scatter of places: in value and slope."""
    return derivative_gain(rate_hz, cutoff_hz, 0), derivative_gain(rate_hz, cutoff_hz, 1)
