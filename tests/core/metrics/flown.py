"""Cameras over the field plane with a ball of known flight, placed exactly."""

from __future__ import annotations

import numpy as np

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.workflow.ball import ball_search

TARGET_M = (1.5, 0.0)
DISTANCE_M = 12.0


def flown(
    places_m,
    timing,
    frames,
    *,
    view="open-side",
    release_s=0.1,
    u_px=0.5,
    radar_m_s=None,
    stated_scale=1.0,
    **scale,
):
    """Return a delivery whose ball is at these places of the field, shape (n, 3), m, in these frames.

    `stated_scale` misstates the scale's length by a factor.
    """
    pinhole = camera_for_view(view, "right", distance_m=DISTANCE_M, target_m=TARGET_M)
    xy_px = pinhole.project(np.asarray(places_m, dtype=float))
    right = pinhole.axes[0]
    middle = np.array([*TARGET_M, 0.3])
    a, b = pinhole.project(np.stack((middle - right, middle + right)))
    camera = Camera(
        name="main", view=view, width_px=pinhole.size_px[0], height_px=pinhole.size_px[1],
        timing=timing,
        scale=PlanarScale(
            a=Point(*a.tolist()), b=Point(*b.tolist()), length_m=2.0 * stated_scale,
            distance_m=DISTANCE_M, **({"u_yaw_deg": 0.5} | scale),
        ),
        marks={"release": Mark(time_s=release_s)},
        tracks={
            "ball": Track.of(
                (int(f), Position(x, y, u_px)) for f, (x, y) in zip(frames, xy_px.tolist(), strict=True)
            )
        },
    )  # fmt: skip
    athlete = Athlete(name="Ana", hand="right", height_m=1.8)
    return Delivery(name="Ana 1", athlete=athlete, cameras=(camera,), ball_speed_m_s=radar_m_s)


def thrown_m(since_s, *, speed_m_s=38.0, arm_side_m=0.5, drag_per_m=0.0, up_m_s=-1.0):
    """Return the ball thrown at the plate's middle, shape (n, 3), m; drag along its way."""
    t = np.asarray(since_s, dtype=float)
    direction = np.array([1.0, arm_side_m / 16.1, up_m_s / speed_m_s])
    direction /= np.linalg.norm(direction)
    way = speed_m_s * t if drag_per_m == 0.0 else np.log1p(drag_per_m * speed_m_s * t) / drag_per_m
    start = np.array([0.2, -arm_side_m, 1.8])
    return start + way[:, None] * direction - np.outer(0.5 * 9.80665 * t**2, [0.0, 0.0, 1.0])


def even(n_frames, rate, capture_hz=None):
    """Return an even time base."""
    return Timing(n_frames=n_frames, stored_rate=str(rate), capture_rate_hz=capture_hz)


def discs(delivery, n_frames):
    """Draw pictures with a bright disc where the ball is, as large as it is."""
    camera = delivery.cameras[0]
    diameter_px = ball_search(delivery, camera).diameter_px
    y, x = np.mgrid[0 : camera.height_px, 0 : camera.width_px]
    pictures = []
    for frame in range(n_frames):
        picture = np.full((camera.height_px, camera.width_px, 3), 70, dtype=np.uint8)
        place = camera.track("ball").at(frame)
        if place is not None:
            off = np.hypot(x - place.x_px, y - place.y_px)
            cover = np.clip(0.5 * diameter_px + 0.5 - off, 0.0, 1.0)
            picture += (160.0 * cover[..., None]).astype(np.uint8)
        pictures.append(picture)
    return pictures
