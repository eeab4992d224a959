from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.planar import PlanarCamera
from deliverylab.core.numerics.angles import included_angle_deg
from deliverylab.core.synthetic.camera import camera_for_view

VIEWS = ("open-side", "closed-side", "rear", "front")
# The plane through the target: across the line of sight of a square camera.
TARGET_M = (0.9, 0.0)
# Fifteen digits and a scale found by three corrections, stated good to 1e-9 of the ruler.
PLANE_M = 1e-6


def planar(
    ruler_px=((0.0, 0.0), (100.0, 0.0)),
    ruler_m=1.0,
    *,
    vertical_deg=0.0,
    yaw_deg=0.0,
    nearness_per_m=0.0,
):
    """Return a batch of one."""
    return PlanarCamera(
        np.array([ruler_px], dtype=float),
        np.array([ruler_m], dtype=float),
        np.array([vertical_deg], dtype=float),
        np.array([yaw_deg], dtype=float),
        np.array([nearness_per_m], dtype=float),
    )


def right_and_up(view, hand, points_m):
    """Return field points as (right, up) of the plane that a square camera of this view sees."""
    square = camera_for_view(view, hand, distance_m=5.0, target_m=TARGET_M)
    right = square.axes[0]
    level = points_m - np.array([*TARGET_M, 0.0])
    return np.stack((level @ right, points_m[:, 2] - square.position_m[2]), axis=-1)


def plane_points(view, hand, seed=1, n=12):
    """Return random points of the plane through the target, m, in the field frame."""
    square = camera_for_view(view, hand, distance_m=5.0, target_m=TARGET_M)
    rng = np.random.default_rng(seed)
    across, up = rng.uniform(-0.9, 0.9, n), rng.uniform(0.0, 2.0, n)
    return np.array([*TARGET_M, 0.0]) + across[:, None] * square.axes[0] + up[:, None] * [0, 0, 1]


def camera_and_planar(view, hand, *, distance_m, yaw_deg, ruler_m=((-0.5, 0.2), (0.6, 0.9))):
    """Film with a pinhole camera, and state its ruler, yaw and distance exactly."""
    pinhole = camera_for_view(
        view, hand, distance_m=distance_m, yaw_deg=yaw_deg, target_m=TARGET_M, focal_px=1800.0
    )
    square = camera_for_view(view, hand, distance_m=distance_m, target_m=TARGET_M)
    ends = np.array([[*TARGET_M, 0.0] + a * square.axes[0] + [0.0, 0.0, b] for a, b in ruler_m])
    ruler_px = pinhole.project(ends) - pinhole.centre_px
    stated = planar(
        ruler_px,
        float(np.linalg.norm(ends[1] - ends[0])),
        yaw_deg=yaw_deg,
        nearness_per_m=1.0 / distance_m,
    )
    return pinhole, stated


def measured(pinhole, stated, points_m, depth_m=0.0):
    """Return where the planar camera puts points that the pinhole camera has filmed."""
    offset_px = pinhole.project(points_m) - pinhole.centre_px
    return stated.to_plane(offset_px[None], np.broadcast_to(depth_m, (1, len(points_m))))[0]


# ---------------------------------------------------------------------------- published values


def test_plane_across_the_line_of_sight_is_a_pure_scale():
    # Abdel-Aziz and Karara's direct linear transformation with K = diag(1000, 1000, 1), centre
    # (960, 540), camera at (0, −10, 1.5) m looking along +Y has L = 100, 96, 0, 960, 0, 54, −100,
    # 690, 0, 0.1, 0: worked out by hand.  Its plane Y = 0 is 100 px a metre.
    middle = np.array([960.0, 540.0])
    L = np.array([100, 96, 0, 960, 0, 54, -100, 690, 0, 0.1, 0])

    def filmed(x, y, z):
        u, v, w = (row @ np.array([x, y, z, 1.0]) for row in np.append(L, 1.0).reshape(3, 4))
        return np.array([u / w, v / w]) - middle

    # the two printed points, to the digits printed
    assert middle + filmed(2.0, 1.0, 2.0) == pytest.approx([1141.8182, 494.5455], abs=1e-4)
    assert middle + filmed(0.0, 0.0, 0.0) == pytest.approx([960.0, 690.0])

    stated = planar((filmed(-1.0, 0.0, 0.0), filmed(1.0, 0.0, 2.0)), 8**0.5, nearness_per_m=0.1)
    assert stated.metres_per_px() == pytest.approx([0.01])
    where = stated.to_plane(
        np.array([[filmed(0.7, 0.0, 0.3), filmed(2.0, 1.0, 2.0)]]), np.array([[0.0, 1.0]])
    )
    # up counts from the optical axis, 1.5 m above the ground; (2, 1, 2) lies 1 m behind the plane
    assert where[0] == pytest.approx(np.array([[0.7, -1.2], [2.0, 0.5]]))


