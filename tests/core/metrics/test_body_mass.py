"""The centre of mass of a posture: weights, tables, and what may be missing."""

from __future__ import annotations

import math

import numpy as np
import pytest

from deliverylab.core.metrics import measures
from deliverylab.core.metrics.body_mass import (
    COM_LANDMARKS,
    COM_OPTIONAL,
    COM_STAND_INS,
    mass_centre,
    mass_parts,
    mass_weights,
    other_weights,
)
from deliverylab.core.metrics.pose import Pose
from deliverylab.core.vocabulary.mass_tables import DE_LEVA


def at_contact(filmed, **changes):
    pose = filmed.true_pose(filmed.truth.events["foot_contact"])
    return Pose(pose.points, np.array([1.8]), **{"female_share": 0.0, **changes})


@pytest.mark.parametrize("table", ["de_leva", "dempster"])
@pytest.mark.parametrize("female_share", [0.0, 0.5, 1.0])
def test_weights_make_a_whole_body(table, female_share):
    weights = mass_weights(table, female_share)
    assert sum(weights.values()) == pytest.approx(1.0, abs=1e-12)
    assert set(weights) == {*COM_LANDMARKS, *COM_OPTIONAL}


def test_a_weight_is_the_share_of_the_segments_that_end_there():
    # the elbow: 57.72 % of the upper arm's 2.71 %, and 54.26 % of the forearm's 1.62 %
    expected = 0.5772 * 0.0271 + (1.0 - 0.4574) * 0.0162
    assert mass_weights("de_leva", 0.0)["glove_elbow"] == pytest.approx(expected, abs=1e-12)
    # Dempster's foot ends at the ankle, so the heel weighs nothing
    assert mass_weights("dempster", 0.0)["lead_heel"] == 0.0


def test_the_two_tables_lie_centimetres_apart(side):
    ours, theirs = (
        mass_centre(at_contact(side, mass_table=key))[0] for key in ("de_leva", "dempster")
    )
    # measured on the figure at contact: 14 mm, nearly all of it upward; where a table's end points were mixed up, decimetres
    assert 0.001 < np.linalg.norm(ours - theirs) < 0.03


def test_sex_changes_dempster_by_nothing(side):
    women, men = (
        mass_centre(at_contact(side, mass_table="dempster", female_share=share))
        for share in (1.0, 0.0)
    )
    assert women == pytest.approx(men, abs=1e-12)


def test_u_of_weights_is_the_other_table_s_distance_over_root_three(side):
    pose = at_contact(side)
    ((other, share),) = other_weights(pose)
    assert (other.mass_table, share) == ("dempster", 1.0 / math.sqrt(3.0))
    measure = measures.com_ahead_of_drive_ankle
    value, theirs = float(measure(pose)[0]), float(measure(other)[0])
    parts = mass_parts(measure, pose, value)
    assert parts["segment weights"] == pytest.approx(abs(theirs - value) / math.sqrt(3.0))
    assert parts["landmarks that others stand in for"] == 0.0


def test_an_unknown_sex_adds_half_the_difference_of_the_two(side):
    pose = at_contact(side, female_share=0.5)
    assert [share for _, share in other_weights(pose)] == [1.0 / math.sqrt(3.0), 1.0]
    women = mass_centre(other_weights(pose)[1][0])
    halfway = mass_centre(pose) - 0.5 * (women + mass_centre(at_contact(side)))
    assert np.max(np.abs(halfway)) < 1e-12


def test_what_is_not_placed_is_stood_in_for_at_a_cost(side):
    pose = at_contact(side)
    fewer = Pose(
        {role: xyz for role, xyz in pose.points.items() if role not in COM_OPTIONAL},
        pose.height_m,
        0.0,
    )
    measure = measures.com_ahead_of_drive_ankle
    value = float(measure(fewer)[0])
    part = mass_parts(measure, fewer, value)["landmarks that others stand in for"]
    # shares of 1.37 % and 0.61 %, moved by 5 to 10 cm, of 1.8 m: hundredths of a per cent of height
    hand, foot = 0.79 * 0.0061 * 0.05, (0.5585 * 0.0137 * 0.05, 0.4415 * 0.0137 * 0.10)
    expected_m = math.sqrt(2.0 * (hand**2 + foot[0] ** 2 + foot[1] ** 2))
    assert part == pytest.approx(100.0 * expected_m / 1.8, rel=1e-6)
    # and that is what it really costs, within twice its u
    assert abs(value - float(measure(pose)[0])) < 2.0 * part + 0.05


@pytest.mark.parametrize("role", COM_LANDMARKS)
def test_nothing_else_may_be_missing(side, role):
    pose = at_contact(side)
    points = dict(pose.points) | {role: np.full((1, 3), np.nan)}
    assert np.isnan(mass_centre(Pose(points, pose.height_m))).all()
    assert role not in COM_STAND_INS


def test_the_known_mistakes_move_the_body_by_what_one_would_notice(side):
    pose = at_contact(side)
    right = mass_centre(pose)[0]
    upper_arm = next(r for r in DE_LEVA["male"].rows if r.segment == "right_upper_arm")
    shoulder, elbow = (pose[f"throwing_{part}"][0] for part in ("shoulder", "elbow"))
    from_elbow = upper_arm.mass * (1.0 - 2.0 * upper_arm.ratio) * (elbow - shoulder)
    head = 0.6246 * (0.5 * (pose["head_top"] + pose["neck"])[0] - right) / 1.6246
    # the arm read from the elbow: tenths of a millimetre to a few; a head of 69 %: decimetres
    assert 1e-4 < np.linalg.norm(from_elbow) < 0.01
    assert np.linalg.norm(head) > 0.1
