"""Results lifted to space from one view: estimated by known lengths and the user's word, not measured.

References
----------
.. [1] Taylor CJ (2000). Comput Vis Image Underst 80:349-363.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import msgspec

from deliverylab.core.metrics.inputs import EventPositions
from deliverylab.core.metrics.lifted_arm import ARM, LiftedBend, lifted_bend
from deliverylab.core.metrics.remedies import TIMING, line
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.sight import Sight, cautions_of, not_shown, shown
from deliverylab.core.metrics.spec import PLACING, MetricSpec, Result
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Camera, DepthChoice
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.segments import LIFTED_LIMBS, LiftedLimb
from deliverylab.core.vocabulary.views import END_VIEWS, SIDE_VIEWS

LIFTED: tuple[tuple[str, str], ...] = (
    ("elbow_flexion", "foot_contact"),
    ("elbow_flexion", "release"),
)
"""What lifting tells to within a ± that is useful and covers the truth (own simulation).  Separation
and knees it does not; at layback the folded arm points along the line of sight too often."""
LIFTED_VIEWS = frozenset((*SIDE_VIEWS, *END_VIEWS))
NOT_TOLD = "one camera does not show it"
"""Reason while nobody has said which ends are nearer: the same as for all that needs two cameras."""
BASIS = "by lifting one view"
"""Basis of all that is lifted, by which it is told apart from what is measured."""
SECOND_PHONE = "or film with a second phone, and solve the two cameras"
KNOWN_AFTER = (
    "estimated from one view, by usual lengths of the arm and which ends were said to be nearer"
)


def lifted_result(spec: MetricSpec, event: str, sights: Sequence[Sight]) -> Result | None:
    """Return an estimate from one camera, or what is missing for it.

    Parameters
    ----------
    spec : MetricSpec
    event : str
    sights : sequence of Sight
        The delivery's cameras.

    Returns
    -------
    Result or None
        Estimated, or not shown for what this camera lacks; None where nothing can be lifted: another
        metric, no mark, no points, no height.
    """
    if (spec.key, event) not in LIFTED:
        return None
    found = [one for sight in sights if (one := _from_one(spec, event, sight)) is not None]
    return next((one for one in found if one.is_shown), found[0] if found else None)


def untold_limbs(camera: Camera, event: str) -> tuple[LiftedLimb, ...]:
    """Return the limbs of which nobody has said yet which end is nearer to this camera."""
    told = camera.depth_choices.get(event, {})
    return tuple(limb for limb in LIFTED_LIMBS if limb.key not in told)


def liftable_events(sight: Sight) -> tuple[str, ...]:
    """Return the events at which this camera could give an estimate, once the limbs are told."""
    return tuple(event for _, event in LIFTED if _placed_arm(event, sight) is not None)


def _placed_arm(event: str, sight: Sight) -> EventPositions | None:
    """Return the arm's positions where all that lifting needs is there, but for the user's word."""
    positions, setup = sight.positions(event), sight.setup
    if positions is None or setup is None or sight.camera.view not in LIFTED_VIEWS:
        return None
    has_arm = all(positions.of(role) is not None for role in ARM)
    return positions if has_arm and setup.athlete.height_m is not None else None


def _from_one(spec: MetricSpec, event: str, sight: Sight) -> Result | None:
    camera, positions, setup = sight.camera, _placed_arm(event, sight), sight.setup
    if positions is None or setup is None:
        return None
    untold = untold_limbs(camera, event)
    if untold:
        names = " and of the ".join(limb.name for limb in untold)
        absence = Absence(
            NOT_TOLD,
            f"say which end of the {names} is nearer to the camera, for an estimate; {SECOND_PHONE}",
        )
        return not_shown(spec, event, sight.delivery.name, camera, absence)
    told = camera.depth_choices[event]
    choices = tuple(told[limb.key] for limb in LIFTED_LIMBS)
    bend = _remembered(positions.only(ARM), setup, choices)
    if bend.impossible_limb:
        absence = Absence(
            f"the {bend.impossible_limb} is seen longer than it is at {event_entry(event).name}",
            "check the scale, the height and the points",
        )
        return not_shown(spec, event, sight.delivery.name, camera, absence)
    return _estimated(spec, event, sight, positions, bend)


@lru_cache(maxsize=128)
def _remembered(
    positions: EventPositions, setup: Setup, choices: tuple[DepthChoice, ...]
) -> LiftedBend:
    return lifted_bend(positions, setup, choices)


def _estimated(
    spec: MetricSpec, event: str, sight: Sight, positions: EventPositions, bend: LiftedBend
) -> Result:
    """Return the estimate, labelled as such wherever it goes."""
    parts = dict(bend.parts)
    seen = [positions.of(role) for role in ARM]
    if any(one is None or one.before is None or one.after is None for one in seen):
        # no speed of the arm to draw the instant with
        u_s = positions.u_instant_s(ARM)
        parts[TIMING] = math.hypot(parts[TIMING], spec.typical_slope * u_s)
    lines = [line(PLACING, u, role, positions.event) for role, u in bend.placing.items()]
    cautions = (*cautions_of(spec, event, sight, [positions]), KNOWN_AFTER)
    result = shown(spec, event, sight, bend.value_deg, parts, cautions, BASIS, lines)
    return msgspec.structs.replace(result, status="estimated") if result.is_shown else result
