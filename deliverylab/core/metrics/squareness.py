"""Whether a camera behind or ahead can have stood where it is said to: the stride tells.

Seen from straight behind, the front foot lands farther away but hardly to the side.  If it lands
well to the side in the picture, the camera stood off square.
"""

from __future__ import annotations

import math

from deliverylab.core.metrics.inputs import event_positions, metres_per_px
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.views import END_VIEWS

USUAL_STRIDE = 0.80
"""Usual stride as a share of height: 77-90 % is printed for all levels (common practice)."""
MAX_ACROSS_M = 0.35
"""A front foot this far across the line to the plate is beyond what pitchers do (common practice:
10-15 cm to the closed side)."""


def suspected_yaw_deg(delivery: Delivery, camera: Camera) -> float | None:
    """Return how far off square a rear or front camera seems to have stood, degrees, ≥ 0.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        With both ankles placed at leg lift and foot contact.

    Returns
    -------
    float or None
        None from other views, without the ankles, or where the stated yaw explains what is seen.

    Notes
    -----
    The ankles' distance across the picture over the usual stride is the sine of the yaw; the foot
    is farther away and looks smaller, so it is more rather than less.
    """
    if camera.view not in END_VIEWS:
        return None
    lift = event_positions(delivery, camera, "leg_lift")
    landing = event_positions(delivery, camera, "foot_plant")
    size = metres_per_px(delivery, camera)
    height_m = delivery.athlete.height_m
    if lift is None or landing is None or size is None or height_m is None:
        return None
    drive, lead = lift.of("drive_ankle"), landing.of("lead_ankle")
    if drive is None or lead is None:
        return None
    across_m = abs(lead.x_px - drive.x_px) * size
    stated_deg = abs(camera.scale.yaw_deg) if camera.scale else 0.0
    stride_m = USUAL_STRIDE * height_m
    explained_m = MAX_ACROSS_M + stride_m * math.sin(math.radians(stated_deg))
    if across_m <= explained_m:
        return None
    return math.degrees(math.asin(min(1.0, across_m / stride_m)))
