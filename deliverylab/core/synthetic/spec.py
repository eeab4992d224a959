"""What is asked of a drawn delivery: sizes, tempo and mean kinematics at the events."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deliverylab.core.errors import InputValueError


@dataclass(frozen=True, kw_only=True)
class DeliverySpec:
    """Describe one delivery by what is measured of deliveries.

    Angles in degrees, by the definitions of the project: rotations 0 side-on and 90 facing the
    plate, flexion 0 straight, trunk tilt positive to the plate and to the glove side, arm angles
    about the trunk. The defaults are one published set of means [1]_ with the timing of another
    [2]_; what those two do not hold is said beside the value.

    Attributes
    ----------
    hand : {"right", "left"}
        Throwing hand. A left-hander is the mirror image.
    height_m, sex
        Give the segment lengths.
    stride_percent_height : float
        Drive ankle at leg lift to lead ankle at foot plant, along the line to the plate.
    stride_closed_m : float
        Lead ankle across that line from the drive ankle, positive to the closed side.
    lead_foot_closed_deg : float
        Direction of the planted lead foot, positive to the closed side.
    pelvis_deg, shoulder_line_deg, trunk_forward_deg : tuple of float
        At leg lift, push, foot contact, full layback, release.
    trunk_lateral_deg : tuple of float
        At leg lift, foot contact, full layback, release.
    lead_knee_flexion_deg : tuple of float
        At leg lift, push, foot contact, full layback, release.
    drive_knee_flexion_deg : tuple of float
        At leg lift, push, foot contact.
    forward_speed_m_s : tuple of float
        Of the middle of the hips at leg lift and at foot contact.
    hips_ahead_at_lift_m : float
        Middle of the hips ahead of the drive ankle at leg lift.
    peak_pelvis_speed_deg_s, peak_shoulder_line_speed_deg_s : float or None
        None takes what the angles and times ask for.
    shoulder_abduction_deg, horizontal_abduction_deg, external_rotation_deg, elbow_flexion_deg
        Of the throwing arm at foot contact, full layback, release.
    glove_pulled : float
        How early the glove arm comes in: the share of its way from reaching out to tucked that it has
        made by foot contact, 0 to 1, beyond the usual.

    References
    ----------
    .. [1] Kageyama M, Sugiyama T, Kanehisa H, Maeda A (2015) J Sports Sci Med 14:246-255,
       tables 2-4, collegiate column; the push is its MAP, maximal anterior push-off force.
    .. [2] Orishimo KF et al. (2023) J Strength Cond Res 37:623-628, abstract.
    """

    hand: Literal["right", "left"] = "right"
    height_m: float = 1.78  # 1.5 m stride at 84.6 % of height [1]
    sex: Literal["male", "female"] = "male"
    ball_speed_m_s: float = 35.2  # [1]

    lift_to_contact_s: float = 0.9  # [1]
    contact_to_release_s: float = 0.145  # Seroyer ST et al. (2010) Sports Health 2:135-146
    contact_to_plant_s: float = 0.025  # invented for the demo
    layback_to_release_s: float = 0.038  # 0.03-0.05 in reviews, from memory
    release_to_finish_s: float = 0.045  # 0.03-0.05 in reviews, from memory
    push_to_contact_s: float = 0.16  # invented for the demo
    lift_to_break_s: float = 0.22  # invented for the demo

    stride_percent_height: float = 84.6  # [1]
    stride_closed_m: float = 0.10  # from memory
    lead_foot_closed_deg: float = 15.0  # 14-22 in reviews, from memory
    lead_thigh_rise_deg: float = 18.0  # invented: thigh above the level at leg lift
    pelvis_deg: tuple[float, float, float, float, float] = (-34.4, -17.6, 14.8, 90.2, 101.9)  # [1]
    shoulder_line_deg: tuple[float, float, float, float, float] = (
        -24.3,
        -32.9,
        -33.4,
        79.8,
        122.5,
    )  # [1]
    trunk_forward_deg: tuple[float, float, float, float, float] = (-3.6, -15.7, -4.0, 12.9, 25.4)
    # [1], "trunk tilt"
    trunk_lateral_deg: tuple[float, float, float, float] = (0.0, -3.0, 17.0, 25.0)
    # release 21-35 in reviews, from memory; the rest invented
    lead_knee_flexion_deg: tuple[float, float, float, float, float] = (
        112.0,
        33.4,
        46.8,
        44.2,
        38.0,
    )  # [1]
    drive_knee_flexion_deg: tuple[float, float, float] = (17.0, 49.5, 28.1)  # [1]
    forward_speed_m_s: tuple[float, float] = (0.30, 1.80)  # invented for the demo
    hips_ahead_at_lift_m: float = 0.055  # invented for the demo

    peak_pelvis_speed_deg_s: float | None = 714.0  # [1]
    peak_shoulder_line_speed_deg_s: float | None = 1273.0  # [1]
    peak_pelvis_percent: float = 12.0  # of contact to release [2]
    peak_shoulder_line_percent: float = 36.0  # [2]

    # Ranges printed in reviews, from memory: abduction 78-95, elbow 74-101 at contact and 24-39
    # at release, external rotation 166-182, slightly in front of the shoulder line at layback.
    shoulder_abduction_deg: tuple[float, float, float] = (86.0, 93.0, 93.0)
    horizontal_abduction_deg: tuple[float, float, float] = (22.0, -6.0, -9.0)
    external_rotation_deg: tuple[float, float, float] = (56.0, 172.0, 112.0)
    elbow_flexion_deg: tuple[float, float, float] = (88.0, 86.0, 27.0)
    glove_pulled: float = 0.0

    lead_in_s: float = 0.25  # start of the clip before leg lift
    run_out_s: float = 0.35  # end of the clip after release

    def __post_init__(self) -> None:
        """Refuse a tempo in which the events would not follow each other.

        Raises
        ------
        InputValueError
            Naming the part that does not fit.
        """
        ordered = (
            (0.0 < self.lift_to_break_s < self.lift_to_contact_s - self.push_to_contact_s),
            (0.0 < self.contact_to_plant_s < self.contact_to_release_s - self.layback_to_release_s),
            (self.layback_to_release_s > 0.0 and self.release_to_finish_s > 0.0),
            (self.lead_in_s >= 0.0 and self.run_out_s >= 0.0 and self.height_m > 0.0),
        )
        if not all(ordered):
            raise InputValueError(
                "the events would not follow each other",
                where="tempo of the figure",
                remedy="keep break and push between lift and contact, plant and layback before release",
            )

    @property
    def stride_m(self) -> float:
        """Stride length, m."""
        return self.stride_percent_height * self.height_m / 100.0

    def key_times(self) -> dict[str, float]:
        """Give the instants that the motion is built on, s on the clip's clock.

        Returns
        -------
        dict of str to float
            leg_lift, push, foot_contact, foot_plant, full_layback, release, finish.
        """
        lift = self.lead_in_s
        contact = lift + self.lift_to_contact_s
        release = contact + self.contact_to_release_s
        return {
            "leg_lift": lift,
            "push": contact - self.push_to_contact_s,
            "foot_contact": contact,
            "foot_plant": contact + self.contact_to_plant_s,
            "full_layback": release - self.layback_to_release_s,
            "release": release,
            "finish": release + self.release_to_finish_s,
        }
