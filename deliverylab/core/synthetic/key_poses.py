"""Key poses of hips and feet: where stride, knee angles and the ground put them at each instant."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import fsolve

from deliverylab.core.cameras.ground import ground_height_m
from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.curves import Curve
from deliverylab.core.synthetic.kinematics import foot_axes, reach_m, turned_line
from deliverylab.core.synthetic.proportions import Proportions
from deliverylab.core.synthetic.spec import DeliverySpec

Array = NDArray[np.float64]

# Invented for the figure: the drive foot stands against the rubber, a little to the throwing side.
_DRIVE_TOE = (0.045, -0.18)
_TOUCH_M = 0.006  # the sole gives way by this much between touch and plant
_SLIDE_M = 0.015
_TOE_UP_DEG = 10.0


class KeyPoses:
    """Key poses of the lower body, worked out one after the other."""

    def __init__(
        self, spec: DeliverySpec, size: Proportions, times: dict[str, float], rotation: Curve
    ) -> None:
        self.spec, self.size = spec, size
        self.t = {**times, "set": times["leg_lift"] - 0.70, "after": times["release"] + 0.13}
        self.t |= {"half": times["leg_lift"] + 0.52 * (times["push"] - times["leg_lift"])}
        self.t |= {"end": times["release"] + 0.36}
        self.rotation = rotation
        self.rise = self.curve(
            {"set": 0, "leg_lift": 6, "push": -6, "foot_contact": -5, "release": 4, "end": 6}
        )
        slope = float(np.degrees(np.arctan(1 / 12)))
        closed = spec.lead_foot_closed_deg
        lying = slope * float(np.cos(np.radians(closed)))
        self.drive_turn = Curve(
            [
                (self.t["set"], (-90.0, 0.0, 0.0)),
                (self.t["leg_lift"], (-90.0, 0.0, 0.0)),
                (self.t["half"], (-90.0, 0.0, 0.0)),
                (self.t["push"], (-87.0, 6.0, 6.0)),
                (self.t["foot_contact"], (-74.0, 38.0, 22.0)),
                (self.t["release"], (-38.0, 66.0, 10.0)),
                (self.t["after"], (-25.0, 82.0, 0.0)),
                (self.t["end"], (-20.0, 60.0, 0.0)),
            ]
        )
        self.lead_turn = Curve(
            [
                (self.t["set"], (-84.0, 0.0, 0.0)),
                (self.t["leg_lift"] - 0.30, (-90.0, 30.0, 0.0)),
                (self.t["leg_lift"], (-97.0, 24.0, 0.0), (0.0, 0.0, 0.0)),
                (self.t["half"], (-80.0, 10.0, 0.0)),
                (self.t["push"], (-48.0, -6.0, 0.0)),
                (self.t["foot_contact"], (-closed - 2.0, lying - _TOE_UP_DEG, 0.0)),
                (self.t["foot_plant"], (-closed, lying, 0.0), (0.0, 0.0, 0.0), (0.0, 0.0, 0.0)),
                (self.t["end"], (-closed, lying, 0.0)),
            ]
        )
        self._middle: dict[str, tuple[float, float, float]] = {}
        self._place_ends()

    def curve(self, values: dict[str, float]) -> Curve:
        """Run through one number at each key time."""
        return Curve([(self.t[k], float(v)) for k, v in values.items()])

    def toward(self, azimuths: dict[str, float], lift: float) -> Curve:
        """Give the direction into which a knee points, raised by ``lift`` after the stride."""
        rows = []
        for key, azimuth in azimuths.items():
            turn = np.radians(azimuth)
            rise = lift if key in {"foot_contact", "release"} else 0.0
            rows.append((self.t[key], (np.cos(turn), np.sin(turn), rise)))
        return Curve(rows)

    # -- where each foot is at a key time

    def _ankle_from_toe(self, key: str, toe: Array) -> Array:
        forward, upward = foot_axes(*self.drive_turn(self.t[key]).T)
        back = self.size.foot - self.size.ankle_ahead
        out: Array = toe - back * forward[0] + self.size.ankle_above * upward[0]
        return out

    def _heel_from_ankle(self, key: str, ankle: Array) -> Array:
        forward, upward = foot_axes(*self.lead_turn(self.t[key]).T)
        size = self.size
        out: Array = ankle - size.ankle_ahead * forward[0] - size.ankle_above * upward[0]
        return out

    def _place_ends(self) -> None:
        size, spec = self.size, self.spec
        self.toe0 = np.array([*_DRIVE_TOE, size.sole])
        self.ankle0 = self._ankle_from_toe("leg_lift", self.toe0)
        lead = self.ankle0 + np.array([spec.stride_m, -spec.stride_closed_m, 0.0])
        heel = self._heel_from_ankle("foot_plant", lead)
        # the planted foot lies on the slope: heel and toe landmarks one sole above the ground
        lift = float(ground_height_m(heel[0], heel[1])) + size.sole - heel[2]
        self.lead_rest = lead + np.array([0.0, 0.0, lift])
        self.heel_rest = heel + np.array([0.0, 0.0, lift])
        self.toe_contact = self.toe0 + np.array([0.05, 0.01, 0.0])
        for place in (
            self._middle_before,
            self._middle_at_contact,
            self._middle_after,
            self._middle_push,
        ):
            place()

    def _half_hips(self, key: str) -> Array:
        line = turned_line(self.rotation(self.t[key]), self.rise(self.t[key]))
        out: Array = 0.5 * self.size.hip_width * line[0]
        return out

    def _reach(self, flexion_deg: float) -> float:
        return reach_m(self.size.thigh, self.size.shank, flexion_deg)

    def _height(
        self, key: str, xy: tuple[float, float], *, ankle: Array, flexion_deg: float, side: float
    ) -> None:
        """Set the hips so high that the knee over this ankle is flexed as asked."""
        half = side * self._half_hips(key)
        level = np.hypot(xy[0] + half[0] - ankle[0], xy[1] + half[1] - ankle[1])
        reach = self._reach(flexion_deg)
        if level >= reach:
            raise InputValueError(
                f"the hips stand too far from the foot at {key}",
                where="figure",
                remedy="change the stride, the knee flexion or the forward speed",
            )
        height = ankle[2] + np.sqrt(reach**2 - level**2) - half[2]
        self._middle[key] = (xy[0], xy[1], float(height))

    # -- hips at the key times

    def _middle_before(self) -> None:
        x, y = self.ankle0[0], self.ankle0[1]
        drive = self.spec.drive_knee_flexion_deg
        over = {
            "set": (x + 0.17, y - 0.03),
            "leg_lift": (x + self.spec.hips_ahead_at_lift_m, y - 0.045),
        }
        for key, xy in over.items():
            flexion = 16.0 if key == "set" else drive[0]
            self._height(key, xy, ankle=self.ankle0, flexion_deg=flexion, side=-1)

    def _middle_at_contact(self) -> None:
        """Meet both knee angles at once."""
        key = "foot_contact"
        half = self._half_hips(key)
        drive = self._ankle_from_toe(key, self.toe_contact)
        forward, upward = foot_axes(*self.lead_turn(self.t[key]).T)
        heel = self.heel_rest + np.array([-_SLIDE_M, 0.0, 0.0])
        heel[2] = ground_height_m(heel[0], heel[1]) + self.size.sole + _TOUCH_M
        self.heel_contact = heel
        lead = heel + self.size.ankle_ahead * forward[0] + self.size.ankle_above * upward[0]
        drive_reach = self._reach(self.spec.drive_knee_flexion_deg[2])
        lead_reach = self._reach(self.spec.lead_knee_flexion_deg[2])
        across = 0.45 * drive[1] + 0.55 * lead[1]

        def misfit(xz: Array) -> list[float]:
            hips = np.array([xz[0], across, xz[1]])
            return [
                float(np.linalg.norm(hips - half - drive)) - drive_reach,
                float(np.linalg.norm(hips + half - lead)) - lead_reach,
            ]

        start = [0.5 * (drive[0] + lead[0]), lead[2] + 0.6]
        found, _, ok, _ = fsolve(misfit, start, full_output=True)
        if ok != 1:
            raise InputValueError(
                "no place for the hips fits both legs at foot contact",
                where="figure",
                remedy="shorten the stride or straighten the knees",
            )
        self._middle[key] = (float(found[0]), float(across), float(found[1]))

    def _middle_push(self) -> None:
        spec, contact = self.spec, self._middle["foot_contact"]
        x = contact[0] - 0.80 * spec.forward_speed_m_s[1] * spec.push_to_contact_s
        lift = self._middle["leg_lift"]
        y = 0.3 * lift[1] + 0.7 * contact[1]
        ankle = self._ankle_from_toe("push", self.toe0)
        flexion = spec.drive_knee_flexion_deg
        self._height("push", (x, y), ankle=ankle, flexion_deg=flexion[1], side=-1)
        x = lift[0] + 0.28 * (x - lift[0])
        y = 0.6 * lift[1] + 0.4 * contact[1]
        bent = flexion[0] + 0.55 * (flexion[1] - flexion[0])
        self._height("half", (x, y), ankle=self.ankle0, flexion_deg=bent, side=-1)

    def _middle_after(self) -> None:
        spec, contact = self.spec, self._middle["foot_contact"]
        lead = spec.lead_knee_flexion_deg
        y = self.lead_rest[1] - 0.05
        speed = spec.forward_speed_m_s[1]
        to_layback = self.t["full_layback"] - self.t["foot_contact"]
        x = contact[0] + 0.78 * speed * to_layback
        after = {
            "full_layback": (x, 0.25 * contact[1] + 0.75 * y, lead[3]),
            "release": (x + 0.50 * speed * spec.layback_to_release_s, y, lead[4]),
        }
        x = after["release"][0]
        after["after"] = (x + 0.10, y, max(lead[4] - 7.0, 8.0))
        after["end"] = (x + 0.22, y + 0.02, max(lead[4] - 14.0, 8.0))
        for key, (ahead, across, bent) in after.items():
            self._height(key, (ahead, across), ankle=self.lead_rest, flexion_deg=bent, side=1)

    def middle(self) -> tuple[Curve, Curve, Curve]:
        """Give the curves of the middle of the hips."""
        order = [
            *("set", "leg_lift", "half", "push", "foot_contact"),
            *("full_layback", "release", "after", "end"),
        ]
        slopes = dict(zip(("leg_lift", "foot_contact"), self.spec.forward_speed_m_s, strict=True))
        place = self._middle
        back = (self.t["leg_lift"] - 0.32, place["leg_lift"][0] - 0.035)
        x = [(self.t[k], place[k][0], slopes.get(k)) for k in order]
        x.insert(1, (*back, None))
        y = Curve([(self.t[k], place[k][1]) for k in order])
        z = Curve([(self.t[k], place[k][2], 0.0 if k == "leg_lift" else None) for k in order])
        return Curve(x), y, z

    # -- feet

    def drive_toe(self) -> Curve:
        """Hold the toe against the rubber, drag it after contact, swing it through."""
        size = self.size
        rows: list[tuple[object, ...]] = [
            (self.t["set"], self.toe0),
            (self.t["foot_contact"] - 0.06, self.toe0),
            (self.t["foot_contact"], self.toe_contact),
        ]
        for key, flexion, away, height in (
            ("release", 42.0, (-0.80, -0.05), 0.0),
            ("after", 62.0, (-0.75, -0.18), 0.12),
            ("end", 80.0, (0.10, -0.55), 0.16),
        ):
            hip = np.array(self._middle[key]) - self._half_hips(key)
            offset = self._ankle_from_toe(key, np.zeros(3))
            guess = hip[:2] + np.array(away)
            toe_z = float(ground_height_m(guess[0], guess[1])) + size.sole + height
            drop = toe_z + offset[2] - hip[2]
            level = np.sqrt(max(self._reach(flexion) ** 2 - drop**2, 0.01))
            ankle = hip[:2] + level * np.array(away) / np.hypot(*away)
            toe = np.array([*(ankle - offset[:2]), 0.0])
            toe[2] = float(ground_height_m(toe[0], toe[1])) + size.sole + height
            rows.append((self.t[key], toe))
        return Curve(rows)

    def lead_heel(self) -> Curve:
        """Lift, lower and plant the lead foot."""
        lead, t = self.spec.lead_knee_flexion_deg, self.t
        set_ankle = self.ankle0 + np.array([0.40, 0.0, 0.0])
        turn, rise = np.radians(-97.0), np.radians(self.spec.lead_thigh_rise_deg)
        hang = rise - np.radians(lead[0])
        level = np.array([np.cos(turn), np.sin(turn), 0.0])
        up = np.array([0.0, 0.0, 1.0])
        thigh = self.size.thigh * (level * np.cos(rise) + up * np.sin(rise))
        shank = self.size.shank * (level * np.cos(hang) + up * np.sin(hang))
        held = self._lead_hip("leg_lift") + thigh + shank
        down = np.array([0.34, -0.30, -0.86])
        lowered = self._lead_hip("half") + self._reach(78.0) * down / np.linalg.norm(down)
        ahead = np.array([0.70, -0.16, -0.66])
        reached = self._lead_hip("push") + self._reach(lead[1]) * ahead / np.linalg.norm(ahead)
        with_hips = (self.spec.forward_speed_m_s[0], 0.0, 0.0)
        falling, still = (0.0, 0.0, -5.0), (0.0, 0.0, 0.0)
        return Curve(
            [
                (t["set"], self._heel_from_ankle("set", set_ankle)),
                (t["leg_lift"], self._heel_from_ankle("leg_lift", held), with_hips, falling),
                (t["half"], self._heel_from_ankle("half", lowered)),
                (t["push"], self._heel_from_ankle("push", reached)),
                (t["foot_contact"], self.heel_contact, (1.0, 0.0, -0.55)),
                (t["foot_plant"], self.heel_rest, still, still),
                (t["end"], self.heel_rest),
            ]
        )

    def _lead_hip(self, key: str) -> Array:
        out: Array = np.array(self._middle[key]) + self._half_hips(key)
        return out
