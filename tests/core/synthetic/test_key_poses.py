from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.ground import ground_height_m
from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.curves import Curve
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.key_poses import KeyPoses
from deliverylab.core.synthetic.proportions import proportions
from deliverylab.core.synthetic.spec import DeliverySpec

SPEC = DeliverySpec()
SIZE = proportions(SPEC.height_m, SPEC.sex)
TURN = Curve([(0.0, -20.0), (1.0, 0.0), (1.3, 100.0)])


def _poses(spec=SPEC):
    return KeyPoses(spec, SIZE, spec.key_times(), TURN)


def test_lead_foot_rests_flat_on_the_slope():
    poses = _poses()
    ahead = np.array([np.cos(np.radians(-15.0)), np.sin(np.radians(-15.0))])
    heel = poses.heel_rest
    toe = heel[:2] + SIZE.foot * np.cos(np.arctan(1 / 12)) * ahead
    assert heel[2] - ground_height_m(*heel[:2]) == pytest.approx(SIZE.sole)
    # the foot points 15 degrees off the fall line: level with the ground to half a millimetre
    poses_toe = poses.lead_heel()([poses.t["foot_plant"]])[0]
    assert poses_toe == pytest.approx(heel)
    assert ground_height_m(*toe) == pytest.approx(ground_height_m(*heel[:2]) - 0.021, abs=0.002)


def test_lead_foot_lands_from_above_and_moves_on():
    poses = _poses()
    contact = poses.t["foot_contact"]
    before, at = poses.lead_heel()([contact - 0.01, contact])
    assert before[2] > at[2]
    assert before[0] < at[0] < poses.heel_rest[0]


def test_drive_foot_stands_against_the_rubber_until_it_drags():
    poses = _poses()
    toe = poses.drive_toe()
    held = toe(np.linspace(0.0, poses.t["push"], 20))
    assert np.ptp(held, axis=0) == pytest.approx(0.0)
    assert 0.0 < held[0, 0] < 0.1
    assert toe([poses.t["release"]])[0, 0] > 0.2


def test_hips_sink_into_the_stride_and_rise_again():
    height = _poses().middle()[2]
    t = _poses().t
    lift, contact, end = height([t["leg_lift"], t["foot_contact"], t["end"]])
    assert contact < end < lift


def test_legs_that_cannot_meet_are_refused():
    with pytest.raises(InputValueError, match="foot"):
        _poses(DeliverySpec(stride_percent_height=125.0))


def test_hips_stand_as_far_ahead_of_the_back_foot_at_leg_lift_as_asked():
    for ahead_m in (0.055, -0.02):
        spec = DeliverySpec(hips_ahead_at_lift_m=ahead_m)
        truth = build_delivery(spec)
        row = int(np.argmin(np.abs(truth.times_s - truth.events["leg_lift"])))
        where = truth.positions_m
        hips_x = 0.5 * (where["left_hip"] + where["right_hip"])[row, 0]
        assert hips_x - where["right_ankle"][row, 0] == pytest.approx(ahead_m, abs=0.002)