@pytest.mark.parametrize(
    ("yaw_deg", "share"),
    [(5, 0.9962), (10, 0.9848), (15, 0.9659), (20, 0.9397), (30, 0.8660), (45, 0.7071)],
)
def test_foreshortening_is_undone(yaw_deg, share):
    # cos φ to four decimals; from infinitely far a level metre of 100 px is seen that much shorter
    across = planar(((0, 0), (0, -100.0)), yaw_deg=yaw_deg)
    where = across.to_plane(np.array([[[100.0 * share, 0.0]]]), np.zeros(1))
    # half of the fourth decimal over the smallest share
    assert where[0, 0] == pytest.approx([1.0, 0.0], abs=5e-5 / 0.7)


@pytest.mark.parametrize(
    ("true_deg", "yaw_deg", "seen_deg"),
    [
        # tan θ' = tan θ / cos ψ, worked out by hand to two decimals
        (45.0, 5, 45.11), (45.0, 10, 45.44), (45.0, 15, 45.99), (45.0, 20, 46.78),
        (45.0, 30, 49.11), (30.0, 5, 30.09), (30.0, 10, 30.38), (30.0, 15, 30.87),
        (30.0, 20, 31.57), (30.0, 30, 33.69),
    ],
)  # fmt: skip
def test_slope_of_a_line_through_a_turned_camera(true_deg, yaw_deg, seen_deg):
    seen = 100.0 * np.array([np.cos(np.radians(seen_deg)), -np.sin(np.radians(seen_deg))])
    where = planar(yaw_deg=yaw_deg).to_plane(seen[None, None], np.zeros(1))[0, 0]
    # half of the second decimal
    assert np.degrees(np.arctan2(where[1], where[0])) == pytest.approx(true_deg, abs=6e-3)


@pytest.mark.parametrize(
    ("first_deg", "second_deg", "seen"),
    [
        # apparent angle between two sides at these slopes for a yaw of 5, 10, 15, 20, 30°
        (45.0, 135.0, (89.78, 89.12, 88.01, 86.44, 81.79)),
        (-45.0, 45.0, (90.22, 90.88, 91.99, 93.56, 98.21)),
        (0.0, 90.0, (90.0, 90.0, 90.0, 90.0, 90.0)),
        (155.0, 290.0, (135.01, 135.06, 135.14, 135.27, 135.80)),  # a knee bent by 45°
    ],
)
def test_a_joint_seen_through_a_turned_camera_is_restored(first_deg, second_deg, seen):
    for yaw_deg, seen_deg in zip((5.0, 10.0, 15.0, 20.0, 30.0), seen, strict=True):
        slopes = np.radians([first_deg, second_deg])
        ends = np.stack((np.cos(slopes), np.sin(slopes)), axis=-1)
        picture = ends * [np.cos(np.radians(yaw_deg)), 1.0]
        zero = np.zeros(2)
        # worked out by hand to two decimals: half of the last
        assert included_angle_deg(picture[0], zero, picture[1]) == pytest.approx(seen_deg, abs=6e-3)
        offset_px = 100.0 * picture * [1.0, -1.0]
        where = planar(yaw_deg=yaw_deg).to_plane(offset_px[None], np.zeros(1))[0]
        true_deg = included_angle_deg(ends[0], zero, ends[1])
        assert included_angle_deg(where[0], zero, where[1]) == pytest.approx(true_deg, abs=1e-9)


@pytest.mark.parametrize(
    ("nearer_m", "distance_m", "percent"),
    [
        (0.3, 4, 8.11), (0.3, 6, 5.26), (0.3, 10, 3.09), (0.3, 15, 2.04),
        (0.5, 4, 14.29), (0.5, 6, 9.09), (0.5, 10, 5.26), (0.5, 15, 3.45),
    ],
)  # fmt: skip
def test_a_length_nearer_than_the_plane_looks_longer(nearer_m, distance_m, percent):
    # d / (D − d), worked out by hand to two decimals
    pinhole, stated = camera_and_planar("open-side", "right", distance_m=distance_m, yaw_deg=0.0)
    nearer = plane_points("open-side", "right") - nearer_m * pinhole.axes[2]
    careless = measured(pinhole, stated, nearer)
    known = measured(pinhole, stated, nearer, -nearer_m)
    spans = [np.linalg.norm(where[1] - where[0]) for where in (careless, known)]
    assert 100.0 * (spans[0] / spans[1] - 1.0) == pytest.approx(percent, abs=6e-3)
    assert known == pytest.approx(right_and_up("open-side", "right", nearer), abs=PLANE_M)


