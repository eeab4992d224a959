from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.lift import Link, lift_chain, lift_end
from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.camera import camera_for_view

FAR_M = 1e5
CAMERA = camera_for_view("open-side", "right", distance_m=6.0, focal_px=1500.0)


def far_camera(scale_px_m):
    """Stand so far away that the picture is a plain scaling, the middle of it at the origin."""
    return PinholeCamera(
        position_m=np.array([0.0, -FAR_M, 0.0]),
        axes=np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]]),
        focal_px=scale_px_m * FAR_M,
        size_px=(1, 1),
    )


@pytest.mark.parametrize(
    ("start_px", "end_px", "length_m", "scale", "depth_m"),
    [
        # worked from dZ = sqrt(l^2 - (du^2 + dv^2) / s^2), Taylor 2000
        ((0.0, 0.0), (60.0, 80.0), 2.0, 100.0, 1.732051),
        ((0.0, 0.0), (30.0, 40.0), 1.3, 100.0, 1.2),
        ((100.0, 200.0), (130.0, 240.0), 0.45, 120.0, 0.169967),
    ],
)
@pytest.mark.parametrize("is_farther", [True, False])
def test_known_lengths_from_far_away(start_px, end_px, length_m, scale, depth_m, is_farther):
    camera = far_camera(scale)
    start = np.array([[start_px[0] / scale, 0.0, -start_px[1] / scale]])
    end, is_bad = lift_end(camera, start, np.array([end_px]), length_m, is_farther=is_farther)
    # the camera is 100 km away, not infinitely far
    assert end[0, 1] == pytest.approx(depth_m if is_farther else -depth_m, abs=1e-4)
    assert not is_bad.any()


def test_a_limb_seen_longer_than_it_is_is_impossible():
    camera = far_camera(100.0)
    _, is_bad = lift_end(camera, np.zeros((1, 3)), np.array([[60.0, 80.0]]), 0.9, is_farther=True)
    assert is_bad.all()


ARM = {
    "shoulder": np.array([0.6, 0.1, 1.4]),
    "elbow": np.array([0.5, -0.1, 1.5]),
    "wrist": np.array([0.6, -0.05, 1.75]),
}
UPPER, FORE = (
    float(np.linalg.norm(ARM[a] - ARM[b])) for a, b in (("shoulder", "elbow"), ("elbow", "wrist"))
)


def links(upper=UPPER, fore=FORE, u=0.01):
    # the camera stands on the closed side of the arm: smaller Y is nearer
    return [
        Link(start="shoulder", end="elbow", length_m=upper, u_length_m=u, is_farther=False),
        Link(start="elbow", end="wrist", length_m=fore, u_length_m=u, is_farther=True),
    ]


def seen(n=1):
    return {key: np.tile(CAMERA.project(place), (n, 1)) for key, place in ARM.items()}


def test_an_exact_arm_is_lifted_to_where_it_is():
    lifted = lift_chain(CAMERA, seen(), links(), ARM["shoulder"][None], u_px=1.0, u_root_m=0.02)
    assert set(lifted) == {"elbow", "wrist"}
    for key, point in lifted.items():
        assert point.place_m[0] == pytest.approx(ARM[key], abs=1e-9)


def test_what_follows_an_impossible_limb_is_impossible_and_gaps_stay_gaps():
    short = lift_chain(
        CAMERA, seen(), links(upper=0.1), ARM["shoulder"][None], u_px=1.0, u_root_m=0.02
    )
    assert short["elbow"].is_impossible.all()
    assert short["wrist"].is_impossible.all()
    assert np.isnan(short["wrist"].place_m).all()
    gaps = seen()
    gaps["elbow"] = np.full((1, 2), np.nan)
    gone = lift_chain(CAMERA, gaps, links(), ARM["shoulder"][None], u_px=1.0, u_root_m=0.02)
    assert np.isnan(gone["wrist"].place_m).all()
    with pytest.raises(InputValueError, match="not lifted yet"):
        lift_chain(
            CAMERA,
            seen(),
            links()[::-1][:1] + links()[:1],
            ARM["elbow"][None],
            u_px=1.0,
            u_root_m=0.02,
        )


def test_stated_u_covers_the_truth():
    n = 400
    rng = np.random.default_rng(0)
    inside, apart = [], []
    for _ in range(n):
        places = {key: value + rng.normal(0.0, 2.0, (1, 2)) for key, value in seen().items()}
        root = ARM["shoulder"] + CAMERA.axes[2] * rng.normal(0.0, 0.02)
        lengths = links(UPPER + rng.normal(0.0, 0.01), FORE + rng.normal(0.0, 0.01))
        point = lift_chain(CAMERA, places, lengths, root[None], u_px=2.0, u_root_m=0.02)["wrist"]
        if point.is_impossible[0]:
            continue
        error = point.place_m[0] - ARM["wrist"]
        depth = error @ CAMERA.axes[2]
        u = np.sqrt(CAMERA.axes[2] @ point.covariance_m2[0] @ CAMERA.axes[2])
        inside.append(abs(depth) < 2.0 * u)
        apart.append(depth)
    # the larger of two changes is kept, so the interval is wide rather than narrow
    assert 0.93 <= np.mean(inside) <= 1.0
    assert np.std(apart) > 0.02
