"""``timing``: at what rate a clip was taken, which times hold, and its rolling shutter."""

from __future__ import annotations

import argparse
from typing import Any

from deliverylab.cli.options import add_delivery, number, rate_hz
from deliverylab.cli.output import say, say_wrapped
from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import Batch, Change, replace
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.project import Project

_TEXT = """\
Say at what rate a clip was captured, which times to measure by, and how slowly the camera reads a
picture out. Without an option it says what holds and what is offered. Marks stay where they are."""
_EXAMPLES = """\
examples:
  deliverylab timing may.delivery --delivery "Ana 1"
  deliverylab timing may.delivery --delivery "Ana 1" --capture-rate 240
  deliverylab timing may.delivery --delivery "Ana 1" --read-out 12 --u-read-out 3
"""


def add_commands(commands: Any) -> None:
    """Add ``timing``."""
    timing = commands.add_parser(
        "timing",
        help="capture rate, repaired times, rolling shutter",
        description=_TEXT,
        epilog=_EXAMPLES,
    )
    add_delivery(timing)
    rate = timing.add_mutually_exclusive_group()
    rate.add_argument(
        "--capture-rate", metavar="HZ", type=rate_hz, help="frames a second as they were taken"
    )
    rate.add_argument(
        "--stored-rate", action="store_true", help="the clip plays as fast as life: no capture rate"
    )
    axis = timing.add_mutually_exclusive_group()
    axis.add_argument(
        "--look",
        action="store_true",
        help="look the clip over anew; repair its times where certain",
    )
    axis.add_argument("--as-stored", action="store_true", help="measure by the times as stored")
    timing.add_argument(
        "--trust", action="store_true", help="show speeds in spite of what was found"
    )
    timing.add_argument(
        "--read-out",
        metavar="MS",
        type=number,
        help="rolling shutter: milliseconds from the first row to the last, downward (0: off; "
        "below 0 where the lowest row is first); the middle row has the frame's time",
    )
    timing.add_argument(
        "--u-read-out", metavar="MS", type=number, help="its standard uncertainty (default 0)"
    )
    timing.set_defaults(run=_timing)


def _timing(arguments: argparse.Namespace) -> int:
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.clip_times import rate_by_ball_hz, time_offers
    from deliverylab.core.workflow.editing import edit_project_file

    if arguments.u_read_out is not None and arguments.read_out is None:
        raise UsageError("--u-read-out needs --read-out", remedy="give both, in milliseconds")
    project = Project(load_project(arguments.project))
    camera = project.camera(arguments.delivery, arguments.camera)
    report = _look(camera, arguments) if arguments.look else None
    if _changes(project, arguments, report):
        project = edit_project_file(
            arguments.project,
            lambda now: Batch(
                label="Set the clip's time", changes=tuple(_changes(now, arguments, report))
            ),
        )
    delivery = project.delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    _say_times(camera, arguments)
    by_ball_hz = rate_by_ball_hz(delivery, camera)
    for offer in time_offers(delivery, camera.name, rate_by_ball_hz=by_ball_hz):
        say_wrapped(f"  offer: {offer.text}")
    return 0


def _changes(project: Project, arguments: argparse.Namespace, report: Any) -> list[Change]:
    """Return what was asked for as changes of the project as it is now."""
    from deliverylab.core.model.timing_changes import SetRowTime, SetTiming
    from deliverylab.core.workflow.clip_times import looked_over

    camera = project.camera(arguments.delivery, arguments.camera)
    timing = camera.timing if report is None else looked_over(camera.timing, report)
    if arguments.as_stored:
        timing = replace(timing, repair=None)
    if arguments.trust:
        timing = replace(timing, doubts=())
    if arguments.capture_rate is not None or arguments.stored_rate:
        timing = replace(timing, capture_rate_hz=arguments.capture_rate)
    changes: list[Change] = []
    if timing != camera.timing:
        changes.append(SetTiming(delivery=arguments.delivery, camera=camera.name, timing=timing))
    if arguments.read_out is not None:
        per_row = 1e-3 / camera.height_px
        changes.append(
            SetRowTime(
                delivery=arguments.delivery,
                camera=camera.name,
                row_time_s=arguments.read_out * per_row,
                u_row_time_s=(arguments.u_read_out or 0.0) * per_row,
            )
        )
    return changes


def _look(camera: Camera, arguments: argparse.Namespace) -> Any:
    from deliverylab.cli.output import progress
    from deliverylab.core.store.clips import resolve_clip
    from deliverylab.core.video.probe import probe

    path = None if camera.clip is None else resolve_clip(arguments.project, camera.clip)
    if path is None:
        raise UsageError(
            "there is no clip to look over",
            where=f"{arguments.delivery}: {camera.name}",
            remedy="relink it, or leave --look out",
        )
    with progress("looking the clip over") as show:
        return probe(path, progress=show)


def _say_times(camera: Camera, arguments: argparse.Namespace) -> None:
    timing = camera.timing
    say(
        f"{arguments.delivery}, {camera.name}: stored at {timing.stored_rate_hz:.6g} frames a "
        f"second, {timing.true_rate_hz:.6g} pictures in a real second"
    )
    if timing.repair is not None:
        say_wrapped(f"  repaired: {timing.repair.note}")
    for doubt in timing.doubts:
        say_wrapped(f"  doubt: {doubt.reason}: speeds are withheld; {doubt.remedy}")
    if camera.row_time_s:
        say(f"  rolling shutter: {1e3 * camera.row_time_s * camera.height_px:.3g} ms a picture")
