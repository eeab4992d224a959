from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.store.c3d import write_c3d
from deliverylab.core.store.trajectories import NamedInstant, Trajectories


@pytest.fixture
def thrown():
    rng = np.random.default_rng(3)
    points = rng.normal(0.0, 0.8, (240, 4, 3))
    residuals = np.abs(rng.normal(0.0, 0.004, (240, 4)))
    points[20:31, 2], residuals[20:31, 2] = np.nan, np.nan
    return Trajectories(
        labels=("neck", "left_wrist", "right_wrist", "ball"),
        rate_hz=239.76,
        points_m=points,
        residuals_m=residuals,
        start_s=0.4,
        descriptions=("base of the neck", "", "centre of the joint", "centre"),
        events=(
            NamedInstant("leg_lift", 0.1),
            NamedInstant("foot_contact", 0.6, "first touch of the front foot"),
            NamedInstant("release", 0.75),
        ),
        axes=("origin at the rubber", "X to the plate, Y to the left, Z up"),
    )


@pytest.fixture
def c3d_path(thrown, tmp_path):
    return write_c3d(tmp_path / "thrown.c3d", thrown)
