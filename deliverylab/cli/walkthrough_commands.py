"""``walkthrough``: both deliveries side by side as a clip, standing still at the events."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_project, number, size_px
from deliverylab.cli.output import check_targets, deliver, note, progress, say
from deliverylab.cli.solve_notes import note_old_solves
from deliverylab.core.errors import UsageError

if TYPE_CHECKING:
    from deliverylab.core.model.project import ProjectRecord
    from deliverylab.core.model.walkthrough import Walkthrough

_TEXT = """\
Write a clip (MP4, H.264) of deliveries A and B side by side: aligned at the events, with skeletons,
in slow motion, standing still at each event with its numbers and a caption. The script is the one
that the project holds for this pair, else one with a stop at each key event that both have marked.

A voice (WAV, M4A, or any sound file) is laid under the pictures. Where it is longer than they are,
the last picture stands until it ends."""
_EPILOG = """\
examples:
  deliverylab walkthrough may.delivery "Ana 1" Model --out ana.mp4
  deliverylab walkthrough may.delivery "Ana 1" Model --out ana.mp4 --voice ana.m4a --pause 5
  deliverylab walkthrough may.delivery "Ana 1" Model --write-script ana.json
  deliverylab walkthrough may.delivery "Ana 1" Model --script ana.json --out ana.mp4 --size upright
"""


def add_commands(commands: Any) -> None:
    """Add ``walkthrough``."""
    command = commands.add_parser(
        "walkthrough",
        help="write both deliveries side by side as a clip",
        description=_TEXT,
        epilog=_EPILOG,
    )
    add_project(command)
    command.add_argument("a", metavar="A", help="the athlete's delivery")
    command.add_argument("b", metavar="B", help="the delivery that it is compared with")
    command.add_argument("--out", metavar="FILE.mp4", help="where to")
    command.add_argument(
        "--size", type=size, default="1080p", metavar="SIZE",
        help="1080p (default), 720p, upright (one above the other, for a phone), or like 1600x900",
    )  # fmt: skip
    command.add_argument(
        "--speed", type=number, metavar="SHARE",
        help="of real time at which the movement runs (default: the script's, 0.25)",
    )  # fmt: skip
    command.add_argument(
        "--pause", type=number, metavar="SECONDS",
        help="how long it stands still at each stop (default: the script's, 3)",
    )  # fmt: skip
    command.add_argument("--voice", metavar="FILE", help="sound to lay under it")
    command.add_argument(
        "--voice-at", type=number, metavar="SECONDS", help="when the voice begins (default: 0)"
    )
    command.add_argument(
        "--script",
        metavar="FILE.json",
        help="take this script in place of the project's, captions and all",
    )
    command.add_argument(
        "--write-script", metavar="FILE.json",
        help='write the script that is used, to be edited; "-" prints it',
    )  # fmt: skip
    command.set_defaults(run=_walkthrough)


def size(text: str) -> tuple[int, int]:
    """Read the size of a walkthrough: ``1080p``, ``720p``, ``upright``, or ``1600x900``."""
    from deliverylab.core.report.walkthrough_layout import SIZES

    return SIZES[text] if text in SIZES else size_px(text)


def _walkthrough(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.project import Project
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.store.walkthrough_file import script_json

    if arguments.out is None and arguments.write_script is None:
        raise UsageError(
            "nothing was asked for",
            where="walkthrough",
            remedy="give --out FILE.mp4, --write-script FILE.json, or both",
        )
    record = load_project(arguments.project)
    read = [path for path in (arguments.voice, arguments.script) if path is not None]
    inputs = [*files_of(record, arguments.project), *read]
    check_targets(arguments.out, arguments.write_script, inputs=inputs)
    project = Project(record)
    shown = (project.delivery(arguments.a), project.delivery(arguments.b))
    script = _script(arguments, record)
    note_old_solves(record, shown)
    deliver(lambda: script_json(script), arguments.write_script)
    if arguments.out is not None:
        _make(arguments, record, script)
    return 0


def _make(arguments: argparse.Namespace, record: ProjectRecord, script: Walkthrough) -> None:
    from deliverylab.core.report.fonts import doubtful
    from deliverylab.core.workflow.walkthrough import make_walkthrough

    unsure = doubtful("".join(stop.caption for stop in script.stops))
    if unsure:
        note(f"no font here has {unsure}: look at how the captions stand in the clip")
    problems: dict[str, str] = {}
    with progress("walkthrough") as show:
        made = make_walkthrough(
            record,
            arguments.project,
            script,
            arguments.out,
            size=arguments.size,
            progress=show,
            problems=problems,
        )
    for clip, problem in problems.items():
        note(f"no pictures of {clip}: {problem}")
    say(f"written: {made}")


def _script(arguments: argparse.Namespace, record: ProjectRecord) -> Walkthrough:
    """Return the script that is used: a file's, the project's, or one made now; with the options."""
    from deliverylab.core.store.walkthrough_file import read_script
    from deliverylab.core.workflow.walkthrough_script import adjusted, default_script

    pair = (arguments.a, arguments.b)
    if arguments.script is not None:
        script = read_script(arguments.script, pair)
    else:
        script = record.walkthrough(pair) or default_script(record, pair)
    voice = None if arguments.voice is None else str(Path(arguments.voice).absolute())
    return adjusted(
        script,
        speed=arguments.speed,
        pause_s=arguments.pause,
        voice=voice,
        voice_offset_s=arguments.voice_at,
    )
