"""What is handed on as files: the packed project, its preview, pictures of the stage."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import ClipError, UsageError
from deliverylab.shell.session import Session, Side

Report = Callable[[float], None]
AROUND = 5.0
"""Half the width of a preview over the radius of the blurred disc."""
SHAPE = 0.6
"""Height over width of a preview."""


class Choices(NamedTuple):
    """What a person ticked."""

    blurs_faces: bool
    leaves_names_out: bool
    is_whole: bool
    has_sound: bool
    deliveries: tuple[str, ...]


class Preview(NamedTuple):
    """The part of a frame around the blurred head, RGB; all of it where the head is not located."""

    picture: NDArray[np.uint8]
    is_located: bool


def pack_work(session: Session, choices: Choices, path: Path) -> Callable[[Report], Any]:
    """Return the work that packs the project as it is now; it gives what was packed.

    Raises
    ------
    UsageError
        No delivery is chosen.
    """
    if not choices.deliveries:
        raise UsageError("no delivery is chosen", remedy="tick one or more")
    record, project_path = session.record, session.path

    def work(report: Report) -> Any:
        from deliverylab.core.workflow.packing import pack
        from deliverylab.core.workflow.packing_choice import PackOptions

        report(0.0)
        return pack(record, project_path, path, PackOptions(**choices._asdict()), progress=report)

    return work


def unlocated(session: Session, choices: Choices) -> tuple[int, int]:
    """Return in how many pictures of the chosen clips no landmark tells where the head is, of how many."""
    from deliverylab.core.workflow.packing_faces import unlocated as in_clip

    found = [
        in_clip(camera)
        for delivery in session.record.deliveries
        for camera in delivery.cameras
        if delivery.name in choices.deliveries and camera.clip is not None
    ]
    return sum(missing for missing, _ in found), sum(n for _, n in found)


def preview_work(session: Session, side: Side) -> Callable[[Report], Preview]:
    """Return the work that blurs the frame on a stage as packing would.

    Raises
    ------
    UsageError
        No clip is on that stage.
    """
    delivery, camera = session.delivery(side), session.camera(side)
    if delivery is None or camera is None or camera.clip is None:
        raise UsageError("there is no clip to preview", remedy="put a delivery with a clip there")
    frame, path = session.state(side).frame, session.path

    def work(report: Report) -> Preview:
        from deliverylab.core.workflow.frames import ProjectFrames
        from deliverylab.core.workflow.packing_blur import FaceBlur
        from deliverylab.core.workflow.packing_cut import Cut

        report(0.1)
        with ProjectFrames(path) as frames:
            picture = frames(delivery, camera, frame)
        if picture is None:
            raise ClipError("the clip gives no picture", where=camera.name, remedy="relink it")
        blur = FaceBlur(delivery, camera, path, Cut(frame, frame))
        head, shown = blur.head(frame), blur(frame, picture)
        if head is None:
            return Preview(shown, is_located=False)
        return Preview(
            _around(shown, head.x_px, head.y_px, AROUND * head.radius_px), is_located=True
        )

    return work


def _around(
    picture: NDArray[np.uint8], x_px: float, y_px: float, reach_px: float
) -> NDArray[np.uint8]:
    height, width = picture.shape[:2]
    across, up = min(width / 2, reach_px), min(height / 2, SHAPE * reach_px)
    left = round(min(max(0.0, x_px - across), width - 2 * across))
    top = round(min(max(0.0, y_px - up), height - 2 * up))
    part = picture[top : top + round(2 * up), left : left + round(2 * across)]
    return np.ascontiguousarray(part)


def save_stage_picture(session: Session, side: Side, path: Path) -> Path:
    """Write what a stage shows as PNG, in the clip's own resolution, and return its file.

    Raises
    ------
    UsageError
        Nothing is on that stage.
    ClipError, OutputError
        The clip gives no picture; the file cannot be written.
    """
    from deliverylab.core.workflow.stage_picture import write_stage_picture

    delivery, camera = session.delivery(side), session.camera(side)
    if delivery is None or camera is None:
        raise UsageError("there is nothing on this stage", remedy="add a delivery first")
    return write_stage_picture(session.path, delivery, camera, session.state(side).frame, path)
