"""Postures frame by frame, as stated, without uncertainty: for speeds and for curves."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.depths import usual_course
from deliverylab.core.metrics.inputs import N_ROLES, ROLE_COLUMN
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.pose_batch import nominal_pose
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.shutter import seen_track
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.track import Track
from deliverylab.core.vocabulary.landmarks import key_for_role


def poses_over_time(
    camera: Camera, setup: Setup, roles: tuple[str, ...]
) -> tuple[NDArray[np.int64], Pose]:
    """Return the frames that show all of these roles, and the posture in each.

    Returns
    -------
    frames : ndarray of int, shape (n,)
    pose : Pose
        Points of shape (n, 3), m.
    """
    tracks = [seen_track(camera, key_for_role(role, setup.athlete.hand)) for role in roles]
    frames = _common_frames(tracks)
    xy_px = np.full((len(frames), N_ROLES, 2), np.nan)
    for role, track in zip(roles, tracks, strict=True):
        xy_px[:, ROLE_COLUMN[role]] = places_px(track, frames)
    return frames, nominal_pose(xy_px, setup, usual_course(camera, setup, frames))


def _common_frames(tracks: list[Track]) -> NDArray[np.int64]:
    frames = tracks[0].frames
    for track in tracks[1:]:
        if track.frames is not frames and not np.array_equal(track.frames, frames):
            frames = np.intersect1d(frames, track.frames, assume_unique=True)
    return frames


def places_px(track: Track, frames: NDArray[np.int64]) -> FloatArray:
    """Return a track's places in these frames, NaN where it has none."""
    if np.array_equal(track.frames, frames):
        return track.xy_px
    places = np.full((len(frames), 2), np.nan)
    if len(track):
        rows = np.minimum(np.searchsorted(track.frames, frames), len(track) - 1)
        there = track.frames[rows] == frames
        places[there] = track.xy_px[rows[there]]
    return places
