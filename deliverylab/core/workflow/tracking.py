"""Follow landmarks through a clip from where they are placed, and turn that into one change."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.model.clip_changes import SetPositions
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.precision import REPLACED_ORIGINS as BY_HAND
from deliverylab.core.model.track import Position
from deliverylab.core.tracking.flow import LOST_REASONS, Anchors, FlowCourse, Pictures, follow
from deliverylab.core.workflow.detecting import frames_to_look_at
from deliverylab.core.workflow.frames import ProjectFrames
from deliverylab.core.workflow.pictures_ahead import PicturesAhead
from deliverylab.core.workflow.tracking_bridge import bridged_places
from deliverylab.core.workflow.tracking_lost import (
    BESIDE,
    HIDDEN,
    LOST_TEXT,
    NO_ANCHOR,
    LostStretch,
    beside,
    stretches,
)
from deliverylab.core.workflow.tracking_start import (
    anchors_of,
    chosen_landmarks,
    torso_px,
    up_to_anchors,
)

__all__ = [
    "BESIDE",
    "HIDDEN",
    "LOST_TEXT",
    "NO_ANCHOR",
    "LostStretch",
    "Tracking",
    "track",
    "tracking_change",
]

MACHINE_MADE = frozenset({"tracked", "filled"})
"""Origins that tracking replaces, or takes away where the landmark is lost now."""
Progress = Callable[[float], object]


@dataclass(frozen=True, kw_only=True)
class Tracking:
    """What following the pictures gave.

    Attributes
    ----------
    frames : dict of str to tuple of int
        By landmark, the frames gone through.
    positions : dict of str to dict of int to Position
        Where each was followed to, with the origin ``tracked``; nothing in frames it starts from.
    lost : tuple of LostStretch
        Where neither is so, by landmark and frame.
    is_complete : bool
        Whether all was gone through; False where it was cancelled.
    bridged : dict of str to dict of int to Position
        Where it is not seen surely and its likeliest course is within the limits of
        `tracking_bridge`, with the origin ``filled``.
    """

    frames: dict[str, tuple[int, ...]]
    positions: dict[str, dict[int, Position]]
    lost: tuple[LostStretch, ...]
    is_complete: bool
    bridged: dict[str, dict[int, Position]] = field(default_factory=dict)


def track(
    delivery: Delivery,
    camera: Camera,
    project_path: str | Path | None,
    *,
    landmarks: Iterable[str] | None = None,
    frames: tuple[int, int] | None = None,
    from_detected: bool = True,
    pictures: Pictures | None = None,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> Tracking:
    """Follow landmarks through a clip's pictures, from where they are placed.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Whose clip.
    project_path : str, pathlib.Path or None
        The project file, for the clip's path.
    landmarks : iterable of str, optional
        Keys; all that something is placed of (but the ball, which is looked for otherwise).
    frames : (int, int), optional
        First and last frame; the trimmed clip without.  Places beside them are started from too.
    from_detected : bool
        Whether the detector's places are started from as well, each with its own u.
    pictures : callable, optional
        Gives a frame's picture, or None; the clip is opened without it.
    progress : callable, optional
        Called with the part done, 0 to 1.
    is_cancelled : callable, optional
        True ends it; what was done until then is kept.

    Returns
    -------
    Tracking

    Raises
    ------
    ClipError
        There is no clip, or it cannot be read.
    InputValueError
        No such frames, or nothing is placed to start from.
    NotFoundError
        No such landmark.
    """
    wanted = frames_to_look_at(camera, frames)
    keys = chosen_landmarks(camera, landmarks)
    starts = {key: anchors_of(delivery, camera, key, wanted, from_detected) for key in keys}
    found = {key: anchors for key, anchors in starts.items() if len(anchors.frames)}
    if not found:
        raise InputValueError(
            "nothing is placed to start from", where=f"{delivery.name}: {camera.name}",
            remedy="place the landmarks in a few frames first, ten over the delivery do",
        )  # fmt: skip
    through = up_to_anchors(camera, wanted, found.values())
    size_px = torso_px(delivery, camera)
    if pictures is not None:
        courses = follow(
            pictures, found, through, size_px=size_px, progress=progress, is_cancelled=is_cancelled
        )
    else:
        with ProjectFrames(project_path) as reader:
            _check_readable(delivery, camera, reader, through[0])
            ahead = PicturesAhead(lambda frame: reader(delivery, camera, frame), through)
            with ahead:
                courses = follow(
                    ahead, found, through, size_px=size_px,
                    progress=progress, is_cancelled=is_cancelled,
                )  # fmt: skip
    is_complete = is_cancelled is None or not is_cancelled()
    return _gathered(camera, starts, courses, wanted, size_px, is_complete=is_complete)


def tracking_change(delivery: Delivery, camera: Camera, tracking: Tracking) -> SetPositions:
    """Return the one change that takes over what was followed.

    What a person placed or imported stays, and what was said to be hidden stays empty.  What an
    earlier tracking, or filling, put into the frames gone through and is lost now is taken away; a
    detected place is replaced where it was not started from, and stays where the landmark is lost or
    bridged.
    """
    changes: dict[str, dict[int, Position | None]] = {}
    for key, frames in tracking.frames.items():
        origins = {frame: position.origin for frame, position in camera.track(key)}
        new = tracking.positions.get(key, {}) | {
            frame: place
            for frame, place in tracking.bridged.get(key, {}).items()
            if origins.get(frame) != "detected"
        }
        places: dict[int, Position | None] = {
            frame: new.get(frame)
            for frame in frames
            if (frame in new and origins.get(frame) not in BY_HAND)
            or origins.get(frame) in MACHINE_MADE
        }
        if places:
            changes[key] = places
    return SetPositions(
        delivery=delivery.name, camera=camera.name, positions=changes, what="Track landmarks"
    )


def _check_readable(delivery: Delivery, camera: Camera, reader: ProjectFrames, frame: int) -> None:
    """Refuse a clip that gives no picture.

    Raises
    ------
    ClipError
        With the reason.
    """
    is_read = reader(delivery, camera, frame) is not None or not reader.problems
    if is_read and camera.clip is not None:
        return
    problem = next(iter(reader.problems.values()), "there is no clip")
    raise ClipError(
        "the landmarks cannot be followed", where=f"{delivery.name}: {camera.name}", remedy=problem
    )


def _gathered(
    camera: Camera,
    starts: dict[str, Anchors],
    courses: dict[str, FlowCourse],
    wanted: Sequence[int],
    size_px: float,
    *,
    is_complete: bool,
) -> Tracking:
    """Return what was followed within the frames wanted, landmark by landmark."""
    frames: dict[str, tuple[int, ...]] = {}
    positions: dict[str, dict[int, Position]] = {}
    bridged: dict[str, dict[int, Position]] = {}
    lost: list[LostStretch] = []
    for key, anchors in starts.items():
        course = courses.get(key)
        if course is None and len(anchors.frames):
            continue  # cancelled before it was come to
        reasons = _reasons(course, wanted)
        known = set(anchors.frames.tolist())
        hidden = set(camera.occluded.get(key, ()))
        frames[key] = tuple(frame for frame in wanted if frame in reasons and frame not in known)
        positions[key] = {
            frame: place
            for frame, place in _places(course, reasons).items()
            if frame not in known and frame not in hidden
        }
        if course is not None:
            bridged[key] = bridged_places(camera, course, wanted, hidden, size_px)
        closed = hidden.union(bridged.get(key, ()))
        gone = {
            frame: beside(reasons[frame], frame, known)
            for frame in frames[key]
            if frame not in closed
        }
        lost += stretches(key, gone, wanted)
    return Tracking(
        frames=frames, positions=positions, bridged=bridged, lost=tuple(lost),
        is_complete=is_complete,
    )  # fmt: skip


def _reasons(course: FlowCourse | None, wanted: Sequence[int]) -> dict[int, str]:
    """Return why a landmark is lost in each frame gone through; empty text where it is not."""
    if course is None:
        return dict.fromkeys(wanted, NO_ANCHOR)
    keys = [LOST_REASONS[number] for number in course.lost.tolist()]
    within = set(wanted)
    return {
        frame: key
        for frame, key in zip(course.frames.tolist(), keys, strict=True)
        if frame in within
    }


def _places(course: FlowCourse | None, reasons: dict[int, str]) -> dict[int, Position]:
    if course is None:
        return {}
    rows = zip(course.frames.tolist(), course.xy_px.tolist(), course.u_px.tolist(), strict=True)
    return {
        frame: Position(x_px, y_px, u_px, "tracked")
        for frame, (x_px, y_px), u_px in rows
        if reasons.get(frame) == ""
    }
