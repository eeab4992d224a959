"""Suggest landmarks in a clip with the detector, and turn what is believed into one change."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from deliverylab.core.errors import ClipError, InputValueError, NotFoundError
from deliverylab.core.model.clip_changes import SetPositions
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import Position
from deliverylab.core.store.detector_files import detector_weights
from deliverylab.core.tracking.pose import BodyNetwork, PoseNetwork
from deliverylab.core.tracking.pose_checks import REASONS
from deliverylab.core.tracking.pose_landmarks import KEYS
from deliverylab.core.workflow.detecting_run import DetectorRun, Progress
from deliverylab.core.workflow.detection import OWN, Detection, judged


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
    """Return the frames of a range, every `step`-th and those at the marked events.

    A frame that repeats the one before is left out; an event in one counts to the frame repeated.

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
    wanted = {frame for frame in range(first, last + 1, step) if frame not in repeats}
    for mark in camera.marks.values():
        at = camera.timing.frame_at(mark.time_s)
        while at in repeats:
            at -= 1
        if first <= at <= last:
            wanted.add(at)
    return sorted(wanted)


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
    found = judged(delivery, camera, run.raw(done), is_complete=len(done) == len(wanted))
    if bool((found.poses.reasons == REASONS.index("nobody")).all()):
        raise ClipError(
            "nobody is found in these frames", where=f"{delivery.name}: {camera.name}",
            remedy="draw a box round the athlete in the first of them",
        )  # fmt: skip
    return found


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
            is_own = origins.get(frame) in OWN
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
