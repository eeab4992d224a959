"""Write what the stage shows of one frame as a PNG file."""

from __future__ import annotations

from pathlib import Path

from deliverylab.core.errors import ClipError, InputValueError, NotFoundError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.report.raster import write_picture
from deliverylab.core.report.stage_picture import stage_picture
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.core.workflow.frames import ProjectFrames


def frame_named(camera: Camera, at: str | int) -> int:
    """Return the frame that an event's key, or a number, names.

    Raises
    ------
    NotFoundError
        The event is not marked, or there is no such event.
    InputValueError
        The clip has no frame of that number.
    """
    text = str(at).strip()
    if text in camera.marks:
        return camera.timing.frame_at(camera.marks[text].time_s)
    if text in EVENTS:
        raise NotFoundError(
            f"{EVENTS[text].name} is not marked", where=camera.name, remedy="mark it first"
        )
    if not (text.isascii() and text.isdigit()):
        raise NotFoundError(
            "no such event",
            where=text,
            remedy=f"give a frame number, or one of: {', '.join(EVENTS)}",
        )
    if int(text) >= camera.timing.n_frames:
        raise InputValueError(
            f"there is no frame {text}",
            where=camera.name,
            remedy=f"the clip has frames 0 to {camera.timing.n_frames - 1}",
        )
    return int(text)


def write_stage_picture(
    project_path: str | Path | None,
    delivery: Delivery,
    camera: Camera,
    at: str | int,
    path: str | Path,
) -> Path:
    """Write a frame with the skeleton and its event on it, in the clip's own resolution.

    Parameters
    ----------
    project_path : str or pathlib.Path or None
        The project file, which the clip is referred to from.
    delivery, camera : Delivery, Camera
        Whose frame.
    at : str or int
        Key of an event, or a frame from 0.
    path : str or pathlib.Path
        The PNG file.

    Raises
    ------
    NotFoundError, InputValueError
        As for `frame_named`.
    ClipError
        There is a clip, and it gives no picture.
    OutputError
        Not to be written there.
    """
    frame = frame_named(camera, at)
    with ProjectFrames(project_path) as frames:
        picture = frames(delivery, camera, frame)
        if picture is None and camera.clip is not None:
            raise ClipError(
                "the clip gives no picture of this frame",
                where=f"{camera.clip.path}, frame {frame}",
                remedy=frames.problems.get(camera.clip.path, "relink the clip"),
            )
    return write_picture(stage_picture(delivery, camera, frame, picture), path)
