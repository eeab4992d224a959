"""``steady``: take the motion of a clip's camera out of its results."""

from __future__ import annotations

import argparse
from typing import Any

from deliverylab.cli.options import add_delivery, frame_range
from deliverylab.cli.output import note, progress, say
from deliverylab.core.model.changes import Change
from deliverylab.core.model.project import Project

_TEXT = """\
Find from the background beside the athlete how a clip's camera turned or shook, and take that out of all
results. Positions stay as they were clicked. The scale and the clicks on the field count as in the
reference frame: name the one in which they were clicked. A camera that stands still changes nothing. One
that was carried along is not put right: what is nearer than the background shifts by more."""


def add_commands(commands: Any) -> None:
    """Add ``steady``."""
    steady = commands.add_parser(
        "steady",
        help="take the motion of a clip's camera out",
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
    steady.add_argument("--off", action="store_true", help="take the camera as still again")
    steady.add_argument("--look", action="store_true", help="say what is found and change nothing")
    steady.set_defaults(run=_steady)


def _steady(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.motion_changes import SetCameraMotion
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.editing import edit_project_file
    from deliverylab.core.workflow.steadying import Steadying, steady, steadying_change

    def look(project: Project) -> Steadying:
        delivery = project.delivery(arguments.delivery)
        camera = delivery.camera(arguments.camera)
        with progress("looking at the background") as bar:
            found = steady(
                delivery, camera, arguments.project,
                reference_frame=arguments.reference, frames=arguments.frames, progress=bar,
            )  # fmt: skip
        say(f"{delivery.name}, {camera.name}: {found.text}")
        return found

    def make(project: Project) -> Change:
        delivery = project.delivery(arguments.delivery)
        camera = delivery.camera(arguments.camera)
        if arguments.off:
            return SetCameraMotion(delivery=delivery.name, camera=camera.name, motion=None)
        return steadying_change(delivery, camera, look(project))

    if arguments.look:
        look(Project(load_project(arguments.project)))
        return 0
    project = edit_project_file(arguments.project, make)
    motion = project.camera(arguments.delivery, arguments.camera).motion
    if motion is not None:
        note(f"the scale and the clicks on the field count as in frame {motion.reference_frame}")
    return 0
