"""``mark``: the instants that matter, said by a person or suggested from the tracks."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING, Any

from deliverylab.cli.editing import edit_camera
from deliverylab.cli.options import add_delivery, number
from deliverylab.cli.output import note, say
from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import Batch, Change
from deliverylab.core.model.delivery import Camera, Mark
from deliverylab.core.model.project import Project
from deliverylab.core.vocabulary.events import BY_KEY as EVENT_BY_KEY
from deliverylab.core.vocabulary.events import EVENTS
from deliverylab.core.vocabulary.events import event as event_entry

if TYPE_CHECKING:
    from deliverylab.core.events.suggest import Suggestion

_MARK_TEXT = """\
Mark events on the clip's own clock: seconds from its first frame, or f and a frame's number. In a
slow-motion clip these are the seconds that the player shows, not real ones.

With --suggest, say where the tracks put each event, with its ±, and how it was found or what is
missing; --accept marks those that are not marked yet, or those named."""


def add_mark(commands: Any) -> None:
    """Add ``mark``."""
    mark = commands.add_parser(
        "mark",
        help="mark the instants that matter",
        description=_MARK_TEXT,
        epilog="events:\n"
        + "\n".join(f"  {event.key:<13} {event.definition} ({event.cue})" for event in EVENTS)
        + "\n\nexample:\n  deliverylab mark may.delivery --delivery 'Ana 1' leg_lift=0.52 release=f352\n"
        "  deliverylab mark may.delivery --delivery 'Ana 1' --suggest --accept\n",
    )
    add_delivery(mark)
    marks = mark.add_argument(
        "marks",
        metavar="EVENT=SECONDS",
        nargs="+",
        help="EVENT=1.310, EVENT=f315 for a frame, or EVENT=none to take a mark away; with --suggest "
        "EVENT alone",
    )
    # not needed with --suggest; with nargs="*" it would be taken as empty before an option
    marks.required = False
    mark.add_argument("--suggest", action="store_true", help="suggest marks from the tracks")
    mark.add_argument(
        "--accept",
        action="store_true",
        help="mark the events suggested, each with its own u; an event named is marked anew",
    )
    mark.add_argument(
        "--u",
        metavar="SECONDS",
        type=number,
        help="standard uncertainty of these marks on the same clock (default: the frame interval "
        "divided by √12)",
    )
    mark.set_defaults(run=_mark)


def _mark(arguments: argparse.Namespace) -> int:
    if arguments.suggest or arguments.accept:
        return _suggest(arguments)
    from deliverylab.core.events.check import mark_complaints
    from deliverylab.core.model.clip_changes import SetMark

    if not arguments.marks:
        raise UsageError(
            "there is nothing to mark", remedy="give EVENT=SECONDS, or --suggest for suggestions"
        )
    wanted = [_event_and_time(text) for text in arguments.marks]
    events = [event for event, _ in wanted]
    twice = [event for event in EVENTS if events.count(event.key) > 1]
    if twice:
        raise UsageError(
            "an event is marked twice", where=twice[0].key, remedy="say it once, with one time"
        )

    def make(_: Project, camera: Camera) -> Change:
        changes = tuple(
            SetMark(
                delivery=arguments.delivery,
                camera=camera.name,
                event=event,
                mark=None if time is None else Mark(time_s=_seconds(time, camera), u_s=arguments.u),
            )
            for event, time in wanted
        )
        return Batch(label="Mark events", changes=changes)

    _, camera = edit_camera(arguments, make)
    for event in EVENTS:
        mark = camera.marks.get(event.key)
        if mark is not None:
            frame = camera.timing.frame_position(mark.time_s)
            say(f"  {event.name:<13} {mark.time_s:9.4f} s  frame {frame:.1f}")
    for complaint in mark_complaints(camera):
        note(complaint)
    return 0


def _suggest(arguments: argparse.Namespace) -> int:
    """Print suggested marks; with ``--accept`` set them."""
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow import suggesting

    named = tuple(_suggested_event(text) for text in arguments.marks or ())
    if arguments.u is not None:
        raise UsageError("a suggestion has its own u", remedy="leave out --u")
    project = Project(load_project(arguments.project))
    delivery = project.delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    found = suggesting.suggestions(delivery, camera)
    chosen = named or suggesting.unmarked(camera, found)
    for each in found:
        if named and each.event not in named:
            continue
        say(_suggestion_line(each, camera))
    for complaint in suggesting.complaints(camera, found, chosen):
        note(complaint)
    if not arguments.accept:
        return 0

    def make(project: Project, camera: Camera) -> Change:
        delivery = project.delivery(arguments.delivery)
        found = suggesting.suggestions(delivery, camera)
        events = named or suggesting.unmarked(camera, found)
        return suggesting.accept(delivery, camera, found, events)

    edit_camera(arguments, make)
    names = ", ".join(EVENT_BY_KEY[event].name for event in chosen)
    say(f"marked: {names}" if names else "all that is suggested is marked already")
    return 0


def _suggested_event(text: str) -> str:
    """Read the key of an event that is to be suggested."""
    if "=" in text:
        raise UsageError(
            "a suggestion is not told its time", where=text, remedy="name the event alone"
        )
    return event_entry(text.strip().lower().replace("-", "_").replace(" ", "_")).key


def _suggestion_line(suggestion: Suggestion, camera: Camera) -> str:
    """Return a suggestion as one line: where, ± and why; or what is missing."""
    name = EVENT_BY_KEY[suggestion.event].name
    if suggestion.time_s is None or suggestion.u_s is None:
        return f"  {name:<13} –  {suggestion.why}"
    frame = camera.timing.frame_position(suggestion.time_s)
    mark = camera.marks.get(suggestion.event)
    marked = "" if mark is None else f"; marked at {mark.time_s:.4f} s"
    return (
        f"  {name:<13} {suggestion.time_s:9.4f} s ± {2.0 * suggestion.u_s:.4f}  frame {frame:.1f}"
        f"  {suggestion.why}{marked}"
    )


def _event_and_time(text: str) -> tuple[str, str | None]:
    """Read ``EVENT=TIME``: the event's key, and seconds, f and a frame, or None for ``none``."""
    event, separator, time = (part.strip().lower() for part in text.partition("="))
    if not separator or not re.fullmatch(r"f\d{1,9}|[+-]?(\d+([.,]\d*)?|[.,]\d+)s?|none", time):
        raise UsageError(
            "a mark cannot be read",
            where=text,
            remedy="write EVENT=1.310, EVENT=f315 or EVENT=none",
        )
    time = time.replace(",", ".").removesuffix("s")
    return event.replace("-", "_").replace(" ", "_"), None if time == "none" else time


def _seconds(text: str, camera: Camera) -> float:
    if not text.startswith("f"):
        return float(text)
    frame = int(text[1:])
    if frame >= camera.timing.n_frames:
        raise UsageError(
            "the clip has no such frame",
            where=text,
            remedy=f"frames run from f0 to f{camera.timing.n_frames - 1}",
        )
    return float(camera.timing.times_s[frame])
