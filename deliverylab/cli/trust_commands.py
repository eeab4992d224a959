"""``trust``: how well a set-up would measure, before anybody films."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from deliverylab.cli import options
from deliverylab.cli.output import check_targets, columns, deliver, progress, say, say_wrapped

if TYPE_CHECKING:
    from deliverylab.core.workflow.trust import MetricTrust

_TEXT = """\
Say how well a set-up would measure: a few hundred varied deliveries of known truth are filmed by a
simulated phone, placed as carefully as stated, and put through the same measuring as yours. The
table gives for each metric the error to expect (root mean square), the ± it would state, how often
that ± holds the truth, how often a value is shown, and what limits it. It is a simulation of our own
figure: a real body and a real phone do more."""
_EPILOG = """\
examples:
  deliverylab trust --view open-side --distance 8 --yaw 10 --rate 120
  deliverylab trust --view rear --distance 9 --placing-mm 8 -n 300 --json trust.json
"""


def add_commands(commands: Any) -> None:
    """Add ``trust``."""
    command = commands.add_parser(
        "trust",
        help="how well would a set-up measure: expected error, ± and what limits it",
        description=_TEXT,
        epilog=_EPILOG,
    )
    _add_camera(command)
    _add_care(command)
    command.add_argument(
        "--height", type=options.length_m, metavar="LENGTH", help="mean height (default: 1.78)"
    )
    command.add_argument(
        "-n", "--deliveries", type=options.count, default=100, metavar="N",
        help="number of deliveries (default: 100)",
    )  # fmt: skip
    command.add_argument(
        "--seed", type=options.count, default=1, help="other deliveries (default: 1)"
    )
    command.add_argument("--json", metavar="FILE", help='write the rows as JSON; "-" prints them')
    command.add_argument("--csv", metavar="FILE", help='the same as CSV; "-" as for --json')
    command.set_defaults(run=_trust)


def _add_camera(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--view", choices=["open-side", "closed-side", "rear", "front"], default="open-side",
        help="where the phone stands (default: open-side)",
    )  # fmt: skip
    command.add_argument(
        "--distance", type=options.length_m, default=8.0, metavar="LENGTH",
        help="of the phone from the plane of motion (default: 8)",
    )  # fmt: skip
    command.add_argument(
        "--yaw", type=options.number, default=0.0, metavar="DEG", help="off square (default: 0)"
    )
    command.add_argument(
        "--rate", type=options.rate_hz, default=240.0, metavar="HZ",
        help="frames a second (default: 240)",
    )  # fmt: skip
    command.add_argument(
        "--size", type=options.size_px, default=(1920, 1080), metavar="WxH",
        help="of the picture (default: 1920x1080)",
    )  # fmt: skip
    lens = command.add_mutually_exclusive_group()
    lens.add_argument(
        "--focal", type=options.number, metavar="PX",
        help="focal length in pixels (default: zoomed so that the delivery fills the picture)",
    )  # fmt: skip
    lens.add_argument(
        "--field-of-view", type=options.number, metavar="DEG", help="horizontal; a phone at 1x: 65"
    )
    command.add_argument(
        "--row-time", type=options.number, default=0.0, metavar="SECONDS",
        help="rolling shutter: from one row to the next, such as 8e-6 (default: 0)",
    )  # fmt: skip


def _add_care(command: argparse.ArgumentParser) -> None:
    placing = command.add_mutually_exclusive_group()
    placing.add_argument(
        "--placing-mm", type=options.number, metavar="MM",
        help="how closely landmarks are placed, one standard deviation (default: as the program "
        "takes it for each landmark, 10 to 20)",
    )  # fmt: skip
    placing.add_argument(
        "--placing-px", type=options.number, metavar="PX", help="the same in pixels"
    )
    command.add_argument(
        "--clothing-mm", type=options.number, default=0.0, metavar="MM",
        help="how far clothing hides a joint throughout a delivery (default: 0)",
    )  # fmt: skip
    command.add_argument(
        "--u-yaw", type=options.number, default=1.0, metavar="DEG",
        help="how well the yaw is known, one standard deviation (default: 1)",
    )  # fmt: skip


def _trust(arguments: argparse.Namespace) -> int:
    from dataclasses import replace

    from deliverylab.core.report import trust_table
    from deliverylab.core.synthetic.filming import FilmingSetUp
    from deliverylab.core.synthetic.spec import DeliverySpec
    from deliverylab.core.workflow.trust import trust
    from deliverylab.core.workflow.trust_delivery import Care

    check_targets(arguments.json, arguments.csv, inputs=())
    base = DeliverySpec()
    if arguments.height is not None:
        base = replace(base, height_m=arguments.height)
    set_up = FilmingSetUp(
        view=arguments.view, distance_m=arguments.distance, yaw_deg=arguments.yaw,
        rate_hz=arguments.rate, width_px=arguments.size[0], height_px=arguments.size[1],
        focal_px=arguments.focal, field_of_view_deg=arguments.field_of_view,
        row_time_s=arguments.row_time,
    )  # fmt: skip
    care = Care(
        placing_px=arguments.placing_px,
        placing_m=None if arguments.placing_mm is None else 0.001 * arguments.placing_mm,
        clothing_m=0.001 * arguments.clothing_mm,
        u_yaw_deg=arguments.u_yaw,
    )
    with progress("simulating deliveries") as done:
        rows = trust(
            set_up, care, n=arguments.deliveries, base=base, seed=arguments.seed,
            progress=lambda n_done, n: done(n_done / n),
        )  # fmt: skip
    plain = [row.as_row() for row in rows]
    is_printed = deliver(lambda: trust_table.trust_json(plain), arguments.json)
    is_printed |= deliver(lambda: trust_table.trust_csv(plain), arguments.csv)
    if not is_printed:
        say_trust(rows)
    return 0


def say_trust(rows: Sequence[MetricTrust]) -> None:
    """Print what a set-up would show and how well, then what it would not."""
    shown = [row for row in rows if row.n_shown]
    if shown:
        say(f"{shown[0].n} simulated deliveries: error is the root mean square against the truth")
    heads = ("metric", "when", "error", "bias", "±", "± holds", "shown", "limited by")
    columns([heads, *(_cells(row) for row in shown)], indent=2)
    hidden = [row for row in rows if not row.n_shown]
    reasons = dict.fromkeys((row.reason, row.remedy) for row in hidden)
    if reasons:
        say("  not shown")
    for reason, remedy in reasons:
        names = dict.fromkeys(
            row.name for row in hidden if (row.reason, row.remedy) == (reason, remedy)
        )
        say_wrapped(f"- {', '.join(names)}: {reason}; {remedy}", indent=4)
    say("  a simulation of our own figure: a real body, cloth and phone add to it")


def _cells(row: MetricTrust) -> tuple[str, ...]:
    from deliverylab.core.vocabulary.events import BY_KEY as EVENTS

    digits = row.decimals + 1
    unit = "°" if row.unit == "deg" else f" {row.unit}"
    return (
        row.name,
        EVENTS[row.event].name if row.event else "",
        f"{row.rmse:.{digits}f}{unit}",
        f"{row.bias:+.{digits}f}",
        f"{row.expanded_u:.{digits}f}",
        f"{100.0 * row.coverage:.0f} %",
        f"{100.0 * row.share_shown:.0f} %",
        row.limited_by,
    )
