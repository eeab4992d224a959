"""Drills for shoulders, glove side, trunk and arm, in our own words; all of them common practice.

Their names say what is done.  What loads the arm says so, and the caution that goes with it is that of
`deliverylab.core.workflow.planning`.
"""

from __future__ import annotations

from deliverylab.core.compare.cue_rows import drill
from deliverylab.core.compare.link_rows import less, more
from deliverylab.core.model.library import Drill

_CONTACT, _LAYBACK, _RELEASE = "foot_contact", "full_layback", "release"

SHOULDERS: tuple[Drill, ...] = (
    drill(
        "Stick across the shoulders",
        "Lay a stick across the shoulders, hands on its ends. Stride and land; turn the belt and "
        "keep the stick pointing at the plate for a moment, then let it follow. 3 × 6.",
        more("separation", _CONTACT),
        more("max_separation"),
        less("shoulder_line_rotation", _CONTACT),
        more("peak_shoulder_line_speed_time"),
    ),
    drill(
        "Turn through from the landing position",
        "Stand as when the foot has just landed, arms crossed on the chest. Turn the belt, then the "
        "chest, until the throwing shoulder points at the plate. 3 × 8.",
        less("peak_shoulder_line_speed_time"),
        more("shoulder_line_rotation", _RELEASE),
        more("pelvis_rotation", _RELEASE),
        more("shoulder_line_rotation", _CONTACT),
    ),
)
"""The shoulders wait for the hips, then follow."""

GLOVE: tuple[Drill, ...] = (
    drill(
        "Glove against a partner’s hand",
        "A partner stands ahead and holds a hand where the glove reaches. Stride without a ball: "
        "the glove stays on that hand until the foot is down. 3 × 6.",
        more("glove_distance", _CONTACT),
        less("glove_tuck_time"),
        more("max_glove_distance"),
        less("shoulder_line_rotation", _CONTACT),
    ),
    drill(
        "Chest to the glove",
        "Stand as when the foot has just landed, the glove in front. Go through the delivery slowly "
        "without a ball and bring the chest to the glove. 3 × 6.",
        more("glove_tuck_time"),
        less("glove_distance", _RELEASE),
        less("glove_distance", _CONTACT),
        less("max_glove_distance"),
    ),
)
"""The glove side."""

TRUNK: tuple[Drill, ...] = (
    drill(
        "Towel to a mark out in front",
        "Hold a small towel instead of a ball, and deliver so that it touches a chair’s back set "
        "half a shoe’s length beyond what is reached now. 2 × 8.",
        more("trunk_forward_tilt", _LAYBACK),
        more("trunk_forward_tilt", _RELEASE),
        more("release_extension", _RELEASE),
        more("release_ahead_of_lead_foot", _RELEASE),
        arm_load="light",
    ),
    drill(
        "Bow over the front leg",
        "Stand as when the foot has just landed, arms crossed on the chest. Bring the chest over the "
        "front knee while that leg holds. 3 × 8.",
        more("trunk_forward_tilt", _LAYBACK),
        more("trunk_forward_tilt", _RELEASE),
    ),
    drill(
        "Tall finish beside a wall",
        "Stand with the glove side an arm’s length from a wall. Deliver slowly without a ball; the "
        "head comes through over the front knee and no nearer to the wall. 3 × 6.",
        less("trunk_forward_tilt", _LAYBACK),
        less("trunk_forward_tilt", _RELEASE),
        less("trunk_lateral_tilt", _CONTACT),
        less("trunk_lateral_tilt", _LAYBACK),
        less("trunk_lateral_tilt", _RELEASE),
    ),
)
"""The trunk over the front leg."""

ARM: tuple[Drill, ...] = (
    drill(
        "Arm positions before a mirror",
        "Deliver very slowly without a ball before a mirror and stop when the foot is down. Look "
        "where the elbow is: how bent, how high, in line with the shoulders or not. 3 × 6.",
        more("elbow_flexion", _CONTACT),
        less("elbow_flexion", _CONTACT),
        more("shoulder_abduction", _CONTACT),
        less("shoulder_abduction", _CONTACT),
        more("horizontal_abduction", _CONTACT),
        less("horizontal_abduction", _CONTACT),
        less("horizontal_abduction", _LAYBACK),
    ),
    drill(
        "Easy throws from the landing position",
        "Stand as when the foot has just landed and throw to a partner 10 m away at half effort: "
        "elbow level with the shoulders, chest over the front knee. 15 throws.",
        more("shoulder_abduction", _RELEASE),
        less("shoulder_abduction", _RELEASE),
        less("contact_to_release_time"),
        less("horizontal_abduction", _LAYBACK),
        more("release_ahead_of_lead_foot", _RELEASE),
        arm_load="throwing",
    ),
    drill(
        "Step, pause, throw",
        "Stride and land, pause for a moment, then hips, chest and arm in this order to a partner "
        "10 m away at half effort. 15 throws.",
        more("contact_to_release_time"),
        more("separation", _CONTACT),
        arm_load="throwing",
    ),
)
"""Where the arm is when the foot is down, and where the ball is let go."""
