from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.cameras.pinhole import PinholeCamera, axes_of
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.model.delivery import Mark
from deliverylab.core.synthetic.field_filming import FieldCare, Phone
from deliverylab.core.workflow.space_scale import solved_scale
from tests.core.workflow.two_phones import solved_two_phones, two_phone_delivery

replace = msgspec.structs.replace
COVARIANCE = np.diag(np.array([0.005, 0.003, 0.004, 0.05, 0.05, 0.02, 0.01]) ** 2)


def standing(azimuth_deg, place, *, roll_deg=0.0):
    return PinholeCamera(
        position_m=np.array(place, dtype=float),
        axes=axes_of(*np.radians([azimuth_deg, 0.0, roll_deg])),
        focal_px=1500.0,
        size_px=(1920, 1080),
    )


def planar_m(scale, camera, point_m, view="open-side"):
    """Return where the planar scale puts a point of its plane, relative to the rubber."""
    delivery = solved_two_phones().phones.delivery
    model = replace(delivery.cameras[0], view=view, scale=scale)
    setup = Setup.of(replace(delivery, cameras=(model,)), model, scale)
    places = np.stack([camera.project(np.array(point_m)), np.array(scale.rubber)])
    plane = setup.camera.to_plane((places - setup.middle_px)[None], np.zeros((1, 2)))[0]
    return plane[0] - plane[1]


@pytest.mark.parametrize("yaw_deg", [-20.0, 0.0, 15.0])
def test_points_of_the_plane_come_out_where_they_are(yaw_deg):
    camera = standing(90.0 + yaw_deg, (0.8 + 0.1 * yaw_deg, -6.0, 1.1), roll_deg=3.0)
    scale = solved_scale(camera, COVARIANCE, "open-side", "right")
    assert scale.is_solved
    assert scale.yaw_deg == pytest.approx(yaw_deg)
    assert scale.distance_m == pytest.approx(6.0 / np.cos(np.radians(yaw_deg)))
    for x, z in ((0.0, 1.5), (1.5, 0.3), (0.7, 1.0)):
        across, up = planar_m(scale, camera, (x, 0.0, z))
        assert abs(across) == pytest.approx(x, abs=1e-4)
        assert up == pytest.approx(z, abs=1e-4)


def test_u_follows_from_the_covariance():
    camera = standing(100.0, (1.5, -6.0, 1.1))
    scale = solved_scale(camera, COVARIANCE, "open-side", "right")
    assert scale.u_yaw_deg == pytest.approx(np.degrees(0.005))
    assert scale.u_distance_m == pytest.approx(0.05 / np.cos(np.radians(10.0)), rel=0.02)
    # the focal length to 1 %, the distance to 0.05 of 6 m, and the turn
    assert scale.u_length_m / scale.length_m == pytest.approx(np.hypot(0.01, 0.05 / 6.0), rel=0.02)


def test_a_camera_that_looks_along_the_plane_gives_none():
    along = standing(0.0, (-6.0, 0.0, 1.1))
    assert solved_scale(along, COVARIANCE, "open-side", "right") is None
    assert solved_scale(along, COVARIANCE, "top", "right") is None


def test_a_side_camera_twelve_degrees_off_square_measures_tilt_as_if_it_were_square():
    errors = {"solved": [], "taken for square": []}
    for seed in range(4):
        care = FieldCare(placing_px=0.5, bias_m=1e-4, yaw_deg=0.01, level_deg=1.0)
        phones = (Phone(view="open-side", turn_deg=12.0), Phone(view="rear"))
        filmed = two_phone_delivery(seed, phones=phones, care=care)
        camera, event_s = filmed.delivery.cameras[0], filmed.truth.events["release"]
        scale = solved_scale(
            filmed.cameras[0], COVARIANCE, camera.view, filmed.delivery.athlete.hand
        )
        true_m = filmed.truth.motion.positions_at(np.array([event_s]))
        middle = {
            part: 0.5 * (true_m[f"left_{part}"] + true_m[f"right_{part}"])[0]
            for part in ("shoulder", "hip")
        }
        trunk = middle["shoulder"] - middle["hip"]
        truth_deg = np.degrees(np.arctan2(trunk[0], trunk[2]))
        for name, yaw_deg in (("solved", scale.yaw_deg), ("taken for square", 0.0)):
            model = replace(
                camera,
                scale=replace(scale, yaw_deg=yaw_deg),
                marks={"release": Mark(time_s=float(event_s - filmed.starts_s[0]), u_s=1e-5)},
            )
            results = evaluate(replace(filmed.delivery, cameras=(model,)))
            (tilt,) = (
                each
                for each in results
                if (each.metric, each.event) == ("trunk_forward_tilt", "release")
            )
            errors[name].append(tilt.value - truth_deg)
    rms = {name: np.sqrt(np.mean(np.square(values))) for name, values in errors.items()}
    # 0.6° and 4.9° over these four
    assert rms["solved"] < 1.2
    assert rms["taken for square"] > 4.0
