"""Deliveries of known truth, filmed by a known camera, and the truth of every metric."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.model.track import Track
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.filming import FilmingSetUp
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.workflow.trust_delivery import Care, simulated_delivery
from deliverylab.core.workflow.trust_truth import Truth


@dataclass(frozen=True)
class Filmed:
    """A delivery as filmed, with the figure and the truth of its metrics."""

    delivery: object
    truth: object

    def true_value(self, spec, event):
        """Return the metric from the three-dimensional truth, by the same definition."""
        return Truth(self.truth).value(spec, event)

    def true_pose(self, time_s):
        return Truth(self.truth).pose(time_s)

    def true_speed(self, times_s):
        return Truth(self.truth).forward_speed_m_s(times_s)


def film_delivery(
    spec=None, *, view="open-side", distance_m=10.0, yaw_deg=0.0, rate_hz=240, noise_px=0.0,
    u_px=None, seed=0, only_frames=None, u_yaw_deg=1.0,
):  # fmt: skip
    """Return a delivery of known truth as seen by a known camera, all that is stated being true."""
    figure = build_delivery(spec or DeliverySpec(), rate_hz)
    set_up = FilmingSetUp(view=view, distance_m=distance_m, yaw_deg=yaw_deg, rate_hz=rate_hz)
    care = Care(is_exact=True, u_yaw_deg=u_yaw_deg, placing_px=u_px)
    kept = None if only_frames is None else set(only_frames(figure))
    delivery = simulated_delivery(figure, set_up, care, frames=kept).delivery
    if noise_px:
        delivery = _shaken(delivery, noise_px, np.random.default_rng(seed))
    return Filmed(delivery, figure)


def _shaken(delivery, noise_px, rng):
    camera = delivery.cameras[0]
    tracks = {
        key: Track(t.frames, t.xy_px + rng.normal(0.0, noise_px, t.xy_px.shape), t.u_px, t.origins)
        for key, t in camera.tracks.items()
    }
    return replace(delivery, cameras=(replace(camera, tracks=tracks),))


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
