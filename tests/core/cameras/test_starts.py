from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.control import places_of, rubber, standard_field
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.starts import camera_from_points, nominal_camera
from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.vocabulary.field import BY_KEY

CAMERA = camera_for_view("rear", "right", distance_m=7.0, focal_px=1400.0, yaw_deg=5.0)
PLACES = {k: np.array(v) for k, v in places_of(standard_field(BY_KEY["baseball"])).items()}


def set_up(keys, **changes):
    clicks = {key: tuple(CAMERA.project(PLACES[key]).tolist()) for key in keys}
    known = {"name": "rear", "azimuth_deg": 5.0, "size_px": (1280, 720), "focal_px": 1400.0}
    return CameraSetUp(**{**known, "clicks_px": clicks, **changes})


def test_a_camera_that_stands_as_meant_is_found_at_once():
    found = nominal_camera(set_up(PLACES), PLACES)
    assert found.parameters == pytest.approx(CAMERA.parameters, abs=1e-9)


def test_the_body_s_size_tells_the_distance_where_the_rubber_alone_is_clicked():
    keys = [point.key for point in rubber(BY_KEY["baseball"])]
    # the focal length is stated 20 % too long: the rubber puts the camera too far away
    far = nominal_camera(set_up(keys, focal_px=1680.0), PLACES)
    held = nominal_camera(set_up(keys, focal_px=1680.0), PLACES, distance_m=6.4)
    assert np.linalg.norm(held.position_m - CAMERA.position_m) < np.linalg.norm(
        far.position_m - CAMERA.position_m
    )
    one = nominal_camera(set_up(keys[:1]), PLACES, distance_m=6.4)
    assert np.linalg.norm(one.position_m - CAMERA.position_m) < 0.7


def test_points_alone_find_a_camera_that_stands_elsewhere():
    found = camera_from_points(set_up(PLACES, azimuth_deg=90.0), PLACES)
    assert found is not None
    assert found.parameters == pytest.approx(CAMERA.parameters, abs=1e-3)
    assert camera_from_points(set_up(list(PLACES)[:5]), PLACES) is None


def test_too_few_clicks_are_refused():
    with pytest.raises(InputValueError, match="too few points"):
        nominal_camera(set_up([]), PLACES)
    with pytest.raises(InputValueError, match="too few points"):
        nominal_camera(set_up(["cone_left"]), PLACES)
