"""``scale``, ``place`` and ``relink``: what a person would click in the window."""

from __future__ import annotations

import argparse
from typing import Any

from deliverylab.cli import mark_commands
from deliverylab.cli.editing import edit_camera
from deliverylab.cli.options import add_delivery, length_m, number, numbers
from deliverylab.cli.output import counted, note, say
from deliverylab.core.errors import InputValueError, UsageError
from deliverylab.core.model.changes import Change, replace
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.project import Project
from deliverylab.core.model.scale import Point
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, ROLE_KEYS

_SCALE_TEXT = """\
Set how pixels become metres: two points of known distance in the plane of motion (in which the
athlete moves toward the plate), and how the camera stood. Pixels count from the centre of the
top-left pixel, x to the right, y down, in the upright picture. Options left out keep their value
when the camera has a scale already."""
_SCALE_EXAMPLES = """\
examples:
  deliverylab scale may.delivery --delivery "Ana 1" --points 412,880,1320,884 --length 1.5
  deliverylab scale may.delivery --delivery "Ana 1" --points 412,880,1320,884 --length 1.5 \\
      --vertical-deg -0.6 --distance 8.5 --yaw-deg 2
"""
_PLACE_TEXT = """\
Place landmarks from a table. Its first line names the columns: frame,landmark,x_px,y_px and, if
wanted, u_px (standard uncertainty of either coordinate). Frames count from 0. If a row is wrong,
each wrong row is named and nothing is placed."""


def add_commands(commands: Any) -> None:
    """Add ``scale``, ``place``, ``mark`` and ``relink``."""
    _add_scale(commands)
    place = commands.add_parser(
        "place",
        help="place landmarks from a table",
        description=_PLACE_TEXT,
        epilog=f"landmarks: {', '.join(LANDMARK_KEYS)}\n"
        f"or by role: {', '.join(role for role in ROLE_KEYS if role not in LANDMARK_KEYS)}",
    )
    add_delivery(place)
    place.add_argument("positions", metavar="POSITIONS.csv", help="the table, UTF-8")
    place.set_defaults(run=_place)
    mark_commands.add_mark(commands)
    relink = commands.add_parser(
        "relink",
        help="say where a clip is that was moved",
        description="Say where a delivery's clip is now. It must be the same file; marks and positions are kept.",
    )
    add_delivery(relink)
    relink.add_argument("clip", metavar="CLIP", help="the moved clip")
    relink.add_argument(
        "--other-file",
        action="store_true",
        help="take another file, such as the same clip in another quality with the same frames",
    )
    relink.set_defaults(run=_relink)


def _add_scale(commands: Any) -> None:
    scale = commands.add_parser(
        "scale",
        help="set how pixels become metres",
        description=_SCALE_TEXT,
        epilog=_SCALE_EXAMPLES,
    )
    add_delivery(scale)
    add = scale.add_argument
    add("--points", metavar="X1,Y1,X2,Y2", type=numbers(4), help="the two points, px")
    add("--length", metavar="M", type=length_m, help="their distance: 1.5, 150cm, 24in")
    add("--u-length", metavar="M", type=length_m, help="its standard uncertainty (default 0.005)")
    add("--u-point", metavar="PX", type=number, help="standard uncertainty of a point (default 1)")
    add(
        "--vertical-deg",
        metavar="D",
        type=number,
        help="lean of the true vertical from the picture's upward edge, clockwise positive",
    )
    add("--u-vertical-deg", metavar="D", type=number, help="its standard uncertainty (default 0.3)")
    add(
        "--toward-plate",
        choices=["left", "right"],
        help="side of the picture on which the plate lies (default: from view and hand)",
    )
    add("--distance", metavar="M", type=length_m, help="camera to the plane of motion")
    add("--u-distance", metavar="M", type=length_m, help="its standard uncertainty")
    add(
        "--yaw-deg",
        metavar="D",
        type=number,
        help="turn of the line of sight from square, anticlockwise seen from above positive",
    )
    add("--u-yaw-deg", metavar="D", type=number, help="its standard uncertainty (default 3)")
    add("--rubber", metavar="X,Y", type=numbers(2), help="middle of the rubber's front edge, px")
    scale.set_defaults(run=_scale)


