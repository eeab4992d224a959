"""A camera's positions on the clock of a delivery: smoothed where they run on, as placed where not.

Each landmark is kept by itself, so that after one moved point only that one is smoothed anew.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_tracks import CameraTracks, SmoothTracks, smooth_tracks
from deliverylab.core.metrics.inputs import CLICK_U_PX, default_u_px
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.rates import band_of
from deliverylab.core.metrics.seen import seen_at
from deliverylab.core.metrics.shutter import seen_track, steady_track
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Track
from deliverylab.core.numerics.filters import low_pass, residual_gain
from deliverylab.core.numerics.residual import MEDIAN_TO_SD
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

JUDGED_SCATTER_PX = 2.0
"""Scatter of one placing where a track is too short to tell (common practice: one to three pixels)."""
LEAST_SCATTER_FRAMES = 20
LEAST_BIAS_SHARE = 0.5
"""Of the u of a position, what is at least taken as staying the same in all frames: however little
points scatter, or however much, a joint under cloth is not known better."""
HIGHEST_SHARE_OF_RATE = 0.4
"""A cut-off stays below this share of the frame rate."""


@dataclass(frozen=True)
class Placing:
    """How unsure one landmark's positions in one clip are, px.

    Attributes
    ----------
    scatter_px : float
        What changes from frame to frame.
    bias_px : float
        What stays the same in all frames: clothing, habit.
    """

    scatter_px: float
    bias_px: float

    @property
    def u_px(self) -> float:
        """Standard uncertainty of one position."""
        return math.hypot(self.scatter_px, self.bias_px)


@lru_cache(maxsize=64)
def rising_frames(timing: Timing) -> tuple[NDArray[np.intp], FloatArray]:
    """Return the frames whose real time goes on, and those times, s: repeats are left out."""
    real_s = timing.real_s(timing.times_s)
    last_s = np.maximum.accumulate(np.concatenate([[-math.inf], real_s[:-1]]))
    frames = np.flatnonzero(real_s > last_s)
    return frames, real_s[frames]


@lru_cache(maxsize=512)
def _on_clip(track: Track, timing: Timing) -> FloatArray:
    """Return places in the frames whose time goes on, shape (n, 1, 2), px; NaN where not placed."""
    frames, _ = rising_frames(timing)
    places = np.full((timing.n_frames, 2), np.nan)
    places[track.frames] = track.xy_px
    return places[frames][:, None]


@lru_cache(maxsize=512)
def _scatter_px(track: Track, timing: Timing, cutoff_hz: float) -> float:
    """Return the scatter of a track about its low-passed course; the judged one of a short track."""
    _, times_s = rising_frames(timing)
    if len(track) < LEAST_SCATTER_FRAMES:
        return JUDGED_SCATTER_PX
    rate_hz = (len(times_s) - 1) / (times_s[-1] - times_s[0])
    places = _on_clip(track, timing)[:, 0]
    cutoff_hz = min(cutoff_hz, HIGHEST_SHARE_OF_RATE * rate_hz)
    rest = places - low_pass(places, rate_hz, cutoff_hz)
    sizes = np.abs(rest[np.isfinite(rest).all(axis=1)])
    if len(sizes) < LEAST_SCATTER_FRAMES:
        return JUDGED_SCATTER_PX
    # the median, as a quick hand leaves some of its own motion in the rest
    sd = MEDIAN_TO_SD * float(np.median(sizes)) / residual_gain(rate_hz, cutoff_hz)
    return max(sd, CLICK_U_PX)


def placing_of(delivery: Delivery, camera: Camera, landmark: str) -> Placing:
    """Return how unsure a landmark's positions in a clip are.

    Their whole u is what they state, or the default; the part that scatters is measured where the
    track is long enough.
    """
    track = steady_track(camera, landmark)
    default_px = default_u_px(delivery, camera)[landmark]
    whole_px = _whole_u_px(track, default_px)
    scatter_px = _scatter_px(track, camera.timing, band_of(landmark).cutoff_hz)
    rest = whole_px**2 - scatter_px**2
    return Placing(scatter_px, math.sqrt(max(rest, (LEAST_BIAS_SHARE * whole_px) ** 2)))


@lru_cache(maxsize=512)
def _whole_u_px(track: Track, default_px: float) -> float:
    """Return the root mean square u of a track's positions, px."""
    if not len(track):
        return default_px
    u_px = np.where(np.isnan(track.u_px), default_px, track.u_px)
    return float(np.sqrt(np.mean(u_px**2)))


