"""``new`` and ``add``: take a clip, or positions from elsewhere, into a project."""

from __future__ import annotations

import argparse
from typing import Any

from deliverylab.cli.options import (
    birth_year,
    day,
    length_m,
    n_frames,
    name,
    number,
    rate_hz,
    size_px,
    speed_m_s,
)
from deliverylab.cli.output import counted, note, progress, refuse_existing, say
from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import Change
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.vocabulary.views import VIEWS

_NEW_EXAMPLES = """\
examples:
  deliverylab new may.delivery --delivery "Ana 1" --clip ana.mp4 --athlete Ana --hand left --height 1.75
  deliverylab new may.delivery --delivery "Ana 1" --size 1920x1080 --frames 480 --rate 240 --view rear
"""
_ADD_EXAMPLES = """\
A name that is new adds a delivery; the name of an existing one, with a new --camera, adds that camera.
What was said about the same athlete before (hand, height, mass) need not be said again.

examples:
  deliverylab add may.delivery --delivery "Ana 2" --clip ana2.mp4 --athlete Ana
  deliverylab add may.delivery --delivery "Ana 1" --camera rear --view rear --clip ana_rear.mp4
"""
_VIEW_HELP = "where the camera stood (default: open-side): " + "; ".join(
    f"{view.key} {view.standing}" for view in VIEWS
)


def add_commands(commands: Any) -> None:
    """Add ``new`` and ``add``."""
    new = commands.add_parser(
        "new",
        help="make a project with its first delivery",
        description="Make a project with its first delivery.",
        epilog=_NEW_EXAMPLES,
    )
    _add_options(new)
    new.add_argument("--title", type=name, default="", help="title of the project")
    new.add_argument("--organisation", type=name, default="", help="from whom the page is")
    new.add_argument(
        "--units",
        choices=["metric", "imperial"],
        default="metric",
        help="units that people are shown; files hold SI and degrees (default: metric)",
    )
    new.add_argument("--overwrite", action="store_true", help="replace a project of that name")
    new.set_defaults(run=_new)
    add = commands.add_parser(
        "add",
        help="add a delivery, or a camera to a delivery",
        description="Add a delivery, or a further camera of an existing delivery.",
        epilog=_ADD_EXAMPLES,
    )
    _add_options(add)
    add.set_defaults(run=_add)


def _add_options(command: argparse.ArgumentParser) -> None:
    command.add_argument("project", metavar="PROJECT", help="the project file (.delivery)")
    command.add_argument(
        "--delivery", metavar="NAME", type=name, required=True, help="name of the throw"
    )
    clip = command.add_argument_group("the clip, or what stands in for it")
    clip.add_argument("--clip", metavar="FILE", help="the video file")
    clip.add_argument(
        "--size", metavar="WxH", type=size_px, help="without a clip: picture size, 1920x1080"
    )
    clip.add_argument(
        "--frames", metavar="N", type=n_frames, help="without a clip: number of frames"
    )
    clip.add_argument(
        "--rate", metavar="HZ", help="without a clip: frames a second, 240 or 30000/1001"
    )
    clip.add_argument(
        "--camera", metavar="NAME", type=name, default="main", help="its name (default: main)"
    )
    clip.add_argument(
        "--view",
        metavar="VIEW",
        default="open-side",
        choices=[v.key for v in VIEWS],
        help=_VIEW_HELP,
    )
    clip.add_argument(
        "--capture-rate",
        metavar="HZ",
        type=rate_hz,
        help="frames a second at which the camera took the pictures, where the file plays slower "
        "(slow motion); default: what the file itself says",
    )
    clip.add_argument(
        "--skip-duplicates",
        action="store_true",
        help="do not look for repeated frames (quicker on long clips)",
    )
    _add_facts(command)


def _add_facts(command: argparse.ArgumentParser) -> None:
    athlete = command.add_argument_group("the athlete")
    athlete.add_argument(
        "--athlete", metavar="NAME", type=name, help="default: the delivery's name"
    )
    athlete.add_argument(
        "--hand", choices=["left", "right"], help="the throwing hand (default: right)"
    )
    athlete.add_argument(
        "--height", metavar="M", type=length_m, help="standing in shoes: 1.85, 185cm or 6'1\""
    )
    athlete.add_argument("--mass", metavar="KG", type=number, help="kilograms")
    athlete.add_argument(
        "--sex", choices=["female", "male"], help="chooses the table of segment masses"
    )
    athlete.add_argument(
        "--segment-masses",
        choices=["de_leva", "dempster"],
        help="the table behind the centre of mass (default: de_leva)",
    )
    athlete.add_argument(
        "--birth-year", metavar="YEAR", type=birth_year, help="for the page's wording"
    )
    throw = command.add_argument_group("the throw")
    throw.add_argument(
        "--ball-speed", metavar="M_PER_S", type=speed_m_s, help="by radar: 38.4 or 86mph"
    )
    throw.add_argument(
        "--date", metavar="YYYY-MM-DD", type=day, default="", help="day of the throw"
    )


