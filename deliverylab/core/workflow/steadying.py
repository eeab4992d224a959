"""How a clip's camera turned or shook, from the background beside the athlete."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.model.camera_motion import CameraMotion
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.motion_changes import SetCameraMotion
from deliverylab.core.tracking.camera_motion import BackgroundMotion, LeftOut, background_motion
from deliverylab.core.tracking.picture_steps import Pictures
from deliverylab.core.workflow.detecting import frames_to_look_at
from deliverylab.core.workflow.frames import ProjectFrames
from deliverylab.core.workflow.tracking_start import torso_px

MOST_U_PX = 0.5
"""A frame whose places can be brought over no surer than this counts as not told: landmarks are placed
to a pixel or two, beside which more would matter."""
LEAST_TOLD = 0.5
"""Share of the frames that must tell."""
_GROWN_TORSOS = 0.8
"""Round the landmarks: head and hands reach beyond them, and frames between placed ones are guessed."""


@dataclass(frozen=True, kw_only=True)
class Steadying:
    """What the background of a clip tells of its camera.

    Attributes
    ----------
    motion : BackgroundMotion
    is_complete : bool
        Whether all frames were gone through; False where it was cancelled.
    """

    motion: BackgroundMotion
    is_complete: bool

    @property
    def text(self) -> str:
        """What was found, in one sentence."""
        motion = self.motion
        n_told, n_frames = int(motion.is_told.sum()), len(motion.frames)
        if n_told == 0:
            return "the background shows too little to tell whether the camera moved"
        if motion.is_still:
            what = f"the camera stands still within {motion.still_within_px:.1f} px"
        else:
            what = f"the camera moves: the picture shifts by up to {motion.still_within_px:.0f} px"
        return what if n_told == n_frames else f"{what}; {n_frames - n_told} frames do not tell"


def steady(
    delivery: Delivery,
    camera: Camera,
    project_path: str | Path | None,
    *,
    reference_frame: int | None = None,
    frames: tuple[int, int] | None = None,
    pictures: Pictures | None = None,
    progress: Callable[[float], object] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> Steadying:
    """Estimate from the background how a clip's camera turned or shook; nothing is changed.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Whose clip.  Where landmarks are placed, a box round them is left out of the background.
    project_path : str, pathlib.Path or None
        The project file, for the clip's path.
    reference_frame : int, optional
        What the others are compared with; the first shown frame without.
    frames : (int, int), optional
        First and last frame; the trimmed clip without.
    pictures : callable, optional
        Gives a frame's picture, or None; the clip is opened without it.
    progress : callable, optional
        Called with the part done, 0 to 1.
    is_cancelled : callable, optional
        True ends it; what was done until then is kept.

    Returns
    -------
    Steadying

    Raises
    ------
    ClipError
        There is no clip.
    InputValueError
        No such frames, or the reference frame cannot be read.
    """
    wanted = frames_to_look_at(camera, frames)
    if pictures is None and camera.clip is None:
        raise ClipError(
            "the background cannot be looked at", where=f"{delivery.name}: {camera.name}",
            remedy="there is no clip",
        )  # fmt: skip
    with ProjectFrames(project_path) as reader:
        motion = background_motion(
            pictures or (lambda frame: reader(delivery, camera, frame)),
            wanted,
            reference_frame=camera.first_frame if reference_frame is None else reference_frame,
            left_out=_athlete(delivery, camera),
            progress=progress,
            is_cancelled=is_cancelled,
        )
    return Steadying(motion=motion, is_complete=is_cancelled is None or not is_cancelled())


def steadying_change(delivery: Delivery, camera: Camera, found: Steadying) -> SetCameraMotion:
    """Return the change that takes the camera's own motion out of all results, or says it stood still.

    The scale and the clicks on the field then count as in the reference frame.

    Raises
    ------
    InputValueError
        Not all frames were gone through, or the background tells too little.
    """
    motion = found.motion
    where = f"{delivery.name}: {camera.name}"
    if not found.is_complete:
        raise InputValueError(
            "the background was not looked at to the end", where=where, remedy="let it run"
        )
    if motion.is_still:
        return SetCameraMotion(delivery=delivery.name, camera=camera.name, motion=None)
    middle = _middle(*motion.size_px)
    frames, numbers, u_px = [], [], []
    for row in np.flatnonzero(motion.is_told):
        _, u_there_px = motion.carried(int(row), middle)
        if float(u_there_px.max()) <= MOST_U_PX:
            frames.append(int(motion.frames[row]))
            numbers.append(tuple(motion.homographies[row].ravel()[:8].tolist()))
            u_px.append(float(u_there_px.max()))
    if len(frames) < LEAST_TOLD * len(motion.frames):
        raise InputValueError(
            f"the background tells the motion in {len(frames)} of {len(motion.frames)} frames only",
            where=where, remedy="film from a tripod, or trim the clip to where the background shows",
        )  # fmt: skip
    kept = CameraMotion(
        reference_frame=motion.reference_frame, frames=tuple(frames), homographies=tuple(numbers),
        u_px=tuple(u_px),
    )  # fmt: skip
    return SetCameraMotion(delivery=delivery.name, camera=camera.name, motion=kept)


def _middle(width_px: int, height_px: int) -> NDArray[np.float64]:
    """Return places over the middle of a picture, in which the athlete is, shape (9, 2), px."""
    shares = (0.25, 0.5, 0.75)
    return np.array([(x * width_px, y * height_px) for x in shares for y in shares])


def _athlete(delivery: Delivery, camera: Camera) -> LeftOut | None:
    """Return what gives a box round the athlete in a frame; None where nothing is placed."""
    tracks = [track for key, track in camera.tracks.items() if key != "ball" and len(track)]
    if not tracks:
        return None
    room_px = _GROWN_TORSOS * torso_px(delivery, camera)
    rows, columns = np.ogrid[: camera.height_px, : camera.width_px]

    def where(frame: int) -> NDArray[np.bool_]:
        places = np.array(
            [[np.interp(frame, each.frames, each.xy_px[:, axis]) for axis in (0, 1)]
             for each in tracks]
        )  # fmt: skip
        (left, top), (right, bottom) = places.min(axis=0) - room_px, places.max(axis=0) + room_px
        is_in: NDArray[np.bool_] = (
            (columns >= left) & (columns <= right) & (rows >= top) & (rows <= bottom)
        )
        return is_in

    return where
