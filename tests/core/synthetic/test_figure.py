from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from deliverylab.core.cameras.ground import ground_height_m
from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.scenario import demo_scenario
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.events import EVENTS
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, key_for_role

SPECS = {
    "means": DeliverySpec(),
    "athlete": demo_scenario()["athlete-side"].spec,
    "small": DeliverySpec(height_m=1.62, sex="female", stride_percent_height=78.0),
    "slow": DeliverySpec(lift_to_contact_s=1.15, run_out_s=0.2, lead_in_s=0.9),
    "left": DeliverySpec(hand="left"),
}
ANGLE_EVENTS = ("leg_lift", "push", "foot_contact", "full_layback", "release")
TIGHT_DEG = 1e-6  # the motion meets its spec by construction; only rounding is left


@pytest.fixture(params=list(SPECS))
def spec(request):
    return SPECS[request.param]


@cache
def _built(spec):
    return build_delivery(spec, 240.0)


class _Measured:
    """Positions by role at one instant, mirrored to a right-hander, with angles of its own."""

    def __init__(self, spec, time_s):
        positions = _built(spec).motion.positions_at([time_s])
        mirror = np.array([1.0, -1.0 if spec.hand == "left" else 1.0, 1.0])
        self.p = lambda role: positions[key_for_role(role, spec.hand)][0] * mirror

    def flexion(self, a, b, c):
        u, v = self.p(a) - self.p(b), self.p(c) - self.p(b)
        return 180.0 - np.degrees(np.arctan2(np.linalg.norm(np.cross(u, v)), u @ v))

    def knee(self, leg):
        return self.flexion(f"{leg}_hip", f"{leg}_knee", f"{leg}_ankle")

    def turn(self, throwing, glove):
        line = self.p(glove) - self.p(throwing)
        return np.degrees(np.arctan2(line[1], line[0]))

    def trunk(self):
        hips = 0.5 * (self.p("drive_hip") + self.p("lead_hip"))
        shoulders = 0.5 * (self.p("throwing_shoulder") + self.p("glove_shoulder"))
        return shoulders - hips


def test_angles_at_events_are_those_of_the_spec(spec):
    times = spec.key_times()
    for i, event in enumerate(ANGLE_EVENTS):
        now = _Measured(spec, times[event])
        assert now.knee("lead") == pytest.approx(spec.lead_knee_flexion_deg[i], abs=TIGHT_DEG)
        pelvis = now.turn("drive_hip", "lead_hip")
        assert pelvis == pytest.approx(spec.pelvis_deg[i], abs=TIGHT_DEG)
        shoulders = now.turn("throwing_shoulder", "glove_shoulder")
        assert shoulders == pytest.approx(spec.shoulder_line_deg[i], abs=TIGHT_DEG)
        d = now.trunk()
        forward = np.degrees(np.arctan2(d[0], d[2]))
        assert forward == pytest.approx(spec.trunk_forward_deg[i], abs=TIGHT_DEG)
        if i < 3:
            drive = spec.drive_knee_flexion_deg[i]
            assert now.knee("drive") == pytest.approx(drive, abs=TIGHT_DEG)
    for i, event in enumerate(("leg_lift", "foot_contact", "full_layback", "release")):
        d = _Measured(spec, times[event]).trunk()
        lateral = np.degrees(np.arctan2(d[1], d[2]))
        assert lateral == pytest.approx(spec.trunk_lateral_deg[i], abs=TIGHT_DEG)


def test_throwing_arm_at_events_is_that_of_the_spec(spec):
    times = spec.key_times()
    for i, event in enumerate(("foot_contact", "full_layback", "release")):
        now = _Measured(spec, times[event])
        elbow = now.flexion("throwing_shoulder", "throwing_elbow", "throwing_wrist")
        assert elbow == pytest.approx(spec.elbow_flexion_deg[i], abs=TIGHT_DEG)
        up = now.trunk() / np.linalg.norm(now.trunk())
        arm = now.p("throwing_elbow") - now.p("throwing_shoulder")
        arm /= np.linalg.norm(arm)
        abduction = np.degrees(np.arccos(arm @ -up))
        assert abduction == pytest.approx(spec.shoulder_abduction_deg[i], abs=TIGHT_DEG)
        across = now.p("glove_shoulder") - now.p("throwing_shoulder")
        across -= (across @ up) * up
        across /= np.linalg.norm(across)
        front = np.cross(across, up)
        horizontal = np.degrees(np.arctan2(-arm @ front, -arm @ across))
        assert horizontal == pytest.approx(spec.horizontal_abduction_deg[i], abs=TIGHT_DEG)
        fore = now.p("throwing_wrist") - now.p("throwing_elbow")
        ahead = front - (front @ arm) * arm
        ahead /= np.linalg.norm(ahead)
        laid = np.degrees(np.arctan2(fore @ np.cross(arm, ahead), fore @ ahead))
        assert laid == pytest.approx(spec.external_rotation_deg[i], abs=TIGHT_DEG)


