"""Look for the ball in a clip, and turn what is found into a change."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.metrics.inputs import metres_per_px
from deliverylab.core.model.clip_changes import SetPositions
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import Position
from deliverylab.core.tracking.ball import BallFlight, find_ball
from deliverylab.core.tracking.fall import find_fall
from deliverylab.core.tracking.flights import BallSearch
from deliverylab.core.vocabulary.balls import ball as ball_entry
from deliverylab.core.vocabulary.landmarks import key_for_role
from deliverylab.core.workflow.frames import ProjectFrames

BEFORE_RELEASE_S = 0.03
"""Real seconds before release from which frames are looked at: background for the first ones."""
AFTER_RELEASE_S = 0.25
MAX_FRAMES = 90
N_FALL_FRAMES = 28
"""Frames in which a falling ball is looked for, spread over its flight."""
READING_SHARE = 0.8
"""Part of a search that reading the pictures takes."""


def ball_frames(delivery: Delivery, camera: Camera) -> tuple[int, int]:
    """Return the first and last frame in which the ball is looked for: about release.

    Raises
    ------
    InputValueError
        Release is not marked.
    """
    mark = camera.marks.get("release")
    if mark is None:
        raise InputValueError(
            "release is not marked, so it is not known where to look",
            where=f"{delivery.name}: {camera.name}",
            remedy="mark release, or say which frames",
        )
    timing = camera.timing
    real_s = float(timing.real_s(mark.time_s))
    ends = (real_s - BEFORE_RELEASE_S, real_s + AFTER_RELEASE_S)
    first, last = (timing.frame_at(float(timing.clip_s(end))) for end in ends)
    # at least two on either side: at low rates a flight is only a few frames long
    release = timing.frame_at(mark.time_s)
    first, last = min(first, release - 2), max(last, release + 6)
    return max(0, first), min(last, timing.n_frames - 1, max(0, first) + MAX_FRAMES - 1)


def ball_search(
    delivery: Delivery, camera: Camera, near_px: tuple[float, float] | None = None
) -> BallSearch:
    """Return what is known of the ball: its size in the picture, where it starts, which way.

    Raises
    ------
    InputValueError
        No side view, or nothing tells how large the ball is in the picture.
    """
    size = _size(delivery, camera)
    side = delivery.plate_side(camera)
    if side is None:
        raise InputValueError(
            "a ball that flies away from the camera, or toward it, is not looked for",
            where=f"{delivery.name}: {camera.name}",
            remedy="use a clip from the side; from there it also gives a speed",
        )
    diameter_m = ball_entry(delivery.ball).diameter_m
    return BallSearch(
        diameter_px=diameter_m / size, diameter_m=diameter_m,
        near_px=near_px or _hand_at_release(delivery, camera),
        toward=1 if side == "right" else -1,
    )  # fmt: skip


def _size(delivery: Delivery, camera: Camera) -> float:
    """Return metres in a pixel; refuse where nothing tells."""
    size = metres_per_px(delivery, camera)
    if size is None:
        raise InputValueError(
            "how large the ball is in the picture is not known",
            where=f"{delivery.name}: {camera.name}",
            remedy="set the scale first",
        )
    return size


def _hand_at_release(delivery: Delivery, camera: Camera) -> tuple[float, float] | None:
    mark = camera.marks.get("release")
    if mark is None:
        return None
    frame = camera.timing.frame_at(mark.time_s)
    for role in ("throwing_hand", "throwing_wrist"):
        place = camera.track(key_for_role(role, delivery.athlete.hand)).at(frame)
        if place is not None:
            return place.x_px, place.y_px
    return None


def look_for_ball(
    delivery: Delivery,
    camera: Camera,
    project_path: str | Path | None,
    *,
    near_px: tuple[float, float] | None = None,
    frames: tuple[int, int] | None = None,
    progress: Callable[[float], object] | None = None,
) -> BallFlight:
    """Look for the ball in the clip's frames.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Whose clip; its scale, or placed legs, tell the ball's size.
    project_path : str, pathlib.Path or None
        The project file, for the clip's path.
    near_px : (float, float), optional
        Where the ball starts; the throwing hand at release if that is placed.
    frames : (int, int), optional
        First and last frame; about release without.
    progress : callable, optional
        Called with the part done, 0 to 1; what it raises ends the search.

    Returns
    -------
    BallFlight
        `rows` are frames of the clip.

    Raises
    ------
    ClipError
        The clip cannot be read.
    InputValueError
        Release, or the ball's size, is not known.
    """
    first, last = frames or ball_frames(delivery, camera)
    search = ball_search(delivery, camera, near_px)
    seen = _read(delivery, camera, project_path, list(range(first, last + 1)), progress)
    return _of_the_clip(find_ball(seen.pictures, seen.real_s, search), seen.frames)


def look_for_fall(
    delivery: Delivery,
    camera: Camera,
    project_path: str | Path | None,
    frames: tuple[int, int],
    *,
    progress: Callable[[float], object] | None = None,
) -> BallFlight:
    """Look for a tossed or dropped ball in frames spread over its free flight.

    Parameters
    ----------
    delivery, camera, project_path, progress
        As for `look_for_ball`.
    frames : (int, int)
        First and last frame of the free flight.

    Returns
    -------
    BallFlight
        `rows` are frames of the clip.

    Raises
    ------
    ClipError
        The clip cannot be read.
    InputValueError
        Nothing tells how large the ball is in the picture.
    """
    size = _size(delivery, camera)
    first, last = frames
    wanted = np.unique(np.linspace(first, last, N_FALL_FRAMES).round().astype(np.int64))
    seen = _read(delivery, camera, project_path, wanted.tolist(), progress)
    diameter_px = ball_entry(delivery.ball).diameter_m / size
    return _of_the_clip(find_fall(seen.pictures, seen.real_s, diameter_px), seen.frames)


class _Seen(NamedTuple):
    """Frames that could be read, when they were really taken, and their pictures."""

    frames: NDArray[np.int64]
    real_s: NDArray[np.float64]
    pictures: list[NDArray[np.uint8]]


def _read(
    delivery: Delivery,
    camera: Camera,
    project_path: str | Path | None,
    frames: list[int],
    progress: Callable[[float], object] | None,
) -> _Seen:
    """Return what could be read; frames that the clip's clock does not tell apart tell no speed."""
    numbers, pictures = [], []
    with ProjectFrames(project_path) as reader:
        for n_read, frame in enumerate(frames):
            if progress is not None:
                progress(READING_SHARE * n_read / len(frames))
            picture = reader(delivery, camera, frame)
            if picture is not None:
                numbers.append(frame)
                pictures.append(picture)
        if not pictures:
            problem = next(iter(reader.problems.values()), "there is no clip")
            raise ClipError(
                "the ball cannot be looked for", where=f"{delivery.name}: {camera.name}",
                remedy=problem,
            )  # fmt: skip
    if progress is not None:
        progress(READING_SHARE)
    found = np.array(numbers, dtype=np.int64)
    real_s = camera.timing.real_s(camera.timing.times_s[found])
    fresh = np.diff(real_s, prepend=-math.inf) > 0.0
    kept = [picture for picture, is_fresh in zip(pictures, fresh, strict=True) if is_fresh]
    return _Seen(found[fresh], real_s[fresh], kept)


def _of_the_clip(found: BallFlight, frames: NDArray[np.int64]) -> BallFlight:
    """Return what was found with the frames of the clip as rows."""
    return replace(found, rows=frames[found.rows])


def ball_change(delivery: Delivery, camera: Camera, found: BallFlight) -> SetPositions:
    """Return the change that places the ball where it was found; what was placed by hand stays.

    A ball that was detected before in other frames is taken away, so that two searches do not mix.
    """
    track = camera.track("ball")
    places: dict[int, Position | None] = {}
    by_hand = set()
    for frame, position in track:
        if position.origin == "detected":
            places[frame] = None
        else:
            by_hand.add(frame)
    for frame, (x_px, y_px), u_px in zip(
        found.rows.tolist(), found.xy_px.tolist(), found.u_px.tolist(), strict=True
    ):
        if frame not in by_hand:
            places[frame] = Position(x_px, y_px, u_px, "detected")
    return SetPositions(
        delivery=delivery.name, camera=camera.name, positions={"ball": places},
        what="Find the ball",
    )  # fmt: skip
