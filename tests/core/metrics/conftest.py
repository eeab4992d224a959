"""Deliveries of known truth, filmed by a known camera, and the truth of every metric."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from deliverylab.core.metrics.measures import mass_centre
from deliverylab.core.metrics.pose import Pose
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, ROLE_KEYS, key_for_role

# Two marks in the plane of motion, as far to one side of the picture's middle as to the other.
RULER_M = {
    "side": np.array([[-0.4, 0.0, 0.0], [2.1, 0.0, 0.0]]),
    "end": np.array([[0.0, -0.6, 0.0], [0.0, 0.6, 0.0]]),
}


@dataclass(frozen=True)
class Filmed:
    """A delivery as filmed, with its truth."""

    delivery: Delivery
    truth: object

    def true_value(self, spec, event):
        """Return the metric from the three-dimensional truth, by the same definition."""
        at = self.truth.events
        if spec.kind == "at_event":
            return float(spec.measure(self.true_pose(at[event]))[0])
        if spec.kind == "between_events":
            return float(spec.measure(*(self.true_pose(at[each]) for each in spec.events))[0])
        if spec.kind == "interval":
            return at[spec.events[1]] - at[spec.events[0]]
        if spec.kind == "speed":
            return float(self.true_speed(np.array([at[event]]))[0])
        if spec.kind == "peak_speed":
            start, end = (at[each] for each in spec.events)
            return float(np.max(self.true_speed(np.linspace(start, end, 300))))
        raise AssertionError(spec.kind)

    def true_pose(self, time_s):
        spec = self.truth.spec
        placed = self.truth.motion.positions_at(np.atleast_1d(time_s))
        mirror = np.array([1.0, 1.0 if spec.hand == "right" else -1.0, 1.0])
        points = {role: placed[key_for_role(role, spec.hand)] * mirror for role in ROLE_KEYS}
        return Pose(points, np.array(spec.height_m), {"male": 0.0, "female": 1.0}[spec.sex])

    def true_speed(self, times_s, step_s=1e-3):
        ahead, behind = (
            mass_centre(self.true_pose(times_s + shift))[:, 0] for shift in (step_s, -step_s)
        )
        return (ahead - behind) / (2.0 * step_s)


def film_delivery(
    spec=None, *, view="open-side", distance_m=10.0, yaw_deg=0.0, rate_hz=240, noise_px=0.0,
    u_px=None, seed=0, only_frames=None, u_yaw_deg=1.0,
):  # fmt: skip
    """Return a delivery of known truth as seen by a known camera."""
    spec = spec or DeliverySpec()
    truth = build_delivery(spec, rate_hz)
    is_side = view.endswith("side")
    camera = camera_for_view(
        view, spec.hand, distance_m=distance_m, yaw_deg=yaw_deg,
        target_m=(0.85, 0.0) if is_side else (0.0, 0.0), focal_px=2400.0 * distance_m / 10.0,
        size_px=(1280, 720),
    )  # fmt: skip
    places = camera.project(truth.stacked_m())
    places = places + np.random.default_rng(seed).normal(0.0, noise_px, places.shape)
    frames = range(len(places)) if only_frames is None else only_frames(truth)
    tracks = {
        key: Track.of(
            (frame, Position(*places[frame, column], u_px))
            for frame in frames
            if np.isfinite(places[frame, column]).all()
        )
        for column, key in enumerate(LANDMARK_KEYS)
    }
    ruler_m = RULER_M["side" if is_side else "end"]
    a, b = camera.project(ruler_m)
    scale = PlanarScale(
        a=Point(*a), b=Point(*b), length_m=float(np.linalg.norm(ruler_m[1] - ruler_m[0])),
        distance_m=distance_m, yaw_deg=yaw_deg, u_yaw_deg=u_yaw_deg,
    )  # fmt: skip
    marks = {event: Mark(time_s=time_s) for event, time_s in truth.events.items()}
    camera_record = Camera(
        name="phone", view=view, width_px=1280, height_px=720, scale=scale, marks=marks,
        timing=Timing(n_frames=len(places), stored_rate=str(rate_hz)),
        tracks={key: track for key, track in tracks.items() if len(track)},
    )  # fmt: skip
    athlete = Athlete(name="Figure", hand=spec.hand, height_m=spec.height_m, sex=spec.sex)
    return Filmed(Delivery(name="throw", athlete=athlete, cameras=(camera_record,)), truth)


@pytest.fixture(scope="session")
def film():
    """Return the function that films a figure."""
    return film_delivery


@pytest.fixture(scope="session")
def side(film):
    """Return the published collegiate means filmed square from the open side, 10 m, 240 a second."""
    return film()


@pytest.fixture(scope="session")
def rear(film):
    """Return the same from behind."""
    return film(view="rear")
