"""Suggest landmarks in a clip with the detector, and turn what is believed into one change."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import ClipError, InputValueError, NotFoundError
from deliverylab.core.model.clip_changes import SetPositions
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import Position
from deliverylab.core.store.detector_files import detector_weights
from deliverylab.core.tracking.pose import BodyNetwork, PoseNetwork
from deliverylab.core.tracking.pose_checks import REASONS, CheckedPoses, Reason, check_poses
from deliverylab.core.tracking.pose_landmarks import KEYS
from deliverylab.core.workflow.detecting_run import DetectorRun, Progress
from deliverylab.core.workflow.placing_needs import n_results_at

REASON_TEXT: dict[Reason, str] = {
    "nobody": "nobody was found in the frame",
    "outside": "it lies outside the picture",
    "mirror": "the mirrored picture gives another place",
    "sides": "left and right may have changed places",
    "length": "the limb would be too short or too long",
    "course": "it leaves its own course",
    "peak": "the detector sees no clear point there",
    "alone": "the frames beside it are not believed",
}
_OWN: frozenset[str] = frozenset({"detected"})
"""Origins that a detection may replace."""


@dataclass(frozen=True, kw_only=True)
class Waiting:
    """A landmark in a frame that a person has to place.

    Attributes
    ----------
    landmark : str
        Key.
    frame : int
    reason : str
        Why the detector's place is not taken; a key of `REASON_TEXT`.
    n_results : int
        How many results of the catalogue need it in this frame; 0 between the events.
    """

    landmark: str
    frame: int
    reason: Reason
    n_results: int


@dataclass(frozen=True, kw_only=True)
class Detection:
    """What the detector suggests in a clip.

    Attributes
    ----------
    frames : ndarray of int, shape (n,)
        Frames that were looked at.
    poses : CheckedPoses
        Landmarks in them, each believed or not.
    is_complete : bool
        Whether all frames asked for were looked at; what was done is kept either way.
    waiting : tuple of Waiting
        What a person has to place, the most important first.
    """

    frames: NDArray[np.int64]
    poses: CheckedPoses
    is_complete: bool
    waiting: tuple[Waiting, ...]


def installed_network() -> PoseNetwork:
    """Return the detector that somebody has fetched.

    Raises
    ------
    NotFoundError
        Nobody has, which is a normal state.
    InputValueError
        Its file is damaged, or OpenCV does not fit.
    """
    weights = detector_weights()
    if weights is None:
        raise NotFoundError(
            "the landmark detector is not there",
            where="it is optional, and fetched only when asked for",
            remedy='get it with "deliverylab get-detector" (36 MB), or place landmarks by hand',
        )
    return PoseNetwork(weights)


def frames_to_look_at(
    camera: Camera, frames: tuple[int, int] | None = None, step: int = 1
) -> list[int]:
    """Return the frames of a range, every `step`-th, without those that repeat the one before.

    Raises
    ------
    InputValueError
        No such range, or step.
    """
    first, last = frames or (camera.first_frame, camera.end_frame)
    if step < 1 or not 0 <= first <= last < camera.timing.n_frames:
        raise InputValueError(
            "the clip has no such frames", where=f"{first}-{last}, every {step}",
            remedy=f"frames run from 0 to {camera.timing.n_frames - 1}",
        )  # fmt: skip
    repeats = set(camera.duplicate_frames)
    return [frame for frame in range(first, last + 1, step) if frame not in repeats]


def detect(
    delivery: Delivery,
    camera: Camera,
    project_path: str | Path | None,
    network: BodyNetwork,
    *,
    box: tuple[float, float, float, float] | None = None,
    frames: tuple[int, int] | None = None,
    step: int = 1,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    answers_folder: Path | None = None,
) -> Detection:
    """Look for the landmarks in a clip's frames.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Whose clip.
    project_path : str, pathlib.Path or None
        The project file, for the clip's path.
    network : BodyNetwork
        `installed_network`.
    box : tuple of float, optional
        Left, top, width and height about the athlete in the first of the frames, px; without, the
        picture is scanned.
    frames : (int, int), optional
        First and last frame; the trimmed clip without.
    step : int
        Every how many frames.
    progress : callable, optional
        Called with the part done, 0 to 1.
    is_cancelled : callable, optional
        Asked after every frame; True ends the search, and what was done is kept for the next one.
    answers_folder : pathlib.Path, optional
        Where the detector's answers are kept; the user's cache folder without.

    Returns
    -------
    Detection
        Of the frames looked at until then.

    Raises
    ------
    ClipError
        The clip cannot be read, or nobody is found in it.
    InputValueError
        Several people are there and no box says who (their boxes are listed), or no such frames.
    """
    wanted = frames_to_look_at(camera, frames, step)
    run = DetectorRun(delivery, camera, project_path, network, box, answers_folder)
    done = run.through(wanted, progress, is_cancelled)
    if not done:
        raise ClipError(
            "no frame was looked at", where=f"{delivery.name}: {camera.name}",
            remedy="let it run, or choose other frames",
        )  # fmt: skip
    size = camera.width_px, camera.height_px
    poses = check_poses(run.raw(done), size, stature_px=_stature_px(delivery, camera))
    if not poses.is_believed.any() and bool((poses.reasons == REASONS.index("nobody")).all()):
        raise ClipError(
            "nobody is found in these frames", where=f"{delivery.name}: {camera.name}",
            remedy="draw a box round the athlete in the first of them",
        )  # fmt: skip
    numbers = np.array(done, dtype=np.int64)
    return Detection(
        frames=numbers, poses=poses, is_complete=len(done) == len(wanted),
        waiting=_waiting(delivery, camera, numbers, poses),
    )  # fmt: skip


def detection_change(delivery: Delivery, camera: Camera, found: Detection) -> SetPositions:
    """Return the one change that takes over what is believed.

    What a person placed, imported or tracked stays, and what was said to be hidden stays empty.
    What an earlier detection put into these frames and is no longer believed is taken away.
    """
    positions: dict[str, dict[int, Position | None]] = {}
    believed = found.poses.is_believed
    for row, key in enumerate(KEYS):
        track = camera.track(key)
        origins = {frame: position.origin for frame, position in track}
        hidden = set(camera.occluded.get(key, ()))
        places: dict[int, Position | None] = {}
        for number, frame in enumerate(found.frames.tolist()):
            is_own = origins.get(frame) in _OWN
            if frame in origins and not is_own:
                continue
            if believed[number, row] and frame not in hidden:
                x_px, y_px = found.poses.xy_px[number, row].tolist()
                places[frame] = Position(
                    x_px, y_px, float(found.poses.u_px[number, row]), "detected"
                )
            elif is_own:
                places[frame] = None
        if places:
            positions[key] = places
    return SetPositions(
        delivery=delivery.name, camera=camera.name, positions=positions, what="Detect landmarks"
    )


def _stature_px(delivery: Delivery, camera: Camera) -> float | None:
    """Return the athlete's height in the picture where height and scale tell it."""
    scale, height_m = camera.scale, delivery.athlete.height_m
    if scale is None or height_m is None:
        return None
    length_px = math.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px)
    return height_m * length_px / scale.length_m


