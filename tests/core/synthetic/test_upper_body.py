from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.synthetic.proportions import proportions
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.synthetic.upper_body import swing

SPEC = DeliverySpec()
SIZE = proportions(SPEC.height_m, SPEC.sex)


def _at(*times):
    return swing(SPEC, SIZE).at(np.array(times), np.zeros((len(times), 3)))


def test_hands_meet_in_front_of_the_chest_until_the_break():
    lift = SPEC.key_times()["leg_lift"]
    now = _at(lift - 0.2, lift, lift + 0.9 * SPEC.lift_to_break_s)
    gap = np.linalg.norm(now["throwing_hand"] - now["glove_hand"], axis=1)
    # the shoulder line is not quite square to the trunk, which moves the hands by millimetres;
    # two hands round one ball: 2 x 2.6 % of the shoulder width's 0.365 m, less than a decimetre
    assert gap == pytest.approx(gap[0], abs=0.004)
    assert gap[0] < 0.1
    # on the open side of a right-hander
    assert np.all(now["throwing_hand"][:, 1] < now["throwing_shoulder"][:, 1])


def test_ball_is_held_beyond_the_knuckles_and_the_face_is_level():
    times = SPEC.key_times()
    now = _at(*(times[k] for k in ("leg_lift", "foot_contact", "release")))
    reach = np.linalg.norm(now["grip"] - now["throwing_hand"], axis=1)
    assert reach == pytest.approx(np.hypot(1.0, 0.4) * SIZE.ball_ahead)
    assert np.linalg.norm(now["face"], axis=1) == pytest.approx(1.0)
    assert np.all(now["head_top"][:, 2] > now["neck"][:, 2])


def test_laid_back_forearm_trails_and_then_leads():
    times = SPEC.key_times()
    now = _at(times["full_layback"], times["release"])
    ahead = (now["throwing_hand"] - now["throwing_elbow"])[:, 0]
    assert ahead[0] < -0.2 < 0.2 < ahead[1]


def test_a_pulled_glove_is_nearer_to_the_chest_at_contact_and_only_there():
    pulled = DeliverySpec(glove_pulled=0.8)
    times = SPEC.key_times()
    instants = np.array([times[key] for key in ("leg_lift", "foot_contact", "full_layback")])
    reach = []
    for spec in (SPEC, pulled):
        now = swing(spec, SIZE).at(instants, np.zeros((3, 3)))
        chest = 0.5 * (now["throwing_shoulder"] + now["glove_shoulder"])
        reach.append(np.linalg.norm(now["glove_hand"] - chest, axis=1))
    apart = reach[1] - reach[0]
    assert apart[[0, 2]] == pytest.approx(0.0, abs=1e-9)
    assert apart[1] < -0.1
