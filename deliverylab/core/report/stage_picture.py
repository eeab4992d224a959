"""What the stage shows of one frame, as a picture of the clip's own resolution."""

from __future__ import annotations

import numpy as np

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.report.figures import Picture, points_at
from deliverylab.core.report.walkthrough_crop import Placement
from deliverylab.core.report.walkthrough_drawing import draw_body
from deliverylab.core.report.walkthrough_label import label, lay_over
from deliverylab.core.report.walkthrough_style import NAME, STAGE, rgb
from deliverylab.core.report.wording import raised
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS

_FULL_PX = 1080.0
"""Shorter side of the picture for which lines and letters are as wide as they are called."""
_SMALLEST = 0.5
_MARGIN_PX = 24.0


def stage_picture(
    delivery: Delivery, camera: Camera, frame: int, picture: Picture | None
) -> Picture:
    """Return a frame with the skeleton, the delivery's name, and the events marked in it.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Whose.
    frame : int
        Which, from 0.
    picture : ndarray of uint8, shape (h, w, 3), or None
        The upright frame, RGB; plain ground of the camera's size without.  It is not changed.

    Returns
    -------
    ndarray of uint8, shape (h, w, 3)
        RGB; pixels that nothing is drawn over are the clip's own.
    """
    if picture is None:
        shape = (camera.height_px, camera.width_px, 3)
        drawn: Picture = np.full(shape, rgb(STAGE), np.uint8)
    else:
        drawn = picture.copy()
    height, width = drawn.shape[:2]
    unit = max(_SMALLEST, min(width, height) / _FULL_PX)
    place = Placement(1.0, 0.0, 0.0, width)
    points = points_at(camera, frame)
    draw_body(drawn, points, delivery.athlete.hand, place, is_model=False, unit=unit)
    margin = round(_MARGIN_PX * unit)
    text = " · ".join((delivery.name, *marked_in(camera, frame), f"frame {frame}"))
    plate = label(text, NAME.sized(NAME.size * unit), max(1, width - 2 * margin))
    lay_over(drawn, plate, margin, margin)
    return drawn


def marked_in(camera: Camera, frame: int) -> tuple[str, ...]:
    """Return the names of the events that are marked in a frame, in their order."""
    return tuple(
        raised(EVENTS[key].name)
        for key in EVENTS
        if key in camera.marks and camera.timing.frame_at(camera.marks[key].time_s) == frame
    )
