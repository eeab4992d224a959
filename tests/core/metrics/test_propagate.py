"""Parts of u against Monte Carlo, and shared inputs that cancel."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.planar import PlanarCamera
from deliverylab.core.metrics import measures
from deliverylab.core.metrics.depths import expected_depths, usual_depths
from deliverylab.core.metrics.inputs import event_positions
from deliverylab.core.metrics.pose import Pose
from deliverylab.core.metrics.pose_batch import nominal_pose, pose_batch
from deliverylab.core.metrics.propagate import measure_one, measure_two
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS

N_REPEATS = 4000
# Spread of a standard deviation from n repeats is 1/sqrt(2n) = 1.1 %; four of those, and the
# second-order part that a first-order u leaves out.
AGREEMENT = 0.06


def setup_at(filmed, event):
    delivery, camera = filmed.delivery, filmed.delivery.cameras[0]
    positions = event_positions(delivery, camera, event)
    return positions, Sight(delivery, camera).setup


def batch_at(filmed, event):
    positions, setup = setup_at(filmed, event)
    return pose_batch(positions, setup)


@pytest.mark.parametrize(
    ("measure", "event"),
    [
        (measures.lead_knee_flexion, "foot_contact"),
        (measures.trunk_forward_tilt, "release"),
        (measures.com_ahead_of_drive_ankle, "leg_lift"),
    ],
)
def test_the_placing_part_is_the_spread_of_repeated_placing(side, measure, event):
    positions, setup = setup_at(side, event)
    rng = np.random.default_rng(3)
    places = np.array([(s.x_px, s.y_px) if s else (np.nan, np.nan) for s in positions.seen])
    u_px = np.array([s.u_px if s else np.nan for s in positions.seen])
    noisy = places + rng.normal(size=(N_REPEATS, *places.shape)) * u_px[:, None]
    pose = nominal_pose(noisy, setup, usual_depths(event, setup))
    spread = float(np.std(measure(pose)))
    assert measure_one(measure, batch_at(side, event)).placing == pytest.approx(
        spread, rel=AGREEMENT
    )


def test_the_depth_part_holds_perspective_and_uncertain_yaw(film):
    # At a square camera the depth does nothing for a limb in the middle of the picture except
    # through the yaw's own uncertainty, so it must grow with it.
    sure, unsure = (
        measure_one(measures.trunk_forward_tilt, batch_at(film(u_yaw_deg=u), "release")).depth
        for u in (0.1, 6.0)
    )
    assert unsure > 1.5 * sure


def test_the_scale_does_not_touch_an_angle(side):
    parts = measure_one(measures.lead_knee_flexion, batch_at(side, "release")).shared
    assert parts["scale length"] == pytest.approx(0.0, abs=1e-3)
    assert parts["level of the camera"] == pytest.approx(0.0, abs=1e-9)


def test_the_level_of_the_camera_goes_straight_into_a_tilt(side):
    parts = measure_one(measures.trunk_forward_tilt, batch_at(side, "release")).shared
    assert parts["level of the camera"] == pytest.approx(0.3, rel=0.02)


def test_what_two_events_share_cancels_in_their_difference(side):
    start, end = batch_at(side, "foot_contact"), batch_at(side, "release")

    def straightening(a, b):
        return measures.trunk_forward_tilt(b) - measures.trunk_forward_tilt(a)

    parts = measure_two(straightening, start, end).shared
    # Each tilt carries 0.3 degrees of level; their difference carries almost none.
    assert parts["level of the camera"] < 0.02


def test_the_relative_u_of_the_scale_length_is_that_of_the_stride(side):
    value = measure_two(
        measures.stride_length_m, batch_at(side, "leg_lift"), batch_at(side, "foot_plant")
    )
    # 5 mm on a ruler of 2.5 m.
    assert value.shared["scale length"] == pytest.approx(value.value * 0.005 / 2.5, rel=0.02)


def test_depth_and_yaw_together_are_the_spread_of_both(film):
    # A leaning trunk before a camera square to 3°: neither depth nor yaw alone shows what both do.
    positions, setup = setup_at(film(u_yaw_deg=3.0), "release")
    batch = pose_batch(positions, setup)
    rng = np.random.default_rng(5)
    camera = setup.camera
    offset_px = np.array([(s.x_px, s.y_px) if s else (np.nan, np.nan) for s in positions.seen])
    offset_px = (offset_px - setup.middle_px)[None]
    placed = [column for column, seen in enumerate(positions.seen) if seen is not None]
    depths = expected_depths(tuple(ROLE_KEYS[c] for c in placed), "release", setup)
    usual, draws = np.zeros((2, N_REPEATS, len(ROLE_KEYS)))
    usual[:, placed] = depths.mean_m
    draws[:, placed] = depths.mean_m + rng.normal(size=(N_REPEATS, batch.n_depths)) @ depths.steps_m
    turned = PlanarCamera(
        camera.ruler_px, camera.ruler_m, camera.vertical_deg,
        rng.normal(0.0, 3.0, N_REPEATS), camera.nearness_per_m,
    )  # fmt: skip
    with_depth, without = (
        trunk_tilt(setup, turned.to_plane(np.repeat(offset_px, N_REPEATS, axis=0), depth_m))
        for depth_m in (draws, usual)
    )
    spread = float(np.std(with_depth - without))
    stated = measure_one(measures.trunk_forward_tilt, batch).depth
    assert stated == pytest.approx(spread, rel=AGREEMENT)


def trunk_tilt(setup, plane_m):
    xyz_m = setup.field_m(plane_m)
    points = {role: xyz_m[:, column] for column, role in enumerate(ROLE_KEYS)}
    return measures.trunk_forward_tilt(Pose(points, np.array(np.nan)))
