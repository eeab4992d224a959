"""Axes, mirroring and the order of the stepped rows."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.cameras.planar import PlanarCamera
from deliverylab.core.metrics.inputs import event_positions
from deliverylab.core.metrics.pose_batch import (
    N_SHARED,
    SHARED_INPUTS,
    pose_batch,
    relative_scale_u,
)
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.model.scale import Point
from deliverylab.core.synthetic.spec import DeliverySpec

replace = msgspec.structs.replace


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("view", ["open-side", "closed-side", "rear", "front"])
def test_every_view_gives_the_same_pose_as_the_truth(film, view, hand):
    filmed = film(DeliverySpec(hand=hand), view=view, distance_m=40.0)
    delivery, camera = filmed.delivery, filmed.delivery.cameras[0]
    positions = event_positions(delivery, camera, "release")
    setup = Sight(delivery, camera).setup
    pose = pose_batch(positions, setup).pose
    truth = filmed.true_pose(filmed.truth.events["release"])
    axis = setup.across[0]
    for coordinate in (axis, 2):
        seen = pose["throwing_hand"][0] - pose["lead_ankle"][0]
        true = (truth["throwing_hand"] - truth["lead_ankle"])[0]
        # From 40 m perspective is 1.5 % for a body 0.6 m off the plane.
        assert seen[coordinate] == pytest.approx(true[coordinate], abs=0.06)


def test_rows_step_one_input_each(side):
    positions = event_positions(side.delivery, side.delivery.cameras[0], "release")
    setup = Sight(side.delivery, side.delivery.cameras[0]).setup
    batch = pose_batch(positions, setup)
    n_placed = sum(seen is not None for seen in positions.seen)
    assert batch.n_points == 2 * n_placed
    assert batch.n_depths == n_placed
    n_rows = 1 + 2 * N_SHARED + 2 * batch.n_points + 2 * batch.n_depths
    assert len(batch.pose["lead_knee"]) == n_rows
    # A row of another landmark's placing leaves the knee where it is.
    knee = batch.pose["lead_knee"][batch.own][: batch.n_points]
    moved = np.any(np.abs(knee - batch.pose["lead_knee"][0]) > 1e-12, axis=1)
    assert np.count_nonzero(moved) == 2


def setup_of(filmed, **changes):
    camera = filmed.delivery.cameras[0]
    return Setup.of(filmed.delivery, camera, replace(camera.scale, **changes))


def test_relative_scale_u_joins_click_and_length(side):
    parts = relative_scale_u(setup_of(side), 0.0)
    assert parts["scale length"] == pytest.approx(0.005 / 2.5, rel=1e-3)
    scale = side.delivery.cameras[0].scale
    length_px = scale.b.x_px - scale.a.x_px
    assert parts["scale points"] == pytest.approx(np.sqrt(2.0) / abs(length_px), rel=0.05)


def test_off_the_middle_an_uncertain_yaw_touches_a_speed(side):
    # At a square camera d(dp/da)/dψ = −2κa: 3° and 1.5 m off the middle at 10 m are 1.6 %.
    setup = setup_of(side, u_yaw_deg=3.0)
    assert relative_scale_u(setup, 0.0)["yaw of the camera"] < 1e-4
    expected = 2.0 * 0.1 * 1.5 * np.radians(3.0)
    for forward_m in (1.5, -1.5):
        part = relative_scale_u(setup, forward_m)["yaw of the camera"]
        assert part == pytest.approx(expected, rel=0.02)


def test_a_yaw_stated_with_an_error_is_covered_for_a_level_and_for_an_upright_ruler(film):
    # The body walks a metre across the picture of a camera that stood 10° off square.
    planar = setup_of(film(yaw_deg=10.0)).camera
    for ruler in (((-240.0, 0.0), (240.0, 0.0)), ((0.0, 240.0), (0.0, -240.0))):
        camera = PlanarCamera(np.array([ruler]), *(
            getattr(planar, name) for name in ("ruler_m", "vertical_deg", "yaw_deg", "nearness_per_m")
        ))  # fmt: skip
        ends_px = np.array([[[299.5, 0.0], [300.5, 0.0]]])
        ends_m = camera.to_plane(ends_px, np.zeros(1))[0, :, 0]
        middle_m = float(np.mean(ends_m))
        assert camera.forward_m_per_px(middle_m)[0] == pytest.approx(
            ends_m[1] - ends_m[0], rel=1e-6
        )


def test_the_click_on_the_rubber_is_an_input(side):
    rubber = Point(500.0, 600.0)
    setup = setup_of(side, rubber=rubber)
    positions = event_positions(side.delivery, side.delivery.cameras[0], "leg_lift")
    batch = pose_batch(positions, setup)
    x_m = batch.pose["rubber"][batch.shared][:, 0]
    steps = 0.5 * (x_m[:N_SHARED] - x_m[N_SHARED:])
    # One pixel is 10/2400 m here.
    assert abs(steps[SHARED_INPUTS.index("place of the rubber")]) == pytest.approx(
        10 / 2400, rel=0.01
    )
    assert "rubber" not in pose_batch(positions, setup_of(side)).pose