def _scale(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.clip_changes import SetScale
    from deliverylab.core.model.scale import PlanarScale

    given: dict[str, Any] = {
        "length_m": arguments.length,
        "u_length_m": arguments.u_length,
        "u_point_px": arguments.u_point,
        "vertical_deg": arguments.vertical_deg,
        "u_vertical_deg": arguments.u_vertical_deg,
        "toward_plate": arguments.toward_plate,
        "distance_m": arguments.distance,
        "u_distance_m": arguments.u_distance,
        "yaw_deg": arguments.yaw_deg,
        "u_yaw_deg": arguments.u_yaw_deg,
    }
    if arguments.points is not None:
        given |= {"a": Point(*arguments.points[:2]), "b": Point(*arguments.points[2:])}
    if arguments.rubber is not None:
        given["rubber"] = Point(*arguments.rubber)
    given = {key: value for key, value in given.items() if value is not None}

    def make(_: Project, camera: Camera) -> Change:
        _check_in_picture(camera, *(given[key] for key in ("a", "b", "rubber") if key in given))
        if camera.scale is not None:
            # from now on it is a person's own: no solve replaces it
            scale = replace(camera.scale, **given, is_solved=False)
        elif {"a", "length_m"} <= set(given):
            scale = PlanarScale(**given)
        else:
            raise UsageError(
                "a first scale needs --points and --length",
                where=f"{arguments.delivery}: {camera.name}",
                remedy="give two points and their distance",
            )
        return SetScale(delivery=arguments.delivery, camera=camera.name, scale=scale)

    project, camera = edit_camera(arguments, make)
    scale = camera.scale
    if scale is not None:
        from math import hypot

        px_per_m = hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px) / scale.length_m
        side = project.delivery(arguments.delivery).plate_side(camera)
        plate = f"; the plate is on the {side}" if side else ""
        stood = "" if scale.distance_m is None else f", {scale.distance_m:g} m away"
        say(
            f"{arguments.delivery}, {camera.name}: {px_per_m:.1f} px a metre; the camera "
            f"{scale.yaw_deg:g}° ± {2.0 * scale.u_yaw_deg:g} off square{stood}{plate}"
        )
        if scale.distance_m is None:
            note("without --distance a near camera is assumed, which widens every ±")
    return 0


def _check_in_picture(camera: Camera, *points: Point) -> None:
    """Refuse points that cannot have been seen: another size of the picture was meant."""
    for x_px, y_px in points:
        # half a pixel more, as far as the outermost pixels reach, and as much for rounding
        if not (-1.0 <= x_px <= camera.width_px and -1.0 <= y_px <= camera.height_px):
            raise InputValueError(
                "a point lies outside the picture",
                where=f"{x_px:g},{y_px:g}",
                remedy=f"give pixels of the upright picture of {camera.name}, "
                f"{camera.width_px}x{camera.height_px}",
            )


def _place(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.clip_changes import SetPositions
    from deliverylab.core.workflow.positions import PositionTable, positions_from_text, table_text

    # once only: it may come out of a pipe
    text = table_text(arguments.positions)
    table: PositionTable = {}

    def make(project: Project, camera: Camera) -> Change:
        nonlocal table
        table = positions_from_text(
            text,
            arguments.positions,
            hand=project.delivery(arguments.delivery).athlete.hand,
            n_frames=camera.timing.n_frames,
        )
        return SetPositions(
            delivery=arguments.delivery,
            camera=camera.name,
            positions={key: dict(track) for key, track in table.items()},
        )

    _, camera = edit_camera(arguments, make)
    n_positions = sum(len(track) for track in table.values())
    n_frames = len({frame for track in table.values() for frame in track})
    say(
        f"{arguments.delivery}, {camera.name}: {counted(n_positions, 'position')} of "
        f"{counted(len(table), 'landmark')} in {counted(n_frames, 'frame')}"
    )
    return 0


def _relink(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.changes import SetCamera
    from deliverylab.core.store.clips import relinked

    def make(_: Project, camera: Camera) -> Change:
        moved = relinked(
            camera, arguments.clip, arguments.project, accept_other=arguments.other_file
        )
        return SetCamera(delivery=arguments.delivery, name=camera.name, camera=moved)

    _, camera = edit_camera(arguments, make)
    say(f"{arguments.delivery}, {camera.name}: the clip is {arguments.clip}")
    return 0
