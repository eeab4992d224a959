"""The measures of rotation against ``scipy.spatial.transform``, and against a published identity.

Bodies are built by known rotations of the library: a line turned about the vertical, a trunk tilted, an
arm raised, brought back, bent and laid back.  What was put in must be measured, however the rest of
the body is turned.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from deliverylab.core.metrics import measures
from deliverylab.core.metrics.pose import Pose

N = 300
TO_PLATE, TO_CHEST, UP = np.eye(3)[0], -np.eye(3)[1], np.eye(3)[2]
"""Of a body that stands side-on: the glove shoulder points to the plate, the chest away from Y."""
ROUNDING_DEG = 1e-9


@pytest.fixture
def rng():
    return np.random.default_rng(11)


def degrees(rng, lowest, highest):
    return rng.uniform(lowest, highest, N)


def about(axes, *angles_deg):
    """Return the library's turns, capital letters about axes that turn along."""
    return Rotation.from_euler(axes, np.stack(angles_deg, axis=1), degrees=True)


def posture(**points):
    return Pose({role: np.broadcast_to(p, (N, 3)) for role, p in points.items()}, np.array(1.85))


def lines(pelvis, shoulders):
    """Return a posture whose hip and shoulder lines are turned."""
    hips, chest = pelvis.apply(0.1 * TO_PLATE), shoulders.apply(0.2 * TO_PLATE)
    return posture(
        drive_hip=0.9 * UP - hips,
        lead_hip=0.9 * UP + hips,
        throwing_shoulder=1.4 * UP - chest,
        glove_shoulder=1.4 * UP + chest,
    )


def turned(azimuth_deg, rng):
    """Turn about the vertical, after the line was dropped to a side and rolled about itself."""
    return about("ZYX", azimuth_deg, degrees(rng, -30, 30), degrees(rng, -40, 40))


def test_lines_turned_about_the_vertical(rng):
    pelvis, shoulders = degrees(rng, -60, 130), degrees(rng, -80, 150)
    pose = lines(turned(pelvis, rng), turned(shoulders, rng))
    assert measures.pelvis_rotation(pose) == pytest.approx(pelvis, abs=ROUNDING_DEG)
    assert measures.shoulder_line_rotation(pose) == pytest.approx(shoulders, abs=ROUNDING_DEG)
    apart = (pelvis - shoulders + 180.0) % 360.0 - 180.0
    assert measures.separation(pose) == pytest.approx(apart, abs=ROUNDING_DEG)


@pytest.mark.parametrize(
    ("upper_torso", "pelvis", "twist"),
    [
        # Kageyama et al. 2015, J Sports Sci Med 14:246-255, tables 2-4, collegiate: maximal knee
        # height, maximal push-off, foot contact, maximal external rotation, release
        (-24.3, -34.4, 10.1),
        (-32.9, -17.6, -15.3),
        (-33.4, 14.8, -48.2),
        (79.8, 90.2, -10.4),
        (122.5, 101.9, 20.6),
    ],
)
def test_separation_is_the_published_twist_with_the_other_sign(upper_torso, pelvis, twist, rng):
    pose = lines(turned(np.full(N, pelvis), rng), turned(np.full(N, upper_torso), rng))
    # printed to 0.1 degree
    assert measures.separation(pose) == pytest.approx(-twist, abs=0.05 + ROUNDING_DEG)


def test_a_trunk_tilted_to_the_plate_and_to_the_glove_side(rng):
    tilt, other = degrees(rng, -60, 60), degrees(rng, -50, 50)
    # leaning sideways first leaves the tilt seen from the side as it is, and the other way round;
    # about X a positive turn leads from Z to -Y
    to_plate = about("YX", tilt, other)
    to_side = about("XY", -tilt, other)

    def trunk(rotation):
        middle = 0.9 * UP + rotation.apply(0.5 * UP)
        across = 0.2 * TO_PLATE
        return posture(
            drive_hip=0.9 * UP - across,
            lead_hip=0.9 * UP + across,
            throwing_shoulder=middle - across,
            glove_shoulder=middle + across,
        )

    assert measures.trunk_forward_tilt(trunk(to_plate)) == pytest.approx(tilt, abs=ROUNDING_DEG)
    assert measures.trunk_lateral_tilt(trunk(to_side)) == pytest.approx(tilt, abs=ROUNDING_DEG)


@pytest.fixture
def arm(rng):
    """Return what an arm was set to, and the posture: any trunk, turned any way."""
    set_to = {
        "abduction": degrees(rng, 40, 130),
        "backward": degrees(rng, -50, 60),
        "layback": degrees(rng, -60, 240),
        "flexion": degrees(rng, 5, 140),
    }
    raised = about("y", set_to["abduction"])
    back = about("z", -set_to["backward"])
    upper = (back * raised).apply(-UP)
    # the forearm's zero: square to the upper arm, and as near to the chest's direction as that allows
    zero = Rotation.concatenate(
        [
            Rotation.align_vectors([u, TO_CHEST], np.eye(3)[:2], weights=[np.inf, 1.0])[0]
            for u in upper
        ]
    )
    bent = about("XZ", set_to["layback"], set_to["flexion"])
    fore = (zero * bent).apply(np.eye(3)[0])
    trunk = Rotation.random(N, rng=rng)
    shoulder = 1.4 * UP - 0.2 * TO_PLATE
    points = {
        "drive_hip": 0.9 * UP - 0.1 * TO_PLATE,
        "lead_hip": 0.9 * UP + 0.1 * TO_PLATE,
        "throwing_shoulder": shoulder,
        "glove_shoulder": 1.4 * UP + 0.2 * TO_PLATE,
        "throwing_elbow": shoulder + 0.3 * upper,
        "throwing_wrist": shoulder + 0.3 * upper + 0.26 * fore,
    }
    return set_to, posture(**{role: trunk.apply(p) for role, p in points.items()})


@pytest.mark.parametrize(
    ("measure", "name"),
    [
        (measures.shoulder_abduction, "abduction"),
        (measures.horizontal_abduction, "backward"),
        (measures.external_rotation, "layback"),
        (measures.elbow_flexion, "flexion"),
    ],
)
def test_an_arm_measures_as_it_was_set(measure, name, arm):
    set_to, pose = arm
    assert measure(pose) == pytest.approx(set_to[name], abs=1e-6)


def test_a_front_foot_turned_about_the_vertical(rng):
    closed = degrees(rng, -70, 70)
    toe = about("z", -closed).apply(0.28 * TO_PLATE)
    pose = posture(lead_heel=TO_PLATE, lead_toe=TO_PLATE + toe)
    assert measures.lead_foot_direction(pose) == pytest.approx(closed, abs=ROUNDING_DEG)


def test_an_arm_slot_is_a_turn_about_the_line_to_the_plate(rng):
    slot = degrees(rng, 0, 120)
    # from upright to the throwing side, which is away from Y
    hand = about("x", slot).apply(0.6 * UP)
    pose = posture(throwing_shoulder=UP, throwing_hand=UP + hand + 0.3 * TO_PLATE)
    assert measures.arm_slot(pose) == pytest.approx(slot, abs=ROUNDING_DEG)
