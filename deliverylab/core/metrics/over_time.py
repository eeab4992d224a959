"""Postures frame by frame, as stated, without uncertainty: for speeds and for curves."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.planar import PlanarCamera
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.pose_batch import SeenBy, female_share, field_axes, nearness
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.model.track import Track
from deliverylab.core.vocabulary.landmarks import key_for_role


def poses_over_time(
    delivery: Delivery,
    camera: Camera,
    scale: PlanarScale,
    roles: tuple[str, ...],
) -> tuple[NDArray[np.int64], Pose]:
    """Return the frames that show all of these roles, and the posture in each.

    Returns
    -------
    frames : ndarray of int, shape (n,)
    pose : Pose
        Points of shape (n, 3), m.
    """
    tracks = [camera.track(key_for_role(role, delivery.athlete.hand)) for role in roles]
    frames = _common_frames(tracks)
    xy_px = np.stack([places_px(track, frames) for track in tracks], axis=1)
    axis, sign, _ = field_axes(camera, delivery.athlete, delivery.plate_side(camera))
    plane_m = nominal_camera(scale, camera).to_plane((xy_px - _middle(camera))[None], np.zeros(1))[
        0
    ]
    xyz = np.zeros((*plane_m.shape[:2], 3))
    xyz[..., axis] = sign * plane_m[..., 0]
    xyz[..., 2] = plane_m[..., 1]
    points = {role: xyz[:, column] for column, role in enumerate(roles)}
    height_m = delivery.athlete.height_m
    return frames, Pose(
        points, np.array(np.nan if height_m is None else height_m), female_share(delivery.athlete)
    )


def nominal_camera(scale: PlanarScale, camera: SeenBy) -> PlanarCamera:
    """Return the camera as stated, a batch of one."""
    middle = _middle(camera)
    return PlanarCamera(
        np.array([[np.array(scale.a) - middle, np.array(scale.b) - middle]]),
        np.array([scale.length_m]),
        np.array([scale.vertical_deg]),
        np.array([scale.yaw_deg]),
        np.array([nearness(scale)[0]]),
    )


def _middle(camera: SeenBy) -> FloatArray:
    return np.array([(camera.width_px - 1) / 2, (camera.height_px - 1) / 2])


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
