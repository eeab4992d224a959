"""Whether a camera behind or ahead can have stood where it is said to: the stride tells.

Seen from straight behind, the front foot lands farther away but hardly to the side.  If it lands
well to the side of where the stated yaw puts it, the camera stood elsewhere.
"""

from __future__ import annotations

import math

import numpy as np

from deliverylab.core.metrics.inputs import event_positions, working_scale
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.views import END_VIEWS

USUAL_STRIDE = 0.80
"""Usual stride as a share of height: 77-90 % is printed for all levels (common practice)."""
USUAL_ACROSS_M = -0.12
"""Where the front foot usually lands across the line to the plate, glove side positive: 10-15 cm to
the closed side (common practice)."""
MAX_OFF_M = 0.30
"""Farther from there than this is beyond what pitchers do (common practice)."""


def suspected_yaw_deg(delivery: Delivery, camera: Camera) -> float | None:
    """Return how far off square a rear or front camera seems to have stood, degrees, ≥ 0.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        With both ankles placed at leg lift and foot plant (or contact), and the athlete's height.

    Returns
    -------
    float or None
        None from other views, without the ankles, or where the stated yaw explains what is seen.

    Notes
    -----
    The front foot is put a usual stride behind the plane of the rubber (before it, seen from the
    front) and mapped with the stated yaw.  How far it then lands from where feet land, over the
    stride, is the sine of the yaw that is missing.  A stride straighter or more across than usual
    by 0.1 m moves the answer by 4°.
    """
    height_m = delivery.athlete.height_m
    scale, _ = working_scale(delivery, camera)
    if camera.view not in END_VIEWS or height_m is None or scale is None:
        return None
    lift = event_positions(delivery, camera, "leg_lift")
    landing = event_positions(delivery, camera, "foot_plant")
    drive = lift.of("drive_ankle") if lift else None
    lead = landing.of("lead_ankle") if landing else None
    if drive is None or lead is None:
        return None
    setup = Setup.of(delivery, camera, scale)
    away_m = USUAL_STRIDE * height_m * (1.0 if camera.view == "rear" else -1.0)
    ankles_px = np.array([[(drive.x_px, drive.y_px), (lead.x_px, lead.y_px)]]) - setup.middle_px
    (drive_m, lead_m) = setup.camera.to_plane(ankles_px, np.array([[0.0, away_m]]))[0]
    off_m = float(setup.field_m(lead_m - drive_m)[1]) - USUAL_ACROSS_M
    if abs(off_m) <= MAX_OFF_M:
        return None
    sine = setup.across[1] * off_m / away_m
    return abs(scale.yaw_deg + math.degrees(math.asin(min(1.0, max(-1.0, sine)))))
