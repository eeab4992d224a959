"""Metrics of the ball in flight, from its positions after release."""

from __future__ import annotations

from typing import Any

from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.vocabulary.views import SIDE_VIEWS

_SHARED: dict[str, Any] = {
    "phase": "ball", "kind": "ball", "events": ("release",), "landmarks": ("ball",),
    "views": SIDE_VIEWS, "measure": None, "needs_scale": True, "min_rate_hz": 24.0,
}  # fmt: skip

BALL_METRICS: tuple[MetricSpec, ...] = (
    MetricSpec(
        key="ball_speed_measured", name="Ball speed, from the clip", unit="m/s", decimals=1,
        definition="speed at which the ball leaves the hand: a line through its positions after "
        "release, gravity and the air's drag taken off",
        meaning="the result of the throw, without a radar gun",
        limit="as right as the scale and the capture rate; how far the ball is to the side of the "
        "plane is taken as usual, ± 0.4 m",
        source="common practice; drag after Smith & Sciacchitano 2022, Appl Sci 12:1416",
        more="faster", less="slower", twin="ball_speed", useful_u=2.5, **_SHARED,
    ),
    MetricSpec(
        key="ball_release_height", name="Height of the ball at release", unit="m", decimals=2,
        definition="height of the ball's path at release above the middle of the drive foot at leg "
        "lift",
        meaning="from how high the ball comes",
        limit="above the rubber, not above the plate",
        source="common practice",
        more="higher", less="lower", projection_u={"": 0.01}, **_SHARED,
    ),
    MetricSpec(
        key="ball_launch_angle", name="Launch angle of the ball", unit="deg", decimals=1,
        definition="angle of the ball's path against the level at release, upward positive",
        meaning="whether it starts downhill",
        limit="needs the camera's level",
        source="common practice",
        more="more upward", less="more downward", **_SHARED,
    ),
)  # fmt: skip
