"""Drills for the legs and the hips, in our own words; all of them common practice.

Their names say what is done.  Most need neither a ball nor a mound.
"""

from __future__ import annotations

from deliverylab.core.compare.cue_rows import drill
from deliverylab.core.compare.link_rows import less, more
from deliverylab.core.model.library import Drill

_CONTACT, _PLANT, _LIFT = "foot_contact", "foot_plant", "leg_lift"

GETTING_AWAY: tuple[Drill, ...] = (
    drill(
        "Hip to the wall",
        "Stand side-on, a shoe’s length from a wall on the plate’s side. Lift the knee and let the "
        "front hip touch the wall before the knee is at its top. 3 × 6.",
        more("com_lean_from_drive_ankle", _LIFT),
        more("com_ahead_of_drive_ankle", _LIFT),
        more("com_forward_speed", _LIFT),
    ),
    drill(
        "Walk into the delivery",
        "Without a ball: two walking steps along the line to the plate, and into the delivery "
        "without a stop. 2 × 8.",
        more("com_forward_speed", _LIFT),
        more("com_forward_speed", _CONTACT),
        more("max_com_forward_speed"),
        less("max_com_forward_speed_time"),
        less("lift_to_contact_time"),
    ),
    drill(
        "Knee up and hold",
        "Lift the knee, hold it for two seconds over the middle of the foot, then go. Without a "
        "ball, 3 × 6.",
        less("com_lean_from_drive_ankle", _LIFT),
        less("com_ahead_of_drive_ankle", _LIFT),
        less("com_forward_speed", _LIFT),
        less("drive_knee_flexion", _LIFT),
        less("trunk_forward_tilt", _LIFT),
        more("trunk_forward_tilt", _LIFT),
    ),
    drill(
        "Stride to a slow count",
        "Without a ball: count one for the knee, two and three for the way out, four for the foot. "
        "Stand still on four. 2 × 8.",
        more("lift_to_contact_time"),
        less("com_forward_speed", _CONTACT),
        less("max_com_forward_speed"),
        less("drive_knee_push_time"),
    ),
    drill(
        "Side jump off the back leg",
        "From a slight bend in the back knee, jump sideways toward the plate off that leg and land "
        "on both feet, softly. 3 × 5, with a rest in between.",
        more("peak_drive_knee_extension_speed"),
        more("drive_knee_push_time"),
        more("drive_knee_flexion", _LIFT),
        less("drive_knee_flexion", _CONTACT),
        more("support_force_direction"),
        more("com_forward_speed", _CONTACT),
        more("max_com_forward_speed"),
        caution="On a floor that is not slippery; leave it out when a knee or a hip hurts.",
    ),
)
"""Over the back foot and out."""

FRONT_FOOT: tuple[Drill, ...] = (
    drill(
        "Stride to a strip of tape",
        "Lay a strip of tape where the front foot shall land, a shoe’s width from where it lands "
        "now, and step on it without a ball. 3 × 8; move the strip when it comes by itself.",
        more("stride_length"),
        more("stride_length_m"),
        less("stride_length"),
        less("stride_length_m"),
    ),
    drill(
        "Stride along a line",
        "Draw a line from the middle of the back foot to the plate. Stride without a ball, stop "
        "when the foot is down, and look where it stands and where the toes point. 3 × 8.",
        more("stride_offset"),
        less("stride_offset"),
        more("lead_foot_direction", _PLANT),
        less("lead_foot_direction", _PLANT),
    ),
)
"""Where the front foot goes."""

HIPS: tuple[Drill, ...] = (
    drill(
        "Leg lift before a mirror",
        "Stand side-on to the mirror, lift the knee, and look how far hips and shoulders have "
        "turned in. 3 × 6.",
        less("pelvis_rotation", _LIFT),
        more("pelvis_rotation", _LIFT),
        less("shoulder_line_rotation", _LIFT),
        more("shoulder_line_rotation", _LIFT),
    ),
    drill(
        "Foot down and freeze",
        "Deliver slowly without a ball and freeze when the front foot is down. Look: where do belt "
        "and front shoulder point, and where is the chest? 3 × 6.",
        less("pelvis_rotation", _CONTACT),
        more("pelvis_rotation", _CONTACT),
        less("shoulder_line_rotation", _CONTACT),
        more("shoulder_line_rotation", _CONTACT),
        less("trunk_forward_tilt", _CONTACT),
        less("trunk_forward_tilt", _PLANT),
        more("trunk_forward_tilt", _CONTACT),
        more("trunk_forward_tilt", _PLANT),
    ),
    drill(
        "Belt turn from the landing position",
        "Stand as when the foot has just landed, hands on the belt. Turn the belt to the plate at "
        "once and quickly, the back heel coming up. 3 × 8.",
        more("pelvis_rotation", "release"),
        more("pelvis_rotation", _CONTACT),
        more("peak_pelvis_speed"),
        less("peak_pelvis_speed_time"),
    ),
)
"""Turned in at leg lift, and opened as the foot comes down."""

FRONT_KNEE: tuple[Drill, ...] = (
    drill(
        "Quiet landing",
        "Stride without a ball and land so that nobody hears it, the knee giving a little; stand "
        "for two seconds. 3 × 6.",
        more("lead_knee_flexion", _CONTACT),
        more("lead_knee_flexion", _PLANT),
        less("com_forward_speed", _CONTACT),
    ),
    drill(
        "Step up and get tall",
        "Put the front foot on a firm step a hand’s breadth high, as in landing. Push it down, "
        "straighten the knee and bring the chest over it. 3 × 8.",
        less("lead_knee_flexion", _CONTACT),
        less("lead_knee_flexion", _PLANT),
        less("lead_knee_flexion", "full_layback"),
        less("lead_knee_flexion", "release"),
        more("lead_knee_extension"),
        caution="The step must not slide; leave it out when the knee hurts.",
    ),
)
"""The front knee: first it takes the weight, then it holds."""
