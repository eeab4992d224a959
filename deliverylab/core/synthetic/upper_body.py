"""Trunk, head and arms of a delivery: angles at the events, smooth in between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from deliverylab.core.synthetic.curves import Curve
from deliverylab.core.synthetic.kinematics import (
    ArmAngles,
    TrunkFrame,
    arm_directions,
    rise_square_to,
    trunk_direction,
    turned_line,
    unit,
)
from deliverylab.core.synthetic.proportions import Proportions
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.synthetic.turning import turning_curve

Array = NDArray[np.float64]

# Both arms while the hands are together: abduction, horizontal, flexion, wrist, deg. Invented.
_TOGETHER = {"abduction": 24.0, "horizontal": -42.0, "flexion": 108.0, "wrist": 8.0}
_HANDS_APART_SHARE = 0.026  # of the shoulder width per side: the ball's place in the glove

# Arm angles where no event fixes them: time, then abduction, horizontal, rotation, flexion, wrist.
# Invented to look like a throw; times are shares of break to push, or seconds from an event.
_THROWING_ON_THE_WAY = {
    "down": (34.0, 6.0, 4.0, 26.0, 0.0),
    "up": (66.0, 26.0, 10.0, 62.0, 12.0),
}
_GLOVE_ON_THE_WAY = {
    "down": (44.0, -16.0, -6.0, 48.0, 0.0),
    "up": (84.0, 2.0, -14.0, 24.0, -8.0),
    "foot_contact": (80.0, 0.0, 4.0, 50.0, -8.0),
    "full_layback": (48.0, -4.0, 14.0, 106.0, 6.0),
    "release": (34.0, 6.0, -8.0, 122.0, 10.0),
    "end": (26.0, 14.0, -14.0, 112.0, 6.0),
}
_PULLED_EARLIER_S = 0.07  # how much earlier a glove reaches out that is wholly in at contact
_FOLLOW_THROUGH = {
    "finish": (88.0, -34.0, 8.0, 24.0, -34.0),
    "across": (70.0, -66.0, 24.0, 30.0, -20.0),
    "end": (48.0, -76.0, 34.0, 44.0, -6.0),
}
# deg/s of the same five; puts the fastest forward hand about 12 ms before release
_SPEED_AT_RELEASE = (0.0, -100.0, -3400.0, -1000.0, -450.0)
_WRIST = {"foot_contact": 18.0, "full_layback": 30.0, "release": 4.0}


@dataclass(frozen=True, kw_only=True)
class UpperBody:
    """Hold the curves that move trunk, head and arms; build it with `swing`."""

    size: Proportions
    tilt: Curve
    rotation: Curve
    shrug: Curve
    throwing: Curve
    glove: Curve
    look: Curve

    def at(self, times_s: Array, mid_hip: Array) -> dict[str, Array]:
        """Place neck, head, shoulders, elbows, wrists and hands.

        Parameters
        ----------
        times_s : Array, shape (n,), s
        mid_hip : Array, shape (n, 3), m

        Returns
        -------
        dict of str to Array, each shape (n, 3), m
            Keys by role, ``grip`` (centre of a held ball) and ``face`` (unit vector of the gaze).
        """
        size = self.size
        up = trunk_direction(*self.tilt(times_s).T)
        turn = self.rotation(times_s)
        line = turned_line(turn, rise_square_to(up, turn) + self.shrug(times_s))
        frame = TrunkFrame.of(up, line)
        middle = mid_hip + size.trunk * up
        out = {"neck": middle + size.neck * up}
        out["throwing_shoulder"] = middle - 0.5 * size.shoulder_width * line
        out["glove_shoulder"] = middle + 0.5 * size.shoulder_width * line
        for arm, curve in (("throwing", self.throwing), ("glove", self.glove)):
            angles = ArmAngles(*curve(times_s).T)
            upper, fore, hand, back = arm_directions(frame, angles, is_throwing=arm == "throwing")
            out[f"{arm}_elbow"] = out[f"{arm}_shoulder"] + size.upper_arm * upper
            out[f"{arm}_wrist"] = out[f"{arm}_elbow"] + size.forearm * fore
            out[f"{arm}_hand"] = out[f"{arm}_wrist"] + size.hand * hand
            if arm == "throwing":
                out["grip"] = (
                    out["throwing_hand"] + size.ball_ahead * hand - 0.4 * (size.ball_ahead * back)
                )
        face = unit(self.look(times_s))
        upright = unit(0.55 * up + np.array([0.0, 0.0, 0.45]) + 0.16 * face)
        out["head_top"] = out["neck"] + size.head * upright
        out["face"] = unit(face - np.sum(face * upright, -1, keepdims=True) * upright)
        return out


def swing(spec: DeliverySpec, size: Proportions) -> UpperBody:
    """Work out the curves of trunk, head and arms for one delivery.

    Parameters
    ----------
    spec : DeliverySpec
    size : Proportions

    Returns
    -------
    UpperBody
    """
    times = spec.key_times()
    times |= {
        "set": times["leg_lift"] - 0.70,
        "break": times["leg_lift"] + spec.lift_to_break_s,
        "end": times["release"] + 0.36,
        "across": times["release"] + 0.14,
        "up": times["foot_contact"] - 0.085,
    }
    times["down"] = times["break"] + 0.62 * (times["push"] - times["break"])
    rotation = turning_curve(
        times,
        spec.shoulder_line_deg,
        peak_speed_deg_s=spec.peak_shoulder_line_speed_deg_s,
        peak_percent=spec.peak_shoulder_line_percent,
        start_share=0.05,
        set_deg=-4.0,
        follow_deg=14.0,
    )
    shrug = {"set": 0, "leg_lift": 3, "push": -7, "foot_contact": -2, "full_layback": 0, "end": 0}
    look = {"set": -40, "leg_lift": -24, "push": -8, "foot_contact": 0, "end": 4}
    rows = [
        (times[k], (np.cos(np.radians(a)), np.sin(np.radians(a)), -0.06)) for k, a in look.items()
    ]
    return UpperBody(
        size=size,
        tilt=_tilt(spec, times),
        rotation=rotation,
        shrug=Curve([(times[k], float(v)) for k, v in shrug.items()]),
        throwing=_throwing_arm(spec, size, times),
        glove=_glove_arm(spec, size, times),
        look=Curve(rows),
    )


def _tilt(spec: DeliverySpec, times: dict[str, float]) -> Curve:
    forward, lateral = spec.trunk_forward_deg, spec.trunk_lateral_deg
    across_push = 0.5 * (lateral[0] + lateral[1]) - 3.0
    return Curve(
        [
            (times["set"], (0.0, 0.0)),
            (times["leg_lift"], (forward[0], lateral[0])),
            (times["push"], (forward[1], across_push)),
            (times["foot_contact"], (forward[2], lateral[1])),
            (times["full_layback"], (forward[3], lateral[2])),
            (times["release"], (forward[4], lateral[3])),
            (times["finish"], (forward[4] + 11.0, lateral[3] + 1.0)),
            (times["across"], (forward[4] + 27.0, lateral[3] - 3.0)),
            (times["end"], (forward[4] + 33.0, lateral[3] - 9.0)),
        ]
    )


def _together(size: Proportions) -> tuple[float, float, float, float, float]:
    """Turn the forearms in until both hands meet in front of the chest."""
    axis = np.array([[1.0, 0.0, 0.0]])
    frame = TrunkFrame.of(np.array([[0.0, 0.0, 1.0]]), axis)
    pose = {k: np.array([v]) for k, v in _TOGETHER.items()}

    def apart(rotation: float) -> float:
        angles = ArmAngles(rotation=np.array([rotation]), **pose)
        upper, fore, hand, _ = arm_directions(frame, angles, is_throwing=False)
        reach = size.upper_arm * upper + size.forearm * fore + size.hand * hand
        return float(0.5 * size.shoulder_width + reach[0, 0] - _HANDS_APART_SHARE)

    turned = float(brentq(apart, -90.0, 60.0))
    t = _TOGETHER
    return t["abduction"], t["horizontal"], turned, t["flexion"], t["wrist"]


def _throwing_arm(spec: DeliverySpec, size: Proportions, times: dict[str, float]) -> Curve:
    held = _together(size)
    rows: list[tuple[object, ...]] = [(times["set"], held), (times["break"], held)]
    rows += [(times[k], v) for k, v in _THROWING_ON_THE_WAY.items()]
    at_events = zip(
        ("foot_contact", "full_layback", "release"),
        spec.shoulder_abduction_deg,
        spec.horizontal_abduction_deg,
        spec.external_rotation_deg,
        spec.elbow_flexion_deg,
        strict=True,
    )
    for event, abduction, horizontal, rotation, flexion in at_events:
        pose = (abduction, horizontal, rotation, flexion, _WRIST[event])
        rows.append((times[event], pose, _SPEED_AT_RELEASE if event == "release" else None))
        if event == "foot_contact":
            bent = max(flexion, spec.elbow_flexion_deg[1]) + 8.0
            laid = 0.5 * (rotation + spec.external_rotation_deg[1])
            level = 0.5 * (abduction + spec.shoulder_abduction_deg[1])
            ahead = 0.5 * (horizontal + spec.horizontal_abduction_deg[1])
            middle = 0.48 * times[event] + 0.52 * times["full_layback"]
            rows.append((middle, (level, ahead, laid, bent, 30.0)))
    rows += [(times[k], v) for k, v in _FOLLOW_THROUGH.items()]
    return Curve(rows)


def _glove_arm(spec: DeliverySpec, size: Proportions, times: dict[str, float]) -> Curve:
    """Reach out, and come in; a pulled glove reaches out earlier and is nearly in at contact."""
    held = _together(size)
    way = _GLOVE_ON_THE_WAY
    reaching, tucked = np.array(way["foot_contact"]), np.array(way["full_layback"])
    poses = way | {"foot_contact": tuple(reaching + spec.glove_pulled * (tucked - reaching))}
    times = times | {"up": times["up"] - _PULLED_EARLIER_S * spec.glove_pulled}
    rows: list[tuple[object, ...]] = [(times["set"], held), (times["break"], held)]
    rows += [(times[k], pose) for k, pose in poses.items()]
    return Curve(rows)
