from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from deliverylab.core.numerics.angles import (
    angle_between_deg,
    cross_product,
    flexion_deg,
    included_angle_deg,
    lean_deg,
    wrapped_deg,
)

# Fifteen digits in a double, and angles up to 180: what is left after a dozen operations.
ROUNDING_DEG = 1e-9

coordinates = st.floats(-10.0, 10.0)
corners = st.tuples(*[st.tuples(coordinates, coordinates, coordinates)] * 3).map(np.array)


def _is_a_corner(points):
    a, b, c = points
    return min(np.linalg.norm(a - b), np.linalg.norm(c - b)) > 0.1


# ------------------------------------------------------------------------------- closed forms


@pytest.mark.parametrize("angle_deg", [0.0, 1e-6, 1.0, 45.0, 90.0, 135.0, 179.0, 179.999999, 180.0])
def test_known_corner(angle_deg):
    turn = np.radians(angle_deg)
    a, b = np.array([3.0, 0.0]), np.zeros(2)
    c = 0.7 * np.array([np.cos(turn), np.sin(turn)])
    assert included_angle_deg(a, b, c) == pytest.approx(angle_deg, abs=ROUNDING_DEG)
    assert flexion_deg(a, b, c) == pytest.approx(180.0 - angle_deg, abs=ROUNDING_DEG)


def test_nearly_straight_is_told_from_straight():
    # an arc cosine would say exactly 180 here: cos(1e-8) is 1 in double precision
    bend = 1e-8
    a, b = np.array([-1.0, 0.0, 0.0]), np.zeros(3)
    c = np.array([np.cos(bend), np.sin(bend), 0.0])
    # 180 − x: what is left of a double below 180 is 3e-14
    assert flexion_deg(a, b, c) == pytest.approx(np.degrees(bend), abs=1e-13)


def test_published_corner_of_two_segments():
    # BMClab, notebook KinematicsAngular2D: segments (0,0)-(1,1) and (1.1,1)-(2.1,0): 90.0°
    ends = np.array([[(0.0, 0.0), (1.0, 1.0)], [(1.1, 1.0), (2.1, 0.0)]])
    angle = angle_between_deg(*(ends[:, 1] - ends[:, 0]))
    assert angle == pytest.approx(90.0, abs=ROUNDING_DEG)


def test_published_knee_of_a_leg():
    # Coordinates printed with Winter's limb example (BMClab, BodySegmentParameters); the angle is
    # worked out from them by the law of cosines, apart from the code.
    hip, knee, ankle = (np.array(p) for p in [(0.721, 0.928), (0.864, 0.549), (0.849, 0.110)])
    thigh, shank, across = (
        np.linalg.norm(hip - knee),
        np.linalg.norm(ankle - knee),
        np.linalg.norm(hip - ankle),
    )
    cosine = (thigh**2 + shank**2 - across**2) / (2.0 * thigh * shank)
    assert included_angle_deg(hip, knee, ankle) == pytest.approx(np.degrees(np.arccos(cosine)))
    # printed to three decimals: half of the last
    assert flexion_deg(hip, knee, ankle) == pytest.approx(22.629, abs=5e-4)


@pytest.mark.parametrize(
    ("row", "flexion"),
    [
        # Winter DA, Biomechanics and Motor Control of Human Movement, table A.1 (raw, cm): hip,
        # knee and ankle of frames 1, 28, 50, 80 as kept by BMClab (WinterTableA1.txt); the angles
        # were worked out from these rows.
        ([(44.94, 78.58), (41.00, 47.40), (9.31, 21.44)], 43.474),
        ([(101.53, 79.34), (112.34, 50.46), (124.94, 10.63)], 2.967),
        ([(142.02, 82.65), (140.11, 51.09), (130.56, 9.99)], 9.618),
        ([(204.80, 82.65), (215.74, 52.62), (192.20, 19.66)], 55.551),
    ],
)
def test_published_knees_of_a_walk(row, flexion):
    hip, knee, ankle = (np.array(p) for p in row)
    # printed to three decimals: half of the last
    assert flexion_deg(hip, knee, ankle) == pytest.approx(flexion, abs=5e-4)


@pytest.mark.parametrize(
    ("along", "up", "lean"),
    [(0.0, 1.0, 0.0), (1.0, 1.0, 45.0), (-1.0, 1.0, -45.0), (1.0, 0.0, 90.0), (1.0, -1.0, 135.0)],
)
def test_lean_is_positive_the_way_it_leans(along, up, lean):
    assert lean_deg(np.array(along), np.array(up)) == pytest.approx(lean)