# ------------------------------------------------------------------------------------ round trip


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("yaw_deg", [-15.0, -6.0, 0.0, 4.0, 15.0])
@pytest.mark.parametrize("distance_m", [3.0, 7.0, 15.0])
def test_points_in_the_plane_come_back(view, hand, yaw_deg, distance_m):
    pinhole, stated = camera_and_planar(view, hand, distance_m=distance_m, yaw_deg=yaw_deg)
    points = plane_points(view, hand)
    expected = right_and_up(view, hand, points)
    assert measured(pinhole, stated, points) == pytest.approx(expected, abs=PLANE_M)
    # the scale is that of the optical axis: D / f
    assert stated.metres_per_px() == pytest.approx([distance_m / 1800.0], rel=1e-7)


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("yaw_deg", [-15.0, 0.0, 9.0])
def test_points_off_the_plane_come_back_where_their_depth_is_known(view, hand, yaw_deg):
    pinhole, stated = camera_and_planar(view, hand, distance_m=6.0, yaw_deg=yaw_deg)
    square = camera_for_view(view, hand, distance_m=6.0, target_m=TARGET_M)
    depth_m = np.random.default_rng(2).uniform(-0.7, 0.7, 12)
    points = plane_points(view, hand) + depth_m[:, None] * square.axes[2]
    expected = right_and_up(view, hand, points)
    assert measured(pinhole, stated, points, depth_m) == pytest.approx(expected, abs=PLANE_M)
    # and are centimetres off where it is left out
    assert np.max(np.abs(measured(pinhole, stated, points) - expected)) > 0.03


def test_directions_of_the_field():
    # the pitcher's own directions, so that a sign turned round twice does not pass unseen
    ahead = np.array([[1.9, 0.0, 1.1], [1.9, 0.0, 1.6]])
    for hand, x in (("right", 1.0), ("left", -1.0)):
        pinhole, stated = camera_and_planar("open-side", hand, distance_m=8.0, yaw_deg=7.0)
        expected = np.array([[x, 0.0], [x, 0.5]])
        assert measured(pinhole, stated, ahead) == pytest.approx(expected, abs=PLANE_M)
    to_the_left = np.array([[0.9, 1.0, 1.1]])
    for view, y in (("rear", -1.0), ("front", 1.0)):
        pinhole, stated = camera_and_planar(view, "right", distance_m=8.0, yaw_deg=-7.0)
        expected = np.array([[y, 0.0]])
        assert measured(pinhole, stated, to_the_left) == pytest.approx(expected, abs=PLANE_M)


@pytest.mark.parametrize("wrong", [{"yaw_deg": -10.0}, {"nearness_per_m": 0.0}])
def test_a_wrong_statement_is_not_harmless(wrong):
    # the turn the wrong way round, or a near camera taken for a far one
    pinhole, stated = camera_and_planar("open-side", "right", distance_m=5.0, yaw_deg=10.0)
    values = {"yaw_deg": 10.0, "nearness_per_m": 0.2} | wrong
    false = planar(stated.ruler_px[0], stated.ruler_m[0], **values)
    points = plane_points("open-side", "right")
    expected = right_and_up("open-side", "right", points)
    assert np.max(np.abs(measured(pinhole, false, points) - expected)) > 0.02


# ------------------------------------------------------------------------------ ruler and level


def test_the_ruler_keeps_its_length():
    rng = np.random.default_rng(4)
    n = 20_000
    # anywhere in a picture of 1280 x 720 px taken with a lens of 1500 px, from 3 m to far away
    ends = rng.uniform(-1.0, 1.0, (n, 2, 2)) * [640.0, 360.0]
    span_px = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    ends, span_px = ends[span_px > 50.0], span_px[span_px > 50.0]
    n = len(ends)
    length_m = rng.uniform(0.1, 3.0, n)
    distance_m = np.maximum(3.0, 1500.0 * length_m / span_px)
    stated = PlanarCamera(
        ends, length_m, rng.uniform(-20.0, 20.0, n), rng.uniform(-30.0, 30.0, n), 1.0 / distance_m
    )
    mapped = stated.to_plane(ends, np.zeros(1))
    lengths_m = np.hypot(*(mapped[:, 1] - mapped[:, 0]).T)
    # what the scale's own notes promise
    assert np.max(np.abs(lengths_m / length_m - 1.0)) < 1e-9


