"""The slope at an event, against the figure's own."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.inputs import event_positions
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.metrics.slopes import slope_per_s


def slope(filmed, key, event):
    delivery, camera = filmed.delivery, filmed.delivery.cameras[0]
    setup = Sight(delivery, camera).setup
    positions = event_positions(delivery, camera, event)
    return slope_per_s(BY_KEY[key], positions, setup, BY_KEY[key].landmarks)


def test_it_is_that_of_the_figure(side):
    spec = BY_KEY["trunk_forward_tilt"]
    at_s = side.truth.events["release"]
    before, after = spec.measure(side.true_pose(np.array([at_s - 1e-3, at_s + 1e-3])))
    true_slope = (after - before) / 2e-3
    # One frame to each side, seen in one plane: within a fifth.
    assert slope(side, "trunk_forward_tilt", "release") == pytest.approx(true_slope, rel=0.2)


def test_without_neighbours_there_is_none(film):
    lonely = film(only_frames=lambda truth: [round(truth.events["release"] * 240)])
    assert slope(lonely, "trunk_forward_tilt", "release") is None