@pytest.mark.parametrize(
    ("angle", "low", "wrapped"),
    [
        (190.0, -180.0, -170.0),
        (-190.0, -180.0, 170.0),
        (370.0, 0.0, 10.0),
        (-180.0, -180.0, -180.0),
    ],
)
def test_wrapped_into_one_turn(angle, low, wrapped):
    assert wrapped_deg(np.array(angle), low) == pytest.approx(wrapped)


@given(st.floats(-2000.0, 2000.0), st.sampled_from([-180.0, -90.0, 0.0]))
def test_wrapping_takes_away_whole_turns_only(angle, low):
    wrapped = float(wrapped_deg(np.array(angle), low))
    assert low <= wrapped <= low + 360.0
    n_turns = (angle - wrapped) / 360.0
    assert n_turns == pytest.approx(round(n_turns), abs=ROUNDING_DEG)


# ---------------------------------------------------------------- an independent implementation


@given(corners)
def test_corner_against_the_rotation_that_turns_one_side_into_the_other(points):
    assume(_is_a_corner(points))
    a, b, c = points
    u, v = (side / np.linalg.norm(side) for side in (a - b, c - b))
    turn, _ = Rotation.align_vectors(v[None], u[None])
    # the solver's own singular value decomposition keeps half of the digits near 0° and 180°
    assert included_angle_deg(a, b, c) == pytest.approx(np.degrees(turn.magnitude()), abs=1e-5)


def test_cross_product_against_numpy():
    rng = np.random.default_rng(1)
    u, v = rng.normal(size=(2, 4, 5, 3))
    assert cross_product(u, v) == pytest.approx(np.cross(u, v))


# ----------------------------------------------------------------------------------- invariance


@given(
    corners,
    st.tuples(st.floats(-180.0, 180.0), st.floats(-89.0, 89.0), st.floats(-180.0, 180.0)),
    st.floats(0.01, 100.0),
)
def test_turn_shift_size_and_mirror_leave_a_corner_as_it_is(points, euler_deg, size):
    assume(_is_a_corner(points))
    still = included_angle_deg(*points)
    turned = Rotation.from_euler("zyx", euler_deg, degrees=True).apply(points)
    shifted = size * turned + np.array([5.0, -300.0, 12.0])
    # the shift leaves some 13 digits of the smallest side, 0.1 × 0.01
    assert included_angle_deg(*shifted) == pytest.approx(still, abs=1e-6)
    mirrored = points * np.array([1.0, -1.0, 1.0])
    assert included_angle_deg(*mirrored) == pytest.approx(still, abs=ROUNDING_DEG)
    # both ends change places
    assert included_angle_deg(*points[::-1]) == pytest.approx(still, abs=ROUNDING_DEG)


def test_a_plane_corner_is_the_same_in_two_and_in_three_dimensions():
    rng = np.random.default_rng(2)
    flat = rng.normal(size=(3, 50, 2))
    solid = np.concatenate((flat, np.zeros((3, 50, 1))), axis=-1)
    assert included_angle_deg(*flat) == pytest.approx(included_angle_deg(*solid), abs=ROUNDING_DEG)


def test_any_leading_shape_gives_that_shape():
    rng = np.random.default_rng(3)
    a, b, c = rng.normal(size=(3, 4, 7, 3))
    angles = included_angle_deg(a, b, c)
    assert angles.shape == (4, 7)
    assert angles[2, 5] == included_angle_deg(a[2, 5], b[2, 5], c[2, 5])


# --------------------------------------------------------------------------------- missing data


@pytest.mark.parametrize("n_dimensions", [2, 3])
@pytest.mark.parametrize("which", [0, 1, 2])
def test_a_missing_point_gives_nan_and_leaves_the_others(n_dimensions, which):
    points = np.random.default_rng(4).normal(size=(3, 5, n_dimensions))
    points[which, 2, 1] = np.nan
    angles = flexion_deg(*points)
    assert np.isnan(angles[2])
    assert np.all(np.isfinite(np.delete(angles, 2)))


@pytest.mark.parametrize("n_dimensions", [2, 3])
def test_a_side_without_length_has_no_direction(n_dimensions):
    here, there = np.ones(n_dimensions), np.zeros(n_dimensions)
    assert np.isnan(included_angle_deg(here, here, there))
    assert np.isnan(included_angle_deg(there, here, here))
    assert np.isnan(angle_between_deg(there, here))


def test_nan_passes_through_lean_and_wrap():
    assert np.isnan(lean_deg(np.array(np.nan), np.array(1.0)))
    assert np.isnan(lean_deg(np.array(1.0), np.array(np.nan)))
    assert np.isnan(wrapped_deg(np.array(np.nan), -180.0))
