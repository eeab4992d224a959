"""``track``: follow placed landmarks through a clip, and say where they were lost."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_delivery, frame_range
from deliverylab.cli.output import (
    check_targets,
    columns,
    counted,
    deliver,
    note,
    progress,
    say,
)
from deliverylab.core.model.changes import Change
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.vocabulary.landmarks import (
    BY_KEY,
    Hand,
    key_for_role,
    role_for_key,
    role_name,
)

if TYPE_CHECKING:
    from deliverylab.core.workflow.tracking import LostStretch, Tracking

_TEXT = """\
Follow landmarks through a clip's pictures from where they are placed (or detected), forward and
backward. Some ten placed frames make a whole delivery. Each place followed has its u, which grows with
the distance from the placed ones; where it grows too far the landmark is lost, and the reason is said.
What was placed or imported is never changed, and one undo takes everything back."""
_N_STRETCHES = 3


def add_commands(commands: Any) -> None:
    """Add ``track``."""
    track = commands.add_parser(
        "track",
        help="follow placed landmarks through a clip",
        description=_TEXT,
        epilog='example:\n  deliverylab track may.delivery --delivery "Ana 1"\n'
        '  deliverylab track may.delivery --delivery "Ana 1" --landmark lead_knee lead_ankle\n',
    )
    add_delivery(track)
    track.add_argument(
        "--landmark", metavar="NAME", nargs="+",
        help="keys or roles, such as left_knee or lead_knee (default: all that are placed)",
    )  # fmt: skip
    track.add_argument(
        "--frames", metavar="A-B", type=frame_range, help="frames (default: the trimmed clip)"
    )
    track.add_argument(
        "--placed-only", action="store_true", help="do not start from the detector's places"
    )
    track.add_argument(
        "--fill", action="store_true",
        help="then bridge gaps of up to 45 ms; results that rest on a bridge say so",
    )  # fmt: skip
    track.add_argument(
        "--json", metavar="FILE", help='write what was lost as JSON; "-" prints it in place of text'
    )
    track.set_defaults(run=_track)


def _track(arguments: argparse.Namespace) -> int:
    from deliverylab.core.workflow.editing import edit_project_file
    from deliverylab.core.workflow.tracking import track, tracking_change

    check_targets(arguments.json, inputs=[arguments.project])
    found: Tracking | None = None

    def make(project: Project) -> Change:
        nonlocal found
        delivery = project.delivery(arguments.delivery)
        camera = delivery.camera(arguments.camera)
        with progress("following") as bar:
            found = track(
                delivery, camera, arguments.project,
                landmarks=_keys(arguments.landmark, delivery.athlete.hand),
                frames=arguments.frames, from_detected=not arguments.placed_only, progress=bar,
            )  # fmt: skip
        return tracking_change(delivery, camera, found)

    project = edit_project_file(arguments.project, make)
    if found is None:
        return 1
    if arguments.fill:
        project = _fill(arguments)
    delivery = project.delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    answer = _answer(delivery, camera, found)
    if not deliver(lambda: json.dumps(answer, indent=2, ensure_ascii=False) + "\n", arguments.json):
        _say(delivery, camera, found)
    return 0


def _fill(arguments: argparse.Namespace) -> Project:
    """Bridge short gaps, and say how many frames were."""
    from deliverylab.core.workflow.editing import edit_project_file
    from deliverylab.core.workflow.filling import fill, filling_change

    n_filled = 0

    def make(project: Project) -> Change:
        nonlocal n_filled
        delivery = project.delivery(arguments.delivery)
        camera = delivery.camera(arguments.camera)
        keys = _keys(arguments.landmark, delivery.athlete.hand)
        filling = fill(delivery, camera, project.record, landmarks=keys)
        n_filled = sum(map(len, filling.positions.values()))
        return filling_change(delivery, camera, filling, landmarks=keys)

    project = edit_project_file(arguments.project, make)
    note(f"{counted(n_filled, 'place')} bridged in short gaps")
    return project


def _keys(names: list[str] | None, hand: Hand) -> list[str] | None:
    """Return keys of landmarks given by key or role."""
    if names is None:
        return None
    return [name if name in BY_KEY else key_for_role(name, hand) for name in names]


def _answer(delivery: Delivery, camera: Camera, found: Tracking) -> dict[str, Any]:
    return {
        "delivery": delivery.name,
        "camera": camera.name,
        "tracked": {key: len(places) for key, places in found.positions.items()},
        "bridged": {key: len(places) for key, places in found.bridged.items()},
        "lost": [
            {
                "landmark": one.landmark,
                "first_frame": one.first_frame,
                "last_frame": one.last_frame,
                "reason": one.text,
            }
            for one in found.lost
        ],
    }


def _say(delivery: Delivery, camera: Camera, found: Tracking) -> None:
    from deliverylab.core.workflow.tracking import BESIDE

    n_tracked = sum(map(len, found.positions.values()))
    n_asked = sum(map(len, found.frames.values()))
    share = n_tracked / n_asked if n_asked else 0.0
    say(
        f"{delivery.name}, {camera.name}: {counted(len(found.frames), 'landmark')} followed, "
        f"{share:.0%} of their frames"
    )
    rows = [("landmark", "tracked", "bridged", "lost", "where, the longest first, and why")]
    for key, places in found.positions.items():
        lost = sorted(
            (one for one in found.lost if one.landmark == key),
            key=lambda one: (one.reason == BESIDE, -one.n_frames),
        )
        rows.append(
            (
                role_name(role_for_key(key, delivery.athlete.hand)),
                str(len(places)),
                str(len(found.bridged.get(key, ()))),
                str(sum(one.n_frames for one in lost)),
                "; ".join(map(_where, lost[:_N_STRETCHES])),
            )
        )
    columns(rows, indent=2)
    if found.lost:
        note(
            "place a lost landmark once in the middle of a stretch and track again: it closes most"
        )


def _where(lost: LostStretch) -> str:
    frames = (
        f"{lost.first_frame}" if lost.n_frames == 1 else f"{lost.first_frame}-{lost.last_frame}"
    )
    return f"{frames} {lost.text}"
