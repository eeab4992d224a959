"""All commands and options, and the help that a newcomer reads first."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from typing import NoReturn

from deliverylab import __version__
from deliverylab.core.errors import EXIT_CODES, UsageError

_EPILOG = """\
a first session:
  deliverylab demo
  deliverylab new may.delivery --delivery "Ana 1" --clip ana.mp4 --athlete Ana --hand right --height 1.75
  deliverylab scale may.delivery --delivery "Ana 1" --points 412,880,1320,884 --length 1.5
  deliverylab mark may.delivery --delivery "Ana 1" leg_lift=0.52 foot_contact=1.31 release=1.46
  deliverylab place may.delivery --delivery "Ana 1" ana.csv
  deliverylab measure may.delivery

words:
  A project is one .delivery file. It holds deliveries (one throw each); a delivery has one camera
  or more, each with a clip, or with positions from elsewhere. Times are seconds on the clip's own
  clock: 0 is its first frame, and a slow-motion clip's clock runs slow. ± is U = k u,
  the expanded uncertainty: the truth lies within about 19 times out of 20. k is 2, or more where a
  u rests on few repeats.

exit status: 0 done; otherwise
{codes}
"""


class Parser(argparse.ArgumentParser):
    """A parser that keeps its examples as they are written and fails with one line."""

    def __init__(self, **settings: object) -> None:
        settings.setdefault("formatter_class", argparse.RawDescriptionHelpFormatter)
        settings.setdefault("allow_abbrev", False)
        super().__init__(**settings)  # type: ignore[arg-type]

    def error(self, message: str) -> NoReturn:
        """Raise what argparse would print and exit with.

        Raises
        ------
        UsageError
            Always.
        """
        raise UsageError(message, remedy=f'"{self.prog} --help" shows how')


def with_numbers_kept(argv: Sequence[str]) -> list[str]:
    """Return the arguments with a list of numbers that begins below zero tied to its option.

    Otherwise ``--points -3,880,1320,884`` would be read as two options.
    """
    kept: list[str] = []
    for argument in argv:
        is_list = re.fullmatch(r"-[\d.][^=]*,.*", argument)
        if is_list and kept and kept[-1].startswith("--") and "=" not in kept[-1]:
            kept[-1] += f"={argument}"
        else:
            kept.append(argument)
    return kept


def build_parser() -> Parser:
    """Return the parser of the whole command line."""
    from deliverylab.cli import (
        ball_commands,
        chain_commands,
        depth_commands,
        detector_commands,
        edit_commands,
        export_commands,
        intake_commands,
        library_commands,
        look_commands,
        order_commands,
        pack_commands,
        plan_commands,
        precision_commands,
        progress_commands,
        project_commands,
        result_commands,
        sheet_commands,
        smoothing_commands,
        space_commands,
        steady_commands,
        timing_commands,
        tracking_commands,
        trust_commands,
        walkthrough_commands,
    )

    parser = _bare_parser()
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    project_commands.add_demo_and_window(commands)
    intake_commands.add_commands(commands)
    edit_commands.add_commands(commands)
    depth_commands.add_commands(commands)
    timing_commands.add_commands(commands)
    ball_commands.add_commands(commands)
    detector_commands.add_commands(commands)
    tracking_commands.add_commands(commands)
    steady_commands.add_commands(commands)
    look_commands.add_commands(commands)
    precision_commands.add_commands(commands)
    space_commands.add_commands(commands)
    result_commands.add_commands(commands)
    chain_commands.add_commands(commands)
    order_commands.add_commands(commands)
    plan_commands.add_commands(commands)
    library_commands.add_commands(commands)
    progress_commands.add_commands(commands)
    export_commands.add_commands(commands)
    pack_commands.add_commands(commands)
    smoothing_commands.add_commands(commands)
    trust_commands.add_commands(commands)
    walkthrough_commands.add_commands(commands)
    sheet_commands.add_commands(commands)
    project_commands.add_checks(commands)
    return parser


def _bare_parser() -> Parser:
    """Return the parser without its commands."""
    parser = Parser(
        prog="deliverylab",
        description="Measure pitching deliveries from phone clips, with the uncertainty of every\n"
        "number; what a clip cannot show is not shown, and the reason is given.",
        epilog=_EPILOG.format(codes=_exit_codes()),
    )
    parser.add_argument("--version", action="version", version=f"deliverylab {__version__}")
    return parser


def _exit_codes() -> str:
    lines = []
    for kind in EXIT_CODES:
        summary = (kind.__doc__ or "").strip().splitlines()[0]
        lines.append(f"  {kind.exit_code}  {summary}")
    lines[0] = "  1  check found a problem."
    return "\n".join(lines)
