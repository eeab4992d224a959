"""``steady``: say whether a clip's camera stood still."""

from __future__ import annotations

import argparse
from typing import Any

from deliverylab.cli.options import add_delivery, frame_range
from deliverylab.cli.output import note, progress, say

_TEXT = """\
Say whether a clip's camera stood still, from the background beside the athlete. Nothing is changed:
results take every camera as standing still, so a clip whose camera moved is not measured rightly."""


def add_commands(commands: Any) -> None:
    """Add ``steady``."""
    steady = commands.add_parser(
        "steady",
        help="say whether a clip's camera stood still",
        description=_TEXT,
        epilog='example:\n  deliverylab steady may.delivery --delivery "Ana 1"\n',
    )
    add_delivery(steady)
    steady.add_argument(
        "--reference", metavar="FRAME", type=int,
        help="frame that the others are compared with (default: the first shown)",
    )  # fmt: skip
    steady.add_argument(
        "--frames", metavar="A-B", type=frame_range, help="frames (default: the trimmed clip)"
    )
    steady.set_defaults(run=_steady)


def _steady(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.project import Project
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.steadying import steady

    delivery = Project(load_project(arguments.project)).delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    with progress("looking at the background") as bar:
        found = steady(
            delivery, camera, arguments.project,
            reference_frame=arguments.reference, frames=arguments.frames, progress=bar,
        )  # fmt: skip
    say(f"{delivery.name}, {camera.name}: {found.text}")
    if found.motion.is_told.any() and not found.motion.is_still:
        note("results take the camera as standing still: film again from a tripod")
    return 0