def test_stride_and_forward_speed(spec):
    times = spec.key_times()
    lift, plant = (_Measured(spec, times[e]) for e in ("leg_lift", "foot_plant"))
    stride = plant.p("lead_ankle") - lift.p("drive_ankle")
    assert 100 * stride[0] / spec.height_m == pytest.approx(spec.stride_percent_height, abs=1e-9)
    assert -stride[1] == pytest.approx(spec.stride_closed_m, abs=1e-9)
    foot = plant.p("lead_toe") - plant.p("lead_heel")
    closed = -np.degrees(np.arctan2(foot[1], foot[0]))
    assert closed == pytest.approx(spec.lead_foot_closed_deg, abs=1e-9)
    h = 1e-4
    for event, speed in zip(("leg_lift", "foot_contact"), spec.forward_speed_m_s, strict=True):
        x = [
            0.5 * (m.p("drive_hip")[0] + m.p("lead_hip")[0])
            for m in (_Measured(spec, times[event] - h), _Measured(spec, times[event] + h))
        ]
        # the speed changes by up to 20 m/s per s, so by 2 mm/s over the difference
        assert (x[1] - x[0]) / (2 * h) == pytest.approx(speed, abs=0.003)


def test_segments_keep_their_length(spec):
    delivery = _built(spec)
    p, size = delivery.positions_m, delivery.motion.size
    lengths = {
        ("shoulder", "elbow"): size.upper_arm,
        ("elbow", "wrist"): size.forearm,
        ("wrist", "hand"): size.hand,
        ("hip", "knee"): size.thigh,
        ("knee", "ankle"): size.shank,
        ("heel", "toe"): size.foot,
    }
    for (a, b), length in lengths.items():
        for side in ("left", "right"):
            found = np.linalg.norm(p[f"{side}_{a}"] - p[f"{side}_{b}"], axis=1)
            assert found == pytest.approx(length, abs=1e-9)
    for part, width in (("shoulder", size.shoulder_width), ("hip", size.hip_width)):
        found = np.linalg.norm(p[f"left_{part}"] - p[f"right_{part}"], axis=1)
        assert found == pytest.approx(width, abs=1e-9)
    neck_to_head = np.linalg.norm(p["head_top"] - p["neck"], axis=1)
    assert neck_to_head == pytest.approx(size.head, abs=1e-9)


def test_feet_stay_on_and_above_the_ground(spec):
    delivery = _built(spec)
    p, size, times = delivery.positions_m, delivery.motion.size, delivery.events
    for side in ("left", "right"):
        for part in ("heel", "toe", "ankle", "knee", "hand"):
            place = p[f"{side}_{part}"]
            above = place[:, 2] - ground_height_m(place[:, 0], place[:, 1])
            # heel and toe landmarks are one sole above the ground; the dragged toe may dip 4 mm
            assert above.min() > size.sole - 0.004
    after = delivery.times_s >= times["foot_plant"]
    for part in ("ankle", "heel", "toe"):
        lead = p[key_for_role(f"lead_{part}", spec.hand)][after]
        assert np.ptp(lead, axis=0) == pytest.approx(0.0, abs=1e-9)
    before = delivery.times_s < times["foot_contact"] - 0.06
    assert np.ptp(p[key_for_role("drive_toe", spec.hand)][before], axis=0) == pytest.approx(0.0)


def test_first_touch_is_foot_contact(spec):
    delivery = _built(spec)
    contact = delivery.events["foot_contact"]
    lift = delivery.events["leg_lift"]
    t = np.arange(lift, contact + 0.02, 2e-4)
    heel = delivery.motion.positions_at(t)[key_for_role("lead_heel", spec.hand)]
    above = heel[:, 2] - ground_height_m(heel[:, 0], heel[:, 1]) - delivery.motion.size.sole
    touch = above[np.searchsorted(t, contact)]
    assert np.all(above[t < contact - 2e-4] > touch)
    # falling at some 0.5 m/s: 4 ms before touch the gap has opened by more than a millimetre
    assert above[np.searchsorted(t, contact - 0.004)] - touch > 0.001


