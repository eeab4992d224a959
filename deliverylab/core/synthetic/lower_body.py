"""Hips, legs and feet of a delivery: where the ground and the knee angles put them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.synthetic.curves import Curve
from deliverylab.core.synthetic.key_poses import KeyPoses
from deliverylab.core.synthetic.kinematics import (
    bend_knee,
    foot_axes,
    pull_within_reach,
    turned_line,
)
from deliverylab.core.synthetic.proportions import Proportions
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.synthetic.turning import turning_curve

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class LowerBody:
    """Hold the curves that move hips and feet; build it with `step`."""

    size: Proportions
    middle: tuple[Curve, Curve, Curve]
    rotation: Curve
    rise: Curve
    drive_toe: Curve
    drive_turn: Curve
    lead_heel: Curve
    lead_turn: Curve
    drive_knee_to: Curve
    lead_knee_to: Curve

    def at(self, times_s: Array) -> dict[str, Array]:
        """Place hips, knees, ankles, heels and toes.

        Parameters
        ----------
        times_s : Array, shape (n,), s

        Returns
        -------
        dict of str to Array, each shape (n, 3), m
            Keys by role (``drive_knee``), and ``mid_hip``.

        Raises
        ------
        InputValueError
            Where a leg does not reach.
        """
        size = self.size
        middle = np.stack([c(times_s) for c in self.middle], -1)
        half = 0.5 * size.hip_width * turned_line(self.rotation(times_s), self.rise(times_s))
        out = {"mid_hip": middle, "drive_hip": middle - half, "lead_hip": middle + half}
        forward, upward = foot_axes(*self.drive_turn(times_s).T)
        toe = self.drive_toe(times_s)
        out |= {"drive_toe": toe, "drive_heel": toe - size.foot * forward}
        out["drive_ankle"] = (
            out["drive_heel"] + size.ankle_ahead * forward + size.ankle_above * upward
        )
        forward, upward = foot_axes(*self.lead_turn(times_s).T)
        heel = self.lead_heel(times_s)
        out |= {"lead_heel": heel, "lead_toe": heel + size.foot * forward}
        out["lead_ankle"] = heel + size.ankle_ahead * forward + size.ankle_above * upward
        for leg, toward in (("drive", self.drive_knee_to), ("lead", self.lead_knee_to)):
            pull = pull_within_reach(
                out[f"{leg}_hip"], out[f"{leg}_ankle"], size.thigh + size.shank
            )
            for part in ("ankle", "heel", "toe"):
                out[f"{leg}_{part}"] = out[f"{leg}_{part}"] + pull
            out[f"{leg}_knee"] = bend_knee(
                out[f"{leg}_hip"], out[f"{leg}_ankle"], size.thigh, size.shank, toward(times_s)
            )
        return out


def step(spec: DeliverySpec, size: Proportions) -> LowerBody:
    """Work out the curves of hips, legs and feet for one delivery.

    Parameters
    ----------
    spec : DeliverySpec
    size : Proportions

    Returns
    -------
    LowerBody

    Raises
    ------
    InputValueError
        Where stride and knee angles do not fit the leg lengths.
    """
    times = spec.key_times()
    rotation = turning_curve(
        times,
        spec.pelvis_deg,
        peak_speed_deg_s=spec.peak_pelvis_speed_deg_s,
        peak_percent=spec.peak_pelvis_percent,
        start_share=0.96,
        set_deg=-4.0,
        follow_deg=8.0,
    )
    plan = KeyPoses(spec, size, times, rotation)
    return LowerBody(
        size=size,
        middle=plan.middle(),
        rotation=rotation,
        rise=plan.rise,
        drive_toe=plan.drive_toe(),
        drive_turn=plan.drive_turn,
        lead_heel=plan.lead_heel(),
        lead_turn=plan.lead_turn,
        drive_knee_to=plan.toward(
            {"set": -88, "leg_lift": -88, "push": -52, "foot_contact": -35, "release": -12}, -0.25
        ),
        lead_knee_to=plan.toward(
            {"set": -84, "leg_lift": -97, "push": -38, "foot_contact": -12, "release": -6}, 0.25
        ),
    )