def camera_tracks(delivery: Delivery, camera: Camera) -> CameraTracks:
    """Return all landmarks of a clip in real seconds, as a solve takes them.

    The ball is left out: it leaves the hand, and no two clips show the same side of it.
    """
    _, times_s = rising_frames(camera.timing)
    places = np.full((len(times_s), len(LANDMARK_KEYS), 2), np.nan)
    placings = []
    for column, key in enumerate(LANDMARK_KEYS):
        track = seen_track(camera, key)
        placings.append(placing_of(delivery, camera, key))
        if key != "ball" and len(track):
            places[:, column] = _on_clip(track, camera.timing)[:, 0]
    return CameraTracks(
        times_s=times_s,
        places_px=places,
        u_px=np.array([each.scatter_px for each in placings]),
        bias_px=np.array([each.bias_px for each in placings]),
    )


@lru_cache(maxsize=1024)
def _smoothed(track: Track, timing: Timing, cutoff_hz: float) -> SmoothTracks | None:
    """Return a landmark smoothed over its runs of frames, of u 1 px; None without such a run."""
    _, times_s = rising_frames(timing)
    if len(track) < 4 or len(times_s) < 4:
        return None
    one = np.ones(1)
    raw = CameraTracks(
        times_s=times_s, places_px=_on_clip(track, timing), u_px=one, bias_px=0.0 * one
    )
    smooth = smooth_tracks(raw, min(cutoff_hz, HIGHEST_SHARE_OF_RATE * raw.rate_hz))
    return smooth if np.isfinite(smooth.places_px).any() else None


@dataclass(frozen=True)
class PlacesAt:
    """One landmark of one clip at some instants.

    Attributes
    ----------
    places_px, speeds_px_s : ndarray, shape (n, 2)
        NaN where nothing is placed near; speeds also where only single frames are placed.
    u_px : ndarray, shape (n,)
    """

    places_px: FloatArray
    speeds_px_s: FloatArray
    u_px: FloatArray


def places_at(
    track: Track, timing: Timing, placing: Placing, real_s: FloatArray, cutoff_hz: float
) -> PlacesAt:
    """Return where a landmark is in a clip at instants of the clip's own real time.

    Parameters
    ----------
    track : Track
        As seen at the frames' times (`seen_track`).
    timing : Timing
    placing : Placing
    real_s : ndarray, shape (n,), s
    cutoff_hz : float

    Smoothed where it is placed in a run of frames; else between two frames that hold it, or in the
    nearest frame, at most one frame away.
    """
    found = PlacesAt(
        np.full((len(real_s), 2), np.nan), np.full((len(real_s), 2), np.nan), np.ones(len(real_s))
    )
    smooth = _smoothed(track, timing, cutoff_hz) if len(track) else None
    if smooth is not None:
        found = replace(
            found,
            places_px=smooth.at(real_s)[..., 0, :],
            speeds_px_s=smooth.speed_at(real_s)[..., 0, :],
        )
    gain = 1.0 if smooth is None else float(smooth.u_px[0])
    found.u_px[:] = math.hypot(gain * placing.scatter_px, placing.bias_px)
    if len(track):
        for row in np.flatnonzero(np.isnan(found.places_px[:, 0])):
            _from_single_frames(found, int(row), track, timing, float(real_s[row]), placing)
    return found


def _from_single_frames(
    found: PlacesAt, row: int, track: Track, timing: Timing, real_s: float, placing: Placing
) -> None:
    """Fill in one instant from the frames next to it."""
    frames, times_s = rising_frames(timing)
    at_frame = float(np.interp(real_s, times_s, frames.astype(float), left=-9.0, right=-9.0))
    seen = seen_at(track, at_frame, placing.u_px)
    if seen is None:
        return
    found.places_px[row] = seen.x_px, seen.y_px
    found.u_px[row] = placing.u_px
    if seen.before is not None and seen.after is not None:
        middle = int(np.searchsorted(frames, round(at_frame)))
        if 0 < middle < len(frames) - 1:
            step_s = times_s[middle + 1] - times_s[middle - 1]
            found.speeds_px_s[row] = (np.array(seen.after) - np.array(seen.before)) / step_s