def test_lead_knee_is_highest_at_leg_lift(spec):
    delivery = _built(spec)
    lift = delivery.events["leg_lift"]
    t = np.arange(max(0.0, lift - 0.6), delivery.times_s[-1], 2e-4)
    height = delivery.motion.positions_at(t)[key_for_role("lead_knee", spec.hand)][:, 2]
    # flat at the top: a quarter of a frame at 240 Hz
    assert t[height.argmax()] == pytest.approx(lift, abs=1e-3)


def test_layback_is_greatest_at_its_event_and_release_follows_the_fastest_hand(spec):
    delivery = _built(spec)
    events = delivery.events
    t = np.arange(events["foot_contact"], events["finish"] + 0.1, 2e-4)
    now = delivery.motion.positions_at(t)
    hand = now[key_for_role("throwing_hand", spec.hand)]
    speed = np.gradient(hand[:, 0], t)
    # common practice from captured deliveries: release about 10 ms after the peak
    assert 0.004 < events["release"] - t[speed.argmax()] < 0.020
    layback = _Measured(spec, events["full_layback"])
    assert layback.flexion("throwing_shoulder", "throwing_elbow", "throwing_wrist") > 60


def test_events_come_in_their_order_and_hands_are_apart_at_their_break(spec):
    delivery = _built(spec)
    assert list(delivery.events) == [event.key for event in EVENTS]
    assert list(delivery.events.values()) == sorted(delivery.events.values())

    def gap(time_s):
        now = _Measured(spec, time_s)
        return float(np.linalg.norm(now.p("throwing_hand") - now.p("glove_hand")))

    together = gap(delivery.events["leg_lift"])
    assert together < 0.12
    assert gap(delivery.events["hand_break"]) - together == pytest.approx(0.10, abs=1e-6)


def test_motion_is_smooth_but_for_the_ball(spec):
    delivery = _built(spec)
    t = np.arange(0.0, delivery.times_s[-1], 5e-4)
    now = delivery.motion.positions_at(t)
    for key in LANDMARK_KEYS[:-1]:
        jerk = np.linalg.norm(np.diff(now[key], 2, axis=0), axis=1) / 2.5e-7
        # the hand is pulled round at some 4,000 m/s2; a jump of speed by 3 m/s would show 6,000
        assert jerk.max() < 6000.0, key


def test_ball_leaves_at_its_speed_falls_freely_and_crosses_the_plate(spec):
    delivery = _built(replace(spec, run_out_s=0.62))
    release = delivery.events["release"]
    t = release + np.array([0.0, 0.1, 0.2, 0.3])
    ball = delivery.motion.positions_at(t)["ball"]
    second = np.diff(ball, 2, axis=0) / 0.01
    assert second == pytest.approx(np.tile([0.0, 0.0, -9.81], (2, 1)), abs=1e-6)
    start = (ball[1] - ball[0]) / 0.1 + np.array([0.0, 0.0, 0.5 * 9.81 * 0.1])
    assert np.linalg.norm(start) == pytest.approx(spec.ball_speed_m_s, abs=1e-6)
    flight = delivery.positions_m["ball"]
    last = flight[np.flatnonzero(np.isfinite(flight[:, 0]))[-1]]
    assert last == pytest.approx([17.95, 0.0, 0.5], abs=0.16)
    held = _Measured(spec, release - 0.2)
    assert np.linalg.norm(held.p("ball") - held.p("throwing_hand")) < 0.1


def test_left_hander_is_the_mirror_image():
    right, left = (_built(SPECS[k]).positions_m for k in ("means", "left"))
    mirror = np.array([1.0, -1.0, 1.0])
    assert left["left_elbow"] == pytest.approx(right["right_elbow"] * mirror)
    assert left["ball"] == pytest.approx(right["ball"] * mirror, nan_ok=True)


def test_rate_and_stacking():
    delivery = build_delivery(SPECS["means"], 60.0)
    assert np.diff(delivery.times_s) == pytest.approx(1 / 60)
    assert delivery.stacked_m().shape == (delivery.times_s.size, len(LANDMARK_KEYS), 3)
    assert delivery.stacked_m()[5, LANDMARK_KEYS.index("neck")] == pytest.approx(
        delivery.positions_m["neck"][5]
    )


def test_a_stride_beyond_the_legs_is_refused():
    with pytest.raises(InputValueError):
        build_delivery(DeliverySpec(stride_percent_height=125.0))


def test_gaze_is_toward_the_plate_at_release():
    gaze = _built(SPECS["means"]).motion.gaze_at([1.29])[0]
    assert np.linalg.norm(gaze) == pytest.approx(1.0)
    assert gaze[0] > 0.9
