"""Places in an event's picture: the points themselves, the vertical, the mass centre, metres."""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.body_mass import mass_centre
from deliverylab.core.metrics.figure_places import FigurePlaces, between, shifted
from deliverylab.core.model.scale import Point


def test_midpoints_lie_midway(side):
    places = FigurePlaces(side.delivery, side.delivery.cameras[0], "release")
    hips = [places.at(f"{leg}_hip") for leg in ("drive", "lead")]
    assert places.at("mid_hip") == between(*hips, 0.5)
    assert places.at("lead_knee").x_px != places.at("drive_knee").x_px


def test_what_is_not_placed_has_no_place(side):
    camera = replace(side.delivery.cameras[0], tracks={})
    places = FigurePlaces(side.delivery, camera, "release")
    assert places.at("lead_knee") is None
    assert places.at("mid_hip") is None
    assert places.at("mass_centre") is None
    assert places.earlier("lead_knee", "leg_lift") is None
    with pytest.raises(ValueError, match="not marked"):
        FigurePlaces(side.delivery, replace(camera, marks={}), "release")


def test_the_mass_centre_is_seen_where_it_is(side):
    camera = side.delivery.cameras[0]
    places = FigurePlaces(side.delivery, camera, "leg_lift")
    time_s = float(camera.timing.times_s[places.frame])
    truth_m = mass_centre(side.true_pose(time_s)).reshape(-1)
    ankle_m = side.true_pose(time_s)["drive_ankle"].reshape(-1)
    scale = camera.scale
    px_per_m = math.dist(scale.a, scale.b) / scale.length_m
    seen, ankle = places.at("mass_centre"), places.at("drive_ankle")
    # parts of the body lie up to 0.3 m nearer or farther at 10 m: 3 % of their distance
    assert abs(seen.x_px - ankle.x_px) / px_per_m == pytest.approx(
        abs(truth_m[0] - ankle_m[0]), abs=0.02
    )
    assert (ankle.y_px - seen.y_px) / px_per_m == pytest.approx(truth_m[2] - ankle_m[2], abs=0.03)


def test_a_level_is_reached_along_the_true_vertical(side):
    camera = side.delivery.cameras[0]
    camera = replace(camera, scale=replace(camera.scale, vertical_deg=20.0))
    places = FigurePlaces(side.delivery, camera, "release")
    moved = places.moved_to_level(Point(100.0, 100.0), places.level_of(Point(100.0, 100.0)) + 50.0)
    assert moved == pytest.approx(
        (100.0 + 50.0 * math.sin(math.radians(20.0)), 100.0 - 50.0 * math.cos(math.radians(20.0)))
    )
    assert np.dot(places.up, places.right) == pytest.approx(0.0)


def test_ticks_stand_at_whole_steps_of_the_scale(side):
    camera = side.delivery.cameras[0]
    places = FigurePlaces(side.delivery, camera, "release")
    start, end = camera.scale.a, camera.scale.b
    ticks = places.ticks(start, end, camera.scale.length_m / 4.0 * 0.999)
    assert [math.dist(start, tick) / math.dist(start, end) for tick in ticks] == pytest.approx(
        [0.25, 0.5, 0.75, 1.0], abs=2e-3
    )
    assert places.ticks(start, end, 0.0) == ()
    unscaled = FigurePlaces(side.delivery, replace(camera, scale=None), "release")
    assert unscaled.ticks(start, end, 0.1) == ()


def test_shifted_goes_along_a_direction():
    assert shifted(Point(1.0, 2.0), Point(0.0, -1.0), 3.0) == Point(1.0, -1.0)
