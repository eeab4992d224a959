"""Lengths of the rule book, measured in pictures: one camera and a plane, or two cameras and space."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.control import home_plate, places_of, rubber
from deliverylab.core.cameras.homography import fit_homography
from deliverylab.core.cameras.pinhole import PinholeCamera, axes_of
from deliverylab.core.cameras.triangulate import triangulate
from deliverylab.core.vocabulary.field import BY_KEY

# 43 ft, and 60 ft 6 in with the rubber 10 in above home plate: softball; Official Baseball Rules 2.01
SOFTBALL_M, BASEBALL_M, MOUND_M = 43 * 0.3048, 60.5 * 0.3048, 10 * 0.0254


def camera(place_m, azimuth_deg, pitch_deg):
    return PinholeCamera(
        position_m=np.array(place_m),
        axes=axes_of(np.radians(azimuth_deg), np.radians(pitch_deg), 0.0),
        focal_px=1500.0,
        size_px=(1920, 1080),
    )


BEHIND, BESIDE = camera((-6.0, 1.0, 2.5), -4.0, -9.0), camera((8.0, -14.0, 2.0), 88.0, -6.0)


def field(key):
    size = BY_KEY[key]
    return places_of(rubber(size)) | places_of(home_plate(size))


def on_the_plane(homography, place_px):
    x, y, w = np.linalg.solve(homography, [*place_px, 1.0])
    return np.array([x, y]) / w


def test_pitching_distance_on_a_flat_field_by_one_picture():
    places = field("softball-43")
    known = ["rubber_front_left", "rubber_front_right", "plate_front_left", "plate_front_right"]
    at = np.array([places[key] for key in known])
    homography = fit_homography(at[:, :2], BEHIND.project(at))
    rear = on_the_plane(homography, BEHIND.project(places["plate_rear"]))
    assert rear == pytest.approx([SOFTBALL_M, 0.0], abs=1e-6)


def test_a_plane_is_wrong_where_the_foot_lands_on_the_slope():
    # 1 inch a foot from 6 inches ahead of the rubber: 1.5 m ahead the ground is 0.112 m lower
    slope_m = (1.5 - 0.1524) / 12.0
    assert slope_m == pytest.approx(0.112, abs=5e-4)
    corners = np.array([(x, y, 0.0) for x in (-0.1524, 0.0) for y in (-0.3048, 0.3048)])
    homography = fit_homography(corners[:, :2], BEHIND.project(corners))
    seen = on_the_plane(homography, BEHIND.project([1.5, 0.0, -slope_m]))
    # the line of sight goes through the plane before it reaches the ground
    nearer_m = slope_m * (1.5 + 6.0) / (2.5 + slope_m)
    assert seen[0] == pytest.approx(1.5 - nearer_m, abs=1e-6)
    assert nearer_m > 0.3


def test_pitching_distance_and_mound_by_two_pictures():
    places = field("baseball")
    keys = ["rubber_front_left", "rubber_front_right", "plate_rear"]
    at = np.array([places[key] for key in keys])
    seen = np.stack([BEHIND.project(at), BESIDE.project(at)])
    left, right, rear = triangulate((BEHIND, BESIDE), seen, np.array(1.0)).points_m
    assert np.linalg.norm(left - right) == pytest.approx(24 * 0.0254, abs=1e-6)
    along, across, up = rear - 0.5 * (left + right)
    assert (along, across) == pytest.approx((BASEBALL_M, 0.0), abs=1e-6)
    assert pytest.approx(18.4404, abs=5e-5) == BASEBALL_M
    assert up == pytest.approx(-MOUND_M, abs=1e-6)
