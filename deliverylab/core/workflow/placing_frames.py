"""Frames at which placing landmarks helps the tracker most."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.track import ORIGINS

N_FRAMES = 10
"""Frames placed by hand from which a whole delivery can be tracked, those of events among them."""
N_MORE = 3
"""Frames named at a time where tracking left landmarks out although so many are placed."""
REACH_S = 0.1
"""Real time before leg lift and after release that speeds at these events take in."""
BESIDE = 8.0
"""A frame beside the outermost placed ones is so many times as far: from one side alone a landmark is
followed through some ten frames, between two through eighty."""
_PLACED, _IMPORTED = ORIGINS.index("placed"), ORIGINS.index("imported")
_TRACKED = ORIGINS.index("tracked")


def spread_frames(camera: Camera, n_frames: int) -> tuple[int, ...]:
    """Return frames spread evenly over the trimmed clip, its first and last among them."""
    n_frames = min(n_frames, camera.end_frame - camera.first_frame + 1)
    spread = np.linspace(camera.first_frame, camera.end_frame, n_frames)
    return tuple(np.round(spread).astype(int).tolist())


def helping_frames(
    camera: Camera, landmarks: Sequence[str], fixed: Sequence[int]
) -> tuple[int, ...]:
    """Return the frames at which positions would help the tracker most, the most helpful first.

    Parameters
    ----------
    camera : Camera
        The clip, and what is placed there.
    landmarks : sequence of str
        Those that matter over time.
    fixed : sequence of int
        Frames that will be placed anyway, those of events.

    Returns
    -------
    tuple of int
        Frames that somebody began, then those where landmarks are farthest from a position, one
        after the other: about ten with the fixed ones; fewer where everything is tracked.

    Notes
    -----
    How far a frame is from being known is the sum over landmarks of the number of frames to the
    nearest one with a position, or that will get one; the frame where that is largest comes next.
    Beside the outermost of those frames it is farther, see `BESIDE`.
    """
    low, high = _span(camera)
    frames = np.arange(low, high + 1)
    begun, has_tracked = _begun(camera, landmarks)
    n_more = max(N_FRAMES - len(set(fixed)), N_MORE if has_tracked else 0)
    own = [frame for frame in begun if frame not in fixed and low <= frame <= high][:n_more]
    gaps = np.stack([_frames_to_nearest(frames, camera.track(key).frames) for key in landmarks])
    for key, row in zip(landmarks, gaps, strict=True):
        if key in camera.occluded:
            row[np.isin(frames, camera.occluded[key])] = 0.0
    for frame in (*fixed, *own):
        np.minimum(gaps, np.abs(frames - frame), out=gaps)
    while len(own) < n_more:
        known = (*fixed, *own)
        is_beside = (frames < min(known)) | (frames > max(known)) if known else False
        far = gaps.sum(axis=0) * np.where(is_beside, BESIDE, 1.0)
        worst = int(np.argmax(far))
        if not far[worst] > 0.0:
            break
        own.append(int(frames[worst]))
        np.minimum(gaps, np.abs(frames - frames[worst]), out=gaps)
    return tuple(own)


def least_sure(camera: Camera, landmarks: Sequence[str]) -> tuple[int, str] | None:
    """Return the tracked position with the largest u within the trimmed clip: (frame, landmark).

    None where nothing is tracked.
    """
    worst: tuple[float, int, str] | None = None
    for key in landmarks:
        track = camera.track(key)
        is_there = (
            (track.origins == _TRACKED)
            & (track.frames >= camera.first_frame)
            & (track.frames <= camera.end_frame)
            & np.isfinite(track.u_px)
        )
        if is_there.any():
            row = int(np.argmax(np.where(is_there, track.u_px, -1.0)))
            found = (float(track.u_px[row]), int(track.frames[row]), key)
            worst = found if worst is None or found[0] > worst[0] else worst
    return None if worst is None else worst[1:]


def _span(camera: Camera) -> tuple[int, int]:
    """Return the first and last frame over which speeds are told, within the trimmed clip."""
    low, high = camera.first_frame, camera.end_frame
    timing = camera.timing
    reach_s = REACH_S / timing.real_per_clip
    if "leg_lift" in camera.marks:
        low = max(low, timing.frame_at(camera.marks["leg_lift"].time_s - reach_s))
    if "release" in camera.marks:
        high = min(high, timing.frame_at(camera.marks["release"].time_s + reach_s))
    return (low, high) if low <= high else (camera.first_frame, camera.end_frame)


def _begun(camera: Camera, landmarks: Sequence[str]) -> tuple[list[int], bool]:
    """Return the frames in which any landmark is placed by hand, and whether any is tracked."""
    tracks = [camera.track(key) for key in landmarks]
    origins = np.concatenate([track.origins for track in tracks])
    by_hand = (origins == _PLACED) | (origins == _IMPORTED)
    frames = np.concatenate([track.frames for track in tracks])[by_hand]
    return sorted(set(frames.tolist())), bool((origins == _TRACKED).any())


def _frames_to_nearest(frames: NDArray[np.int64], there: NDArray[np.int64]) -> NDArray[np.float64]:
    """Return how many frames it is to the nearest one with a position; infinite without any."""
    if not len(there):
        return np.full(len(frames), np.inf)
    after = np.minimum(there.searchsorted(frames), len(there) - 1)
    before = np.maximum(after - 1, 0)
    nearest: NDArray[np.int64] = np.minimum(
        np.abs(there[after] - frames), np.abs(there[before] - frames)
    )
    return nearest.astype(np.float64)
