"""``ball`` and ``fall``: look for the ball in the clip, and check scale and rate by a falling one."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_delivery, frame_range, numbers
from deliverylab.cli.output import check_targets, counted, deliver, note, say, say_wrapped
from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import Batch, Change, SetDelivery, replace
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.vocabulary.balls import BALLS

if TYPE_CHECKING:
    from deliverylab.core.metrics.ball_fall import FallCheck
    from deliverylab.core.tracking.ball import BallFlight

_BALL_TEXT = """\
Look for the ball in the frames after release and place it there. Where it is not sure, nothing is
placed. Positions placed by hand are kept. Release has to be marked (or --frames given) and the scale
set."""
_FALL_TEXT = """\
Check scale and capture rate with a ball that was tossed or dropped in the plane of the scale and
filmed with the same camera: g comes out in proportion to the scale and to the square of the time
base. The positions of the landmark ball in the frames of its free flight are used, or those of a
table with the columns frame,landmark,x_px,y_px, or it is looked for in the clip. Nothing is stored."""


def add_commands(commands: Any) -> None:
    """Add ``ball`` and ``fall``."""
    ball = commands.add_parser(
        "ball",
        help="look for the ball after release, and say how fast it is",
        description=_BALL_TEXT,
        epilog='example:\n  deliverylab ball may.delivery --delivery "Ana 1" --near 812,304\n',
    )
    add_delivery(ball)
    ball.add_argument(
        "--near", metavar="X,Y", type=numbers(2), help="where the ball starts: the hand at release"
    )
    _add_frames(ball, "frames to look at (default: about release)")
    ball.add_argument(
        "--kind",
        choices=[entry.key for entry in BALLS],
        help="kind of ball; kept with the delivery",
    )
    _add_json(ball)
    ball.set_defaults(run=_ball)
    fall = commands.add_parser(
        "fall",
        help="check scale and capture rate by a falling ball",
        description=_FALL_TEXT,
        epilog='example:\n  deliverylab fall may.delivery --delivery "toss" --frames 40-95\n',
    )
    add_delivery(fall)
    _add_frames(fall, "frames of the free flight (default: all that hold the ball)")
    places = fall.add_mutually_exclusive_group()
    places.add_argument("--positions", metavar="FILE.csv", help="the ball's positions from a table")
    places.add_argument("--find", action="store_true", help="look for the ball in these frames")
    _add_json(fall)
    fall.set_defaults(run=_fall)


def _add_json(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--json", metavar="FILE", help='write it as JSON, SI units; "-" prints it in place of text'
    )


def _add_frames(command: argparse.ArgumentParser, text: str) -> None:
    command.add_argument("--frames", metavar="A-B", type=frame_range, help=text)


def _check_frames(camera: Camera, frames: tuple[int, int] | None) -> None:
    if frames is not None and frames[1] >= camera.timing.n_frames:
        raise UsageError(
            "the clip has no such frame",
            where=f"{frames[0]}-{frames[1]}",
            remedy=f"frames run from 0 to {camera.timing.n_frames - 1}",
        )


def _ball(arguments: argparse.Namespace) -> int:
    from deliverylab.core.workflow.ball import ball_change, look_for_ball
    from deliverylab.core.workflow.editing import edit_project_file

    check_targets(arguments.json, inputs=[arguments.project])
    found: BallFlight | None = None

    def make(project: Project) -> Change:
        nonlocal found
        delivery = project.delivery(arguments.delivery)
        if arguments.kind is not None:
            delivery = replace(delivery, ball=arguments.kind)
        camera = delivery.camera(arguments.camera)
        _check_frames(camera, arguments.frames)
        found = look_for_ball(
            delivery, camera, arguments.project, near_px=arguments.near, frames=arguments.frames
        )
        changes: tuple[Change, ...] = (
            () if arguments.kind is None else (SetDelivery(name=delivery.name, delivery=delivery),)
        )
        if found.is_found:
            changes += (ball_change(delivery, camera, found),)
        return Batch(label="Find the ball", changes=changes)

    project = edit_project_file(arguments.project, make)
    delivery = project.delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    if found is None:
        return 1
    answer = _ball_answer(delivery, camera, found)
    if not deliver(lambda: _json(answer), arguments.json):
        _say_ball(delivery, camera, found, answer)
    return 0 if found.is_found else 1


def _ball_answer(delivery: Delivery, camera: Camera, found: BallFlight) -> dict[str, Any]:
    """Return what was found and what it says, as plain values."""
    from deliverylab.core.metrics.ball_results import radar_check
    from deliverylab.core.metrics.evaluate import evaluate

    results = [result for result in evaluate(delivery) if result.phase == "ball"]
    check = next(
        (radar_check(each, delivery, camera) for each in results if each.metric == _SPEED), None
    )
    return {
        "delivery": delivery.name,
        "camera": camera.name,
        "ball": delivery.ball,
        "is_found": found.is_found,
        "reason": found.reason,
        "frames": found.rows.tolist(),
        "x_px": found.xy_px[:, 0].round(3).tolist(),
        "y_px": found.xy_px[:, 1].round(3).tolist(),
        "u_px": found.u_px.round(3).tolist(),
        "results": [result.as_row() for result in results],
        "radar": None if check is None else {
            "difference_m_s": check.difference_m_s, "E_n": check.e_n, "hint": check.hint
        },
    }  # fmt: skip


_SPEED = "ball_speed_measured"


def _say_ball(
    delivery: Delivery, camera: Camera, found: BallFlight, answer: dict[str, Any]
) -> None:
    from deliverylab.core.units import MPH_M_S

    where = f"{delivery.name}, {camera.name}"
    if not found.is_found:
        say_wrapped(f"{where}: the ball is not placed: {found.reason}")
        note("place it by hand in three frames or more, or give --near and --frames")
        return
    frames = found.rows
    say(f"{where}: the ball in {counted(len(frames), 'frame')}, {frames[0]} to {frames[-1]}")
    speed = next(row for row in answer["results"] if row["metric"] == _SPEED)
    if speed["value"] is None:
        note(f"no speed: {speed['reason']}; {speed['remedy']}")
        return
    value, margin = speed["value"], speed["U"]
    say(
        f"  at release {value:.1f} ± {margin:.1f} m/s "
        f"({value / MPH_M_S:.0f} ± {margin / MPH_M_S:.0f} mph)"
    )
    radar = answer["radar"]
    if radar is not None and not radar["hint"]:
        say(f"  agrees with the radar reading (E_n {radar['E_n']:.1f})")
    if speed["cautions"]:
        note(speed["cautions"])


def _fall(arguments: argparse.Namespace) -> int:
    from deliverylab.core.metrics.ball_fall import fall_check
    from deliverylab.core.store.projectfile import load_project

    check_targets(arguments.json, inputs=[arguments.project])
    project = Project(load_project(arguments.project))
    delivery = project.delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    _check_frames(camera, arguments.frames)
    if arguments.positions is not None:
        camera = _with_positions(delivery, camera, arguments.positions)
    elif arguments.find:
        camera = _with_fall(delivery, camera, arguments)
    check = fall_check(delivery, camera, *(arguments.frames or (0, None)))
    if not deliver(lambda: _json(_fall_answer(check)), arguments.json):
        say_wrapped(check.verdict)
        if check.hint:
            note(check.hint)
        say(f"  from {counted(check.n, 'position')} over {check.duration_s:.2f} s; parts of u:")
        for source, u in sorted(check.parts.items(), key=lambda part: -part[1])[:4]:
            say(f"    {u:6.3f} m/s²  {source}")
    return 0 if check.is_agreeing else 1


def _with_positions(delivery: Delivery, camera: Camera, path: str) -> Camera:
    """Return the camera with the ball where a table puts it."""
    from deliverylab.core.model.track import Track
    from deliverylab.core.workflow.positions import positions_from_text, table_text

    table = positions_from_text(
        table_text(path), path, hand=delivery.athlete.hand, n_frames=camera.timing.n_frames
    )
    if "ball" not in table:
        raise UsageError(
            "the table holds no ball", where=path, remedy='write "ball" in its column landmark'
        )
    return replace(camera, tracks=camera.tracks | {"ball": Track.of(table["ball"].items())})


def _with_fall(delivery: Delivery, camera: Camera, arguments: argparse.Namespace) -> Camera:
    """Return the camera with the ball where it is found to fall."""
    from deliverylab.core.model.track import Position, Track
    from deliverylab.core.workflow.ball import look_for_fall

    frames = arguments.frames or (camera.first_frame, camera.end_frame)
    found = look_for_fall(delivery, camera, arguments.project, frames)
    if not found.is_found:
        raise UsageError(
            "the ball is not found",
            where=found.reason,
            remedy="give the frames of its free flight (--frames), or its places (--positions)",
        )
    rows = zip(found.rows.tolist(), found.xy_px.tolist(), found.u_px.tolist(), strict=True)
    places = ((frame, Position(x, y, u, "detected")) for frame, (x, y), u in rows)
    return replace(camera, tracks=camera.tracks | {"ball": Track.of(places)})


def _fall_answer(check: FallCheck) -> dict[str, Any]:
    from dataclasses import asdict

    return asdict(check)


def _json(answer: dict[str, Any]) -> str:
    return json.dumps(answer, indent=2, ensure_ascii=False) + "\n"
