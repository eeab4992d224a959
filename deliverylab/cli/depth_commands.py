"""``nearer``: which end of a limb is nearer to the camera, for an estimate from one view."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from deliverylab.cli.editing import edit_camera
from deliverylab.cli.options import add_delivery
from deliverylab.cli.output import say
from deliverylab.core.errors import UsageError
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.segments import LIFTED_LIMBS, LiftedLimb

if TYPE_CHECKING:
    from deliverylab.core.model.changes import Change
    from deliverylab.core.model.delivery import Camera, DepthChoice
    from deliverylab.core.model.project import Project

_NEARER_TEXT = """\
Say which end of the upper arm and of the forearm is nearer to the camera at an event. With both, the
athlete's height and a scale, the elbow's flexion there is estimated from this one view: about ± 20°,
never mixed with what is measured, and of no use where two solved cameras show it."""
_EXAMPLE = """\
example:
  deliverylab nearer may.delivery --delivery "Ana 1" foot_contact upper_arm=elbow forearm=wrist
"""
_BY_WORD: dict[str, LiftedLimb] = {limb.name.replace(" ", "_"): limb for limb in LIFTED_LIMBS}


def add_commands(commands: Any) -> None:
    """Add ``nearer``."""
    nearer = commands.add_parser(
        "nearer",
        help="say which end of the throwing arm's limbs is nearer to the camera",
        description=_NEARER_TEXT,
        epilog=_EXAMPLE,
    )
    add_delivery(nearer)
    nearer.add_argument("event", metavar="EVENT", help="foot_contact or release")
    nearer.add_argument(
        "ends",
        metavar="LIMB=END",
        nargs="+",
        help="upper_arm=shoulder, upper_arm=elbow, forearm=elbow or forearm=wrist; =none takes it back",
    )
    nearer.set_defaults(run=_nearer)


def _nearer(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.changes import Batch
    from deliverylab.core.model.depth_changes import SetDepthChoice

    told = [_told(text) for text in arguments.ends]

    def make(_: Project, camera: Camera) -> Change:
        changes = tuple(
            SetDepthChoice(
                delivery=arguments.delivery,
                camera=camera.name,
                event=arguments.event,
                limb=limb.key,
                choice=choice,
            )
            for limb, choice in told
        )
        return Batch(label="Say which ends are nearer", changes=changes)

    _, camera = edit_camera(arguments, make)
    at_event = camera.depth_choices.get(arguments.event, {})
    for limb in LIFTED_LIMBS:
        end = limb.nearer_end(at_event[limb.key]) if limb.key in at_event else "not said"
        say(f"  {event_entry(arguments.event).name}, {limb.name}, nearer to the camera: {end}")
    return 0


def _told(text: str) -> tuple[LiftedLimb, DepthChoice | None]:
    """Read ``forearm=wrist``."""
    word, _, end = text.partition("=")
    limb = _BY_WORD.get(word)
    if limb is None:
        raise UsageError("no such limb", where=text, remedy=f"use {' or '.join(_BY_WORD)}")
    choices: dict[str, DepthChoice | None] = {
        limb.nearer_end("farther"): "farther",
        limb.nearer_end("nearer"): "nearer",
        "none": None,
    }
    if end not in choices:
        raise UsageError("no such end", where=text, remedy=f"use {word}= {', '.join(choices)}")
    return limb, choices[end]
