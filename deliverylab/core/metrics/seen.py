"""One landmark at one instant: its place, u, and its neighbours' places."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.shutter import middle_row
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.track import Track

MAX_SNAP_FRAMES = 1.0
"""A position this many frames away from an event still stands for it, at a cost in timing u."""


class Seen(NamedTuple):
    """One landmark at an event: its place, u, its neighbours' places, and how far it was snapped.

    Attributes
    ----------
    x_px, y_px, u_px : float
        Place in the upright frame and standard uncertainty of either coordinate, px.
    before, after : tuple of float or None
        Places one frame before and after, where both are there.
    off_frames : float
        Distance from the event to the frame that stood in for it, frames.
    """

    x_px: float
    y_px: float
    u_px: float
    before: tuple[float, float] | None
    after: tuple[float, float] | None
    off_frames: float


def with_row_u(seen: Seen | None, camera: Camera, step_s: float) -> Seen | None:
    """Return what is seen with u of the rolling shutter's row time in its u."""
    if not camera.u_row_time_s or seen is None or seen.before is None or seen.after is None:
        return seen
    speed_px_s = math.dist(seen.before, seen.after) / step_s
    u_px = speed_px_s * abs(seen.y_px - middle_row(camera)) * camera.u_row_time_s
    return seen._replace(u_px=math.hypot(seen.u_px, u_px)) if math.isfinite(u_px) else seen


def seen_at(track: Track, at_frame: float, default_u_px: float) -> Seen | None:
    """Return a landmark at a fractional frame; None when no position is near enough.

    Between two frames u is the weighted mean of theirs, not the smaller root of squares: whoever
    takes a joint for a little too high does so in both, so the two errors do not average out.
    """
    found = _between_frames(track.frames, at_frame)
    if found is None:
        return None
    rows, weights, off = found
    x_px, y_px = (weights @ track.xy_px[rows]).tolist()
    row_u = track.u_px[rows]
    u_px = float(weights @ np.where(np.isnan(row_u), default_u_px, row_u))
    centre = round(at_frame)
    before, after = _place_in(track, centre - 1), _place_in(track, centre + 1)
    return Seen(x_px, y_px, u_px, before, after, off)


def _place_in(track: Track, frame: int) -> tuple[float, float] | None:
    row = int(track.frames.searchsorted(frame))
    if row == len(track) or track.frames[row] != frame:
        return None
    x_px, y_px = track.xy_px[row].tolist()
    return x_px, y_px


def _between_frames(
    frames: NDArray[np.int64], at_frame: float
) -> tuple[list[int], FloatArray, float] | None:
    """Return rows, weights and the distance to the instant in frames; None when too far."""
    low_frame = math.floor(at_frame + 1e-6)
    fraction = max(0.0, at_frame - low_frame)
    row = int(np.searchsorted(frames, low_frame))
    has_low = row < len(frames) and int(frames[row]) == low_frame
    if has_low and fraction < 1e-3:
        return [row], np.ones(1), 0.0
    after = row + 1 if has_low else row
    has_high = after < len(frames) and int(frames[after]) == low_frame + 1
    if has_low and has_high:
        return [row, after], np.array([1.0 - fraction, fraction]), 0.0
    candidates = [index for index in (row - 1, row, row + 1) if 0 <= index < len(frames)]
    if not candidates:
        return None
    nearest = min(candidates, key=lambda index: abs(float(frames[index]) - at_frame))
    off = abs(float(frames[nearest]) - at_frame)
    return ([nearest], np.ones(1), off) if off <= MAX_SNAP_FRAMES else None
