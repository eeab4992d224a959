"""Deliveries of known truth as they would be placed by hand: exact positions, stated camera."""

from __future__ import annotations

import numpy as np

from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import ORIGINS, Track
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

RATE_HZ = 240
TARGET_M = (0.9, 0.0)


def filmed(
    name: str,
    spec: DeliverySpec,
    *,
    view: str = "open-side",
    distance_m: float = 10.0,
    yaw_deg: float = 0.0,
    u_px: float = 1.0,
    is_exact_camera: bool = False,
) -> Delivery:
    """Film a drawn delivery and place all landmarks exactly, on every frame.

    Parameters
    ----------
    u_px : float
        What is stated as the standard uncertainty of each placed position.
    is_exact_camera : bool
        State scale, level, yaw and distance without uncertainty.
    """
    drawn = build_delivery(spec, RATE_HZ)
    pinhole = camera_for_view(
        view, spec.hand, distance_m=distance_m, yaw_deg=yaw_deg, target_m=TARGET_M
    )
    places_px = pinhole.project(drawn.stacked_m())
    n_frames = len(drawn.times_s)
    tracks = {
        key: track(np.arange(n_frames), places_px[:, column], u_px)
        for column, key in enumerate(LANDMARK_KEYS)
        if np.all(np.isfinite(places_px[:, column]))
    }
    camera = Camera(
        name="main",
        view=view,
        width_px=pinhole.size_px[0],
        height_px=pinhole.size_px[1],
        timing=Timing(n_frames=n_frames, stored_rate=str(RATE_HZ)),
        scale=scale_of(pinhole, view, spec, distance_m, yaw_deg, is_exact=is_exact_camera),
        # on the nearest frame, as marks are placed
        marks={
            event: Mark(time_s=round(time_s * RATE_HZ) / RATE_HZ)
            for event, time_s in drawn.events.items()
        },
        tracks=tracks,
    )
    athlete = Athlete(name=name, hand=spec.hand, height_m=spec.height_m, sex=spec.sex)
    return Delivery(name=name, athlete=athlete, cameras=(camera,))


def track(frames: np.ndarray, xy_px: np.ndarray, u_px: float) -> Track:
    """Return a track of placed positions."""
    return Track(
        np.asarray(frames, dtype=np.int64),
        np.array(xy_px, dtype=np.float64),
        np.full(len(frames), u_px),
        np.full(len(frames), ORIGINS.index("placed"), dtype=np.uint8),
    )


def scale_of(
    pinhole: PinholeCamera,
    view: str,
    spec: DeliverySpec,
    distance_m: float,
    yaw_deg: float,
    *,
    is_exact: bool,
) -> PlanarScale:
    """State the scale from a metre stick that lies in the plane of motion."""
    right = camera_for_view(view, spec.hand, distance_m=distance_m, target_m=TARGET_M).axes[0]
    middle = np.array([*TARGET_M, 0.3])
    a, b = pinhole.project(np.stack((middle - 0.5 * right, middle + 0.5 * right)))
    exact = (
        {
            "u_length_m": 0.0, "u_point_px": 0.0, "u_vertical_deg": 0.0,
            "u_yaw_deg": 0.0, "u_distance_m": 0.0,
        }
        if is_exact
        else {}
    )  # fmt: skip
    return PlanarScale(
        a=Point(*a.tolist()),
        b=Point(*b.tolist()),
        length_m=1.0,
        distance_m=distance_m,
        yaw_deg=yaw_deg,
        **exact,
    )
