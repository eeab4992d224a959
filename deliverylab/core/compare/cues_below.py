"""Cues for the legs and the hips, in our own words; all of them common practice.

The way is the one that is wanted.  A way that nobody would ask an athlete for has no row.
"""

from __future__ import annotations

from deliverylab.core.compare.cue_rows import cues
from deliverylab.core.compare.link_rows import less, more
from deliverylab.core.model.library import Cue

_CONTACT, _PLANT, _LIFT = "foot_contact", "foot_plant", "leg_lift"

GETTING_AWAY: tuple[Cue, ...] = (
    *cues(
        "Let the front hip lead: start toward the plate while the knee is still going up.",
        more("com_lean_from_drive_ankle", _LIFT),
        more("com_ahead_of_drive_ankle", _LIFT),
        more("com_forward_speed", _LIFT),
        for_minors="Start moving to the plate before your knee gets to the top.",
    ),
    *cues(
        "Get the knee to its top over the middle of the back foot; go from there.",
        less("com_lean_from_drive_ankle", _LIFT),
        less("com_ahead_of_drive_ankle", _LIFT),
        less("com_forward_speed", _LIFT),
        for_minors="Knee up, stand still like a statue for a moment, then go.",
    ),
    *cues(
        "Push the rubber away behind you and let the hips go out first.",
        more("com_forward_speed", _CONTACT),
        more("max_com_forward_speed"),
        more("peak_drive_knee_extension_speed"),
        for_minors="Push the rubber away behind you, belt first.",
    ),
    *cues(
        "Ride the back leg out; land so that you could stop there.",
        less("com_forward_speed", _CONTACT),
        less("max_com_forward_speed"),
        for_minors="Move out nice and easy, and land so that you could stop.",
    ),
    *cues(
        "Keep gathering speed until the front foot is down.",
        less("max_com_forward_speed_time"),
        for_minors="Get faster and faster until your front foot is down.",
    ),
    *cues(
        "Push the rubber back, not down.",
        more("support_force_direction"),
    ),
    *cues(
        "Sit a little into the back leg as the front knee comes up.",
        more("drive_knee_flexion", _LIFT),
        for_minors="Bend your back knee a little, as if to sit on a high stool.",
    ),
    *cues(
        "Stand taller on the back leg; bend it only as far as you can push from.",
        less("drive_knee_flexion", _LIFT),
        for_minors="Stand tall on your back leg.",
    ),
    *cues(
        "Finish the push: let the back leg get long before the front foot is down.",
        less("drive_knee_flexion", _CONTACT),
        for_minors="Push until your back leg is long.",
    ),
    *cues(
        "Push before the front foot lands, not as it lands.",
        more("drive_knee_push_time"),
    ),
    *cues(
        "Glide first, push later: keep the back leg’s push for the end of the stride.",
        less("drive_knee_push_time"),
        for_minors="Glide first, then push.",
    ),
    *cues(
        "Knee up and go: no stop at the top.",
        less("lift_to_contact_time"),
    ),
    *cues(
        "No hurry at the top: let the stride take its time.",
        more("lift_to_contact_time"),
        for_minors="Take your time on the way out.",
    ),
)
"""Over the back foot and out."""

FRONT_FOOT: tuple[Cue, ...] = (
    *cues(
        "Carry the front foot farther before you put it down.",
        more("stride_length"),
        more("stride_length_m"),
        for_minors="Take a bigger step, one that you can still stand on.",
    ),
    *cues(
        "Put the front foot down a little sooner, under you.",
        less("stride_length"),
        less("stride_length_m"),
        for_minors="Take a slightly smaller step.",
    ),
    *cues(
        "Step on the line to the plate, not to the glove side of it.",
        more("stride_offset"),
    ),
    *cues(
        "Step on the line to the plate, not across it.",
        less("stride_offset"),
    ),
    *cues(
        "Keep the front toes turned in until the foot is down.",
        more("lead_foot_direction", _PLANT),
        for_minors="Land with your toes pointing a bit inward.",
    ),
    *cues(
        "Let the front toes point to the plate as the foot comes down.",
        less("lead_foot_direction", _PLANT),
        for_minors="Land with your toes pointing to the plate.",
    ),
)
"""Where the front foot goes."""

HIPS: tuple[Cue, ...] = (
    *cues(
        "Turn the front hip in at the top: back pocket to the plate.",
        less("pelvis_rotation", _LIFT),
    ),
    *cues(
        "Lift the knee straight up; turn the hip in less.",
        more("pelvis_rotation", _LIFT),
    ),
    *cues(
        "Stay side-on with the belt until the front foot is down.",
        less("pelvis_rotation", _CONTACT),
        for_minors="Keep your belt buckle to the side until your foot is down.",
    ),
    *cues(
        "Let the belt begin to turn as the front foot comes down.",
        more("pelvis_rotation", _CONTACT),
    ),
    *cues(
        "Turn the belt all the way to the plate.",
        more("pelvis_rotation", "release"),
    ),
    *cues(
        "Foot down, then the hips turn at once and quickly.",
        more("peak_pelvis_speed"),
        less("peak_pelvis_speed_time"),
        for_minors="Foot down, and turn your belt.",
    ),
)
"""Turned in at leg lift, and opened as the foot comes down."""

FRONT_KNEE: tuple[Cue, ...] = (
    *cues(
        "Land on a soft front knee that can take your weight.",
        more("lead_knee_flexion", _CONTACT),
        more("lead_knee_flexion", _PLANT),
        for_minors="Land softly, with your front knee a bit bent.",
    ),
    *cues(
        "Land on a firmer front leg, with less bend in the knee.",
        less("lead_knee_flexion", _CONTACT),
        less("lead_knee_flexion", _PLANT),
        for_minors="Land on a strong front leg that does not sink.",
    ),
    *cues(
        "Push the ground away with the front foot as the chest comes through.",
        less("lead_knee_flexion", "full_layback"),
        less("lead_knee_flexion", "release"),
        more("lead_knee_extension"),
        for_minors="Get tall on your front leg as you throw.",
    ),
)
"""The front knee: first it takes the weight, then it holds."""