def _waiting(
    delivery: Delivery, camera: Camera, frames: NDArray[np.int64], poses: CheckedPoses
) -> tuple[Waiting, ...]:
    """Return what is not believed and has no place yet, by how many results need it."""
    needs = _needs_by_frame(delivery, camera, frames.tolist())
    waiting = []
    for row, key in enumerate(KEYS):
        placed = {frame for frame, position in camera.track(key) if position.origin not in _OWN}
        placed.update(camera.occluded.get(key, ()))
        for number in np.flatnonzero(poses.reasons[:, row]).tolist():
            frame = int(frames[number])
            if frame not in placed:
                reason = REASONS[poses.reasons[number, row]]
                n_results = needs.get(frame, {}).get(key, 0)
                waiting.append(
                    Waiting(landmark=key, frame=frame, reason=reason, n_results=n_results)
                )
    return tuple(sorted(waiting, key=lambda one: (-one.n_results, one.frame, one.landmark)))


def _needs_by_frame(
    delivery: Delivery, camera: Camera, frames: Sequence[int]
) -> dict[int, dict[str, int]]:
    """Return, for the frames at the marked events, how many results need each landmark.

    An event before the first of the frames or after the last one needs none of them.
    """
    needs: dict[int, dict[str, int]] = {}
    for event, mark in camera.marks.items():
        at = camera.timing.frame_at(mark.time_s)
        if not frames[0] <= at <= frames[-1]:
            continue
        nearest = min(frames, key=lambda frame: abs(frame - at))
        here = needs.setdefault(nearest, {})
        for key, n in n_results_at(event, delivery.athlete.hand, camera.view).items():
            here[key] = here.get(key, 0) + n
    return needs
