"""Cues for shoulders, glove side, trunk and arm, in our own words; all of them common practice.

The way is the one that is wanted.  A way that nobody would ask an athlete for has no row.  For the arm they speak
of positions only, and of where it is when the foot is down, which an athlete can feel.
"""

from __future__ import annotations

from deliverylab.core.compare.cue_rows import cues
from deliverylab.core.compare.link_rows import less, more
from deliverylab.core.model.library import Cue

_CONTACT, _PLANT, _LIFT = "foot_contact", "foot_plant", "leg_lift"
_LAYBACK, _RELEASE = "full_layback", "release"

SHOULDERS: tuple[Cue, ...] = (
    *cues(
        "Turn the front shoulder in with the knee.",
        less("shoulder_line_rotation", _LIFT),
    ),
    *cues(
        "Keep the front shoulder pointing at the plate as the knee comes up.",
        more("shoulder_line_rotation", _LIFT),
    ),
    *cues(
        "Leave the front shoulder closed until the foot is down.",
        less("shoulder_line_rotation", _CONTACT),
        more("peak_shoulder_line_speed_time"),
        for_minors="Keep your front shoulder pointing at the plate until your foot is down.",
    ),
    *cues(
        "Point the front shoulder at the plate, not past it, as the foot comes down.",
        more("shoulder_line_rotation", _CONTACT),
    ),
    *cues(
        "Let the shoulders follow the hips at once when the foot is down.",
        less("peak_shoulder_line_speed_time"),
        for_minors="Foot down, belt turns, chest follows.",
    ),
    *cues(
        "Bring the throwing shoulder all the way through to the plate.",
        more("shoulder_line_rotation", _RELEASE),
    ),
    *cues(
        "Hips go, shoulders wait.",
        more("separation", _CONTACT),
        more("max_separation"),
        for_minors="Turn your belt first and let your chest wait.",
    ),
)
"""The shoulders wait for the hips."""

GLOVE: tuple[Cue, ...] = (
    *cues(
        "Leave the glove out in front until the foot is down.",
        more("glove_distance", _CONTACT),
        less("glove_tuck_time"),
    ),
    *cues(
        "Keep the glove nearer as the foot comes down.",
        less("glove_distance", _CONTACT),
        less("max_glove_distance"),
    ),
    *cues(
        "Reach out to the plate with the glove side.",
        more("max_glove_distance"),
        for_minors="Reach out to the plate with your glove.",
    ),
    *cues(
        "Bring the glove in as the chest comes; do not leave it behind.",
        more("glove_tuck_time"),
        for_minors="Bring your glove in to your chest as you throw.",
    ),
    *cues(
        "Take the chest to the glove and keep the glove in front of it.",
        less("glove_distance", _RELEASE),
        for_minors="Finish with your glove in front of your chest.",
    ),
)
"""The glove side."""

TRUNK: tuple[Cue, ...] = (
    *cues(
        "Stand tall at the top; let the hips go first and the head follow.",
        less("trunk_forward_tilt", _LIFT),
        for_minors="Stand tall when your knee is up.",
    ),
    *cues(
        "Do not lean back at the top: head over the belt.",
        more("trunk_forward_tilt", _LIFT),
    ),
    *cues(
        "Land with the chest behind the belt.",
        less("trunk_forward_tilt", _CONTACT),
        less("trunk_forward_tilt", _PLANT),
        for_minors="Land with your head back, over your belt.",
    ),
    *cues(
        "Land with the head over the belt, not behind it.",
        more("trunk_forward_tilt", _CONTACT),
        more("trunk_forward_tilt", _PLANT),
    ),
    *cues(
        "Chest out over the front knee as you let go.",
        more("trunk_forward_tilt", _LAYBACK),
        more("trunk_forward_tilt", _RELEASE),
        for_minors="Bring your chest over your front knee.",
    ),
    *cues(
        "Stay taller over the front leg as you let go.",
        less("trunk_forward_tilt", _LAYBACK),
        less("trunk_forward_tilt", _RELEASE),
        for_minors="Stay tall on your front leg.",
    ),
    *cues(
        "Throw with the head over the front knee, not beside it.",
        less("trunk_lateral_tilt", _CONTACT),
        less("trunk_lateral_tilt", _LAYBACK),
        less("trunk_lateral_tilt", _RELEASE),
    ),
)
"""The trunk: back until the foot is down, then over the front leg."""

ARM: tuple[Cue, ...] = (
    *cues(
        "Have the elbow bent when the foot is down.",
        more("elbow_flexion", _CONTACT),
    ),
    *cues(
        "Let the arm be longer when the foot comes down.",
        less("elbow_flexion", _CONTACT),
    ),
    *cues(
        "Elbow up level with the shoulders when the foot is down.",
        more("shoulder_abduction", _CONTACT),
    ),
    *cues(
        "Elbow no lower than the shoulders as you let go.",
        more("shoulder_abduction", _RELEASE),
    ),
    *cues(
        "Elbow no higher than the shoulders when the foot is down.",
        less("shoulder_abduction", _CONTACT),
    ),
    *cues(
        "Elbow no higher than the shoulders as you let go.",
        less("shoulder_abduction", _RELEASE),
    ),
    *cues(
        "Let the elbow go back in line with the shoulders before the foot is down.",
        more("horizontal_abduction", _CONTACT),
    ),
    *cues(
        "Keep the elbow in line with the shoulders, not behind them.",
        less("horizontal_abduction", _CONTACT),
        less("horizontal_abduction", _LAYBACK),
    ),
    *cues(
        "Let go farther out in front, over the front foot.",
        more("release_extension", _RELEASE),
        more("release_ahead_of_lead_foot", _RELEASE),
        for_minors="Let the ball go way out in front of you.",
    ),
    *cues(
        "Throw as soon as the foot is down: no wait between the two.",
        less("contact_to_release_time"),
        for_minors="Foot down, and throw.",
    ),
    *cues(
        "Foot down first, then the hips, then the arm.",
        more("contact_to_release_time"),
    ),
)
"""Where the arm is when the foot is down, and where the ball is let go."""
