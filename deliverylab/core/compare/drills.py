"""What an athlete can be told and can do: the starter library, and what is nothing to aim at.

All of it is common practice, in our own words.  Instructors add their own, which come first.
"""

from __future__ import annotations

from collections.abc import Iterable

from deliverylab.core.compare import cues_above, cues_below, drills_above, drills_below
from deliverylab.core.model.library import Cue, Drill, Library, LinkEnd

CUES: tuple[Cue, ...] = (
    *cues_below.GETTING_AWAY,
    *cues_below.FRONT_FOOT,
    *cues_below.HIPS,
    *cues_above.SHOULDERS,
    *cues_above.GLOVE,
    *cues_below.FRONT_KNEE,
    *cues_above.TRUNK,
    *cues_above.ARM,
)
"""The program's own, in the order of the delivery."""
DRILLS: tuple[Drill, ...] = (
    *drills_below.GETTING_AWAY,
    *drills_below.FRONT_FOOT,
    *drills_below.HIPS,
    *drills_above.SHOULDERS,
    *drills_above.GLOVE,
    *drills_below.FRONT_KNEE,
    *drills_above.TRUNK,
    *drills_above.ARM,
)
"""The program's own, in the order of the delivery."""

_OUTCOME = "it is what the throw led to, not how it was thrown"
_FOLLOWS = "it follows from what the body does before; aim at that"
_OF_THE_ARM = "the arm's speed comes from what the body does before; aim at that"
_STYLE = "it is a style of one's own and works at many values"
_FRONT_LEG = "what the front leg does with the speed says more; aim at the knee"
NO_AIM: dict[str, str] = {
    "lead_knee_height": _STYLE,
    "arm_slot": _STYLE,
    "release_height": _FOLLOWS,
    "com_forward_speed_kept": _FRONT_LEG,
    "com_forward_speed_kept_from_top": _FRONT_LEG,
    "trunk_lateral_tilt": "more of it is nothing to seek, and how much suits whom is not known; less "
    "of it is a matter for the eye, without a number",
    "external_rotation": "how far the forearm lays back is given by the athlete's joint and by what "
    "the body does before; nobody should seek more of it",
    "max_external_rotation": "how far the forearm lays back is given by the athlete's joint and by "
    "what the body does before; nobody should seek more of it",
    "max_elbow_flexion": _FOLLOWS,
    "peak_shoulder_line_speed": _FOLLOWS,
    "peak_elbow_extension_speed": _OF_THE_ARM,
    "peak_elbow_extension_speed_time": _OF_THE_ARM,
    "ball_speed": _OUTCOME,
    "ball_speed_measured": _OUTCOME,
    "ball_release_height": _OUTCOME,
    "ball_launch_angle": _OUTCOME,
}
"""Metrics that get no target, and why.  No plan is suggested for them."""


def cues_for(end: LinkEnd, library: Library) -> tuple[Cue, ...]:
    """Return the cues for a metric to go a way: the instructor's own first."""
    return tuple(
        cue
        for cue in (*library.cues, *CUES)
        if (cue.metric, cue.event, cue.way) == (end.metric, end.event, end.way)
    )


def drills_for(end: LinkEnd, library: Library) -> tuple[Drill, ...]:
    """Return the drills that serve a metric to go a way: the instructor's own first."""
    return tuple(each for each in drills_with(library) if end in each.serves)


def drills_with(library: Library) -> tuple[Drill, ...]:
    """Return all drills: one's own first; one of the program's name takes its place."""
    own = {each.name for each in library.drills}
    return (*library.drills, *(each for each in DRILLS if each.name not in own))


def drill_named(name: str, drills: Iterable[Drill]) -> Drill | None:
    """Return the drill of this name, or of this name with other capitals; None where there is none."""
    named = [each for each in drills if each.name.casefold() == name.casefold()]
    return next((each for each in named if each.name == name), named[0] if named else None)
