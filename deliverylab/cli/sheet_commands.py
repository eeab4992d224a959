"""``field-sheet``: one page to take to the field."""

from __future__ import annotations

import argparse
from typing import Any

from deliverylab.cli import options
from deliverylab.cli.output import check_endings, check_targets, say
from deliverylab.core.vocabulary.field import BY_KEY

_TEXT = """\
Write the field set-up sheet as a PDF of one page: what to bring, where two cones and two phones
stand, what to set, in which order to film and what to check, with a plan to scale and the pictures
that both phones should show. Distances count from the middle of the stride; the zoom follows them."""
_EPILOG = """\
examples:
  deliverylab field-sheet --out sheet.pdf
  deliverylab field-sheet --out sheet.pdf --hand left --field softball-43 --units imperial --paper letter
  deliverylab field-sheet --out sheet.pdf --distance 11 --rear-distance 6
"""


def add_commands(commands: Any) -> None:
    """Add ``field-sheet``."""
    command = commands.add_parser(
        "field-sheet",
        help="write the set-up sheet for filming with two phones",
        description=_TEXT,
        epilog=_EPILOG,
    )
    command.add_argument("--out", metavar="FILE.pdf", required=True, help="where to")
    command.add_argument(
        "--hand", choices=["left", "right"], default="right", help="throwing hand (default: right)"
    )
    command.add_argument(
        "--field", choices=list(BY_KEY), default="baseball", help="field size (default: baseball)"
    )
    command.add_argument(
        "--units", choices=["metric", "imperial"], default="metric", help="default: metric"
    )
    command.add_argument(
        "--paper", choices=["a4", "letter"], default="a4", help="paper size (default: a4)"
    )
    command.add_argument(
        "--distance", type=options.length_m, default=6.0, metavar="LENGTH",
        help="of both phones (default: 6)",
    )  # fmt: skip
    command.add_argument(
        "--rear-distance", type=options.length_m, metavar="LENGTH",
        help="of the rear phone, where it differs",
    )  # fmt: skip
    command.add_argument("--png", metavar="FILE.png", help="the same as a picture")
    command.set_defaults(run=_field_sheet)


def _field_sheet(arguments: argparse.Namespace) -> int:
    from deliverylab.core.report.field_sheet import field_sheet_pdf
    from deliverylab.core.report.page import write_pdf
    from deliverylab.core.report.raster import write_png

    check_targets(arguments.out, arguments.png, inputs=())
    check_endings(pdf=arguments.out, png=arguments.png)
    rear_m = arguments.distance if arguments.rear_distance is None else arguments.rear_distance
    pdf = field_sheet_pdf(
        arguments.field,
        arguments.hand,
        arguments.units,
        arguments.paper,
        side_distance_m=arguments.distance,
        rear_distance_m=rear_m,
    )
    say(f"written: {write_pdf(pdf, arguments.out)}")
    if arguments.png:
        say(f"written: {write_png(pdf, arguments.png)}")
    return 0