def test_a_distance_that_cannot_be_true_is_no_surprise():
    # filmed from 0.3 m, far off square: no picture of a person, but no warning either
    stated = planar(((-600, 0), (-500, 30)), 2.0, yaw_deg=45.0, nearness_per_m=3.0)
    assert np.isfinite(stated.metres_per_px()).all()


@pytest.mark.parametrize("lean_deg", [-20.0, -3.0, 2.0, 30.0])
def test_clockwise_lean_of_the_vertical_is_positive(lean_deg):
    turn = np.radians(lean_deg)
    # the true vertical goes up and, for a clockwise lean, to the right of the picture (y down)
    plumb = 100.0 * np.array([np.sin(turn), -np.cos(turn)])
    level = 100.0 * np.array([np.cos(turn), np.sin(turn)])
    where = planar(vertical_deg=lean_deg).to_plane(np.array([[plumb, level]]), np.zeros(1))[0]
    assert where == pytest.approx(np.array([[0.0, 1.0], [1.0, 0.0]]))


def test_a_phone_held_askew_measures_what_a_level_one_does():
    pinhole, level = camera_and_planar("open-side", "right", distance_m=6.0, yaw_deg=8.0)
    points = plane_points("open-side", "right")
    # a phone turned anticlockwise by 5° sees the world turned clockwise by 5°
    turn = np.radians(5.0)
    rolled = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    askew = planar(
        level.ruler_px[0] @ rolled.T, level.ruler_m[0],
        vertical_deg=5.0, yaw_deg=8.0, nearness_per_m=1.0 / 6.0,
    )  # fmt: skip
    offset_px = (pinhole.project(points) - pinhole.centre_px) @ rolled.T
    where = askew.to_plane(offset_px[None], np.zeros(1))[0]
    assert where == pytest.approx(measured(pinhole, level, points), abs=1e-9)


# ---------------------------------------------------------------------- batches and missing data


def test_a_batch_is_its_rows():
    rng = np.random.default_rng(3)
    n = 5
    ruler_px = np.array([[-200.0, 50.0], [300.0, 80.0]]) + rng.normal(0.0, 2.0, (n, 2, 2))
    batch = PlanarCamera(
        ruler_px,
        rng.uniform(0.9, 1.1, n),
        rng.uniform(-2.0, 2.0, n),
        rng.uniform(-10.0, 10.0, n),
        rng.uniform(0.0, 0.3, n),
    )
    offset_px, depth_m = rng.uniform(-300, 300, (n, 7, 2)), rng.uniform(-0.3, 0.3, (n, 7))
    where = batch.to_plane(offset_px, depth_m)
    assert where.shape == (n, 7, 2)
    for row in range(n):
        alone = batch.rows(slice(row, row + 1)).to_plane(
            offset_px[row : row + 1], depth_m[row : row + 1]
        )
        assert alone[0] == pytest.approx(where[row], abs=1e-12)


def test_a_missing_point_gives_nan_and_leaves_the_others():
    offset_px = np.array([[[10.0, 20.0], [np.nan, 5.0], [30.0, -40.0]]])
    where = planar(yaw_deg=5.0, nearness_per_m=0.1).to_plane(offset_px, np.zeros((1, 3)))[0]
    assert np.all(np.isnan(where[1]))
    assert np.all(np.isfinite(where[[0, 2]]))


def test_a_larger_picture_of_the_same_scene_measures_the_same():
    pinhole, stated = camera_and_planar("rear", "left", distance_m=4.0, yaw_deg=-11.0)
    doubled = planar(
        2.0 * stated.ruler_px[0], stated.ruler_m[0], yaw_deg=-11.0, nearness_per_m=0.25
    )
    points = plane_points("rear", "left")
    offset_px = 2.0 * (pinhole.project(points) - pinhole.centre_px)
    where = doubled.to_plane(offset_px[None], np.zeros(1))[0]
    assert where == pytest.approx(measured(pinhole, stated, points), abs=1e-9)
