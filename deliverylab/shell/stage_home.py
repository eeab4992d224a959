"""Which part of the frame a stage shows at first."""

from __future__ import annotations

from PySide6.QtCore import QRectF

from deliverylab.core.model.delivery import Camera
from deliverylab.shell.overlay_content import px_per_m
from deliverylab.shell.session import SIDES, Session, Side
from deliverylab.shell.stage_content import body_area


def home_area(session: Session, side: Side) -> QRectF | None:
    """Return the part of the picture that matters, px: where the body is, all of it when None.

    Bodies without pictures are shown at one scale, as large as both stages can, so that they can be
    compared by eye; that takes a scale on either side.
    """
    camera = session.camera(side)
    if camera is None:
        return None
    area = body_area(camera)
    if session.has_pictures or area is None:
        return area
    cameras = [one for each in SIDES if (one := session.camera(each)) is not None]
    size_m = _common_size_m(cameras)
    own_px = px_per_m(camera)
    if size_m is None or own_px is None:
        return area
    shared = QRectF(0.0, 0.0, size_m[0] * own_px, size_m[1] * own_px)
    shared.moveCenter(area.center())
    # beside the frame there is nothing, and a part that is cut off would be shown larger
    shared.moveLeft(min(max(shared.left(), -0.5), camera.width_px - 0.5 - shared.width()))
    shared.moveTop(min(max(shared.top(), -0.5), camera.height_px - 0.5 - shared.height()))
    return shared


def _common_size_m(cameras: list[Camera]) -> tuple[float, float] | None:
    """Return a width and height, m, that hold every body and fit into every frame; None if unknown."""
    bodies, frames = [], []
    for camera in cameras:
        scale_px, area = px_per_m(camera), body_area(camera)
        if scale_px is None or area is None:
            return None
        bodies.append((area.width() / scale_px, area.height() / scale_px))
        frames.append((camera.width_px / scale_px, camera.height_px / scale_px))
    widest, tallest = (max(size) for size in zip(*bodies, strict=True))
    return (
        min(widest, *(width for width, _ in frames)),
        min(tallest, *(height for _, height in frames)),
    )