def _new(arguments: argparse.Namespace) -> int:
    from deliverylab.core.model.project import ProjectRecord
    from deliverylab.core.store.projectfile import save_project
    from deliverylab.core.store.replacing import NO_FILE

    refuse_existing(arguments.project, is_allowed=arguments.overwrite)
    record = ProjectRecord(
        title=arguments.title,
        organisation=arguments.organisation,
        unit_system=arguments.units,
    )
    project = Project(record)
    camera = _camera(arguments)
    project.apply(_change(project, camera, arguments))
    save_project(
        project.record,
        arguments.project,
        expected_state=None if arguments.overwrite else NO_FILE,
    )
    _say_what_was_taken(project.delivery(arguments.delivery), camera, arguments)
    return 0


def _add(arguments: argparse.Namespace) -> int:
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.editing import edit_project_file

    _check_camera_is_new(Project(load_project(arguments.project)), arguments)
    camera = _camera(arguments)
    project = edit_project_file(
        arguments.project, lambda project: _change(project, camera, arguments)
    )
    _say_what_was_taken(project.delivery(arguments.delivery), camera, arguments)
    return 0


def _change(project: Project, camera: Camera, arguments: argparse.Namespace) -> Change:
    """Return the change that takes the camera in, with what was said beside it."""
    from deliverylab.core.workflow.intake import AthleteFacts, delivery_change

    facts = AthleteFacts(
        name=arguments.athlete,
        hand=arguments.hand,
        height_m=arguments.height,
        mass_kg=arguments.mass,
        sex=arguments.sex,
        mass_table=arguments.segment_masses,
        birth_year=arguments.birth_year,
    )
    return delivery_change(
        project.record,
        name=arguments.delivery,
        camera=camera,
        facts=facts,
        date=arguments.date,
        ball_speed_m_s=arguments.ball_speed,
    )


def _check_camera_is_new(project: Project, arguments: argparse.Namespace) -> None:
    """Refuse before a long look at the clip what would be refused after it."""
    for delivery in project.record.deliveries:
        if delivery.name == arguments.delivery and arguments.camera in [
            camera.name for camera in delivery.cameras
        ]:
            raise UsageError(
                "the delivery has a camera of that name",
                where=f"{delivery.name}: {arguments.camera}",
                remedy="name the new camera with --camera, or choose another --delivery",
            )


def _camera(arguments: argparse.Namespace) -> Camera:
    from deliverylab.core.workflow.intake import camera_from_clip, camera_without_clip

    typed = (arguments.size, arguments.frames, arguments.rate)
    if arguments.clip is None:
        if None in typed:
            raise UsageError(
                "there is no clip, and not all of --size, --frames and --rate",
                remedy="give --clip FILE, or all three where positions come from elsewhere",
            )
        width_px, height_px = arguments.size
        return camera_without_clip(
            width_px=width_px,
            height_px=height_px,
            n_frames=arguments.frames,
            rate=arguments.rate,
            view=arguments.view,
            name=arguments.camera,
            capture_rate_hz=arguments.capture_rate,
        )
    if any(value is not None for value in typed):
        raise UsageError(
            "--size, --frames and --rate are for deliveries without a clip",
            remedy="leave them out; the clip tells them",
        )
    with progress("looking the clip over") as show:
        camera, report = camera_from_clip(
            arguments.clip,
            project_path=arguments.project,
            view=arguments.view,
            name=arguments.camera,
            capture_rate_hz=arguments.capture_rate,
            look_for_duplicates=not arguments.skip_duplicates,
            progress=show,
        )
    for text in report.notes:
        note(text)
    return camera


def _say_what_was_taken(delivery: Delivery, camera: Camera, arguments: argparse.Namespace) -> None:
    timing = camera.timing
    rate = f"{timing.stored_rate_hz:.6g} frames a second"
    if timing.capture_rate_hz is not None:
        rate += f", captured at {timing.capture_rate_hz:.6g}"
    athlete = delivery.athlete
    height = "" if athlete.height_m is None else f", {athlete.height_m:.2f} m"
    say(f"{arguments.project}: {delivery.name} by {athlete.name}, {athlete.hand}-handed{height}")
    say(
        f"  camera {camera.name}, {camera.view}: {camera.width_px}x{camera.height_px}, "
        f"{counted(timing.n_frames, 'frame')}, {rate}, {float(timing.times_s[-1]):.3f} s"
    )
    if arguments.hand is None and len(delivery.cameras) == 1 and athlete.hand == "right":
        note("taken for right-handed; say --hand left where that is wrong")
    if athlete.height_m is None:
        note("without --height no share of body height can be shown")
