"""Rolling shutter: rows of a picture are taken one after the other, and bodies move meanwhile.

A frame's time is that of its middle row.  A landmark in row y was seen (y - middle) rows later, and
is brought back to the frame's time here, so that nothing else needs to know of rows.

References
----------
.. [1] Ait-Aider O, Andreff N, Lavest J M, Martinet P (2006). Simultaneous object pose and velocity
   computation using a single view from a rolling shutter camera. ECCV 2006, LNCS 3952:56-68 (each
   point projected at the time of its own row; cited from memory).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.model.camera_motion import CameraMotion
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Track

FloatArray = NDArray[np.float64]


def middle_row(camera: Camera) -> float:
    """Return the row whose time is the frame's, px."""
    return (camera.height_px - 1) / 2.0


def landmark_times_s(camera: Camera, landmark: str) -> FloatArray:
    """Return when each position of a landmark was really seen, shape (n,), real seconds."""
    track, timing = camera.track(landmark), camera.timing
    frames, rows_px = track.frames, track.xy_px[:, 1]
    if camera.motion is not None:
        # in step with the steadied track, which lacks the frames that do not tell
        is_known = np.isin(frames, camera.motion.frames)
        frames, rows_px = frames[is_known], rows_px[is_known]
    frame_s = timing.real_s(timing.times_s[frames])
    return frame_s + camera.row_time_s * (rows_px - middle_row(camera))


def seen_track(camera: Camera, landmark: str) -> Track:
    """Return a landmark's track at the frames' times, with the camera's own motion taken out.

    Without a row time and with a camera that stood still it is the very track that was placed.

    A position with placed neighbours in the next frames on both sides is moved along the parabola
    through the three, with one neighbour along the line, and with none it stays: its speed is not
    known.
    """
    track = camera.track(landmark)
    if camera.row_time_s != 0.0 and len(track) > 1:
        track = _unrolled(track, camera.timing, camera.row_time_s, middle_row(camera))
    # rows are those of the frame itself: the camera's own motion is taken out after them
    return track if camera.motion is None else _steadied(track, camera.motion)


def steady_track(camera: Camera, landmark: str) -> Track:
    """Return a landmark's track with the camera's own motion taken out, at the times of its rows."""
    track = camera.track(landmark)
    return track if camera.motion is None else _steadied(track, camera.motion)


@lru_cache(maxsize=512)
def _steadied(track: Track, motion: CameraMotion) -> Track:
    return motion.steadied(track)


@lru_cache(maxsize=512)
def _unrolled(track: Track, timing: Timing, row_time_s: float, middle: float) -> Track:
    frame_s = timing.real_s(timing.times_s[track.frames])
    seen_s = frame_s + row_time_s * (track.xy_px[:, 1] - middle)
    xy_px = track.xy_px.copy()
    for row in range(len(track)):
        near = [
            other
            for other in (row - 1, row, row + 1)
            if 0 <= other < len(track) and abs(track.frames[other] - track.frames[row]) <= 1
        ]
        # a repeat was seen when the frame before it was
        if len(near) > 1 and np.diff(seen_s[near]).min() > 0.0:
            xy_px[row] = _lagrange_weights(seen_s[near], frame_s[row]) @ track.xy_px[near]
    return Track(track.frames, xy_px, track.u_px, track.origins)


def _lagrange_weights(knots: FloatArray, at: float) -> FloatArray:
    """Return the weights of samples at the knots in the polynomial through them, at one place."""
    weights = np.ones(len(knots))
    for own in range(len(knots)):
        for other in range(len(knots)):
            if other != own:
                weights[own] *= (at - knots[other]) / (knots[own] - knots[other])
    return weights
