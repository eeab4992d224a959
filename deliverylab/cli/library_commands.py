"""``library``: an instructor's own links, cues and drills."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from deliverylab.cli.output import counted, deliver, say, say_wrapped
from deliverylab.core.errors import UsageError

if TYPE_CHECKING:
    from deliverylab.core.model.library import Library, LinkEnd
    from deliverylab.core.model.plan import Way

_TEXT = """\
Show and edit your own cues, drills, and links between differences. They come before those of the
program. They are kept for this user, or for one place: a library.json beside a project holds for
the projects there. METRIC/EVENT is written as in the tables of "measure"; the event may be left out
where there is only one. "more" and "less" say which way."""
_EXAMPLE = """\
examples:
  deliverylab library show
  deliverylab library cue stride_length more "Reach out to the plate."
  deliverylab library leave-out com_forward_speed/leg_lift stride_length
  deliverylab library export club/library.json
"""


def add_commands(commands: Any) -> None:
    """Add ``library`` with its actions."""
    command = commands.add_parser(
        "library",
        help="your own cues, drills and links: show, add, leave out, hand on",
        description=_TEXT,
        epilog=_EXAMPLE,
    )
    actions = command.add_subparsers(
        title="actions", metavar="ACTION", required=True, help="what to do; each has its own --help"
    )

    def action(name: str, text: str, run: Callable[[argparse.Namespace], int]) -> Any:
        added = actions.add_parser(name, help=text, description=text[:1].upper() + text[1:] + ".")
        added.add_argument(
            "--project", metavar="FILE", help="the library that holds for this project"
        )
        added.set_defaults(run=run)
        return added

    show = action("show", "list what is your own, and what is left out", _show)
    show.add_argument("--all", action="store_true", help="with everything of the program")
    show.add_argument("--json", metavar="FILE", help='the same as JSON; "-" prints it instead')
    export = action("export", "write it to a file, for another machine or a club", _export)
    export.add_argument("file", metavar="FILE.json", help="where to")
    take = action(
        "import", "take in all of a file; where both say something, the file holds", _import
    )
    take.add_argument("file", metavar="FILE.json", help="a file of export")
    _add_own(action)
    _add_links(action)


def _add_own(action: Callable[..., Any]) -> None:
    cue = action("cue", "add a cue of your own", _cue)
    cue.add_argument("metric", metavar="METRIC[/EVENT]", help="what it is for")
    cue.add_argument("way", choices=["more", "less"], help="which way is wanted")
    cue.add_argument("text", metavar="TEXT", help="what the athlete is told")
    cue.add_argument("--for-minors", metavar="TEXT", default="", help="the same to a child")
    drill = action("drill", "add a drill of your own, or change one by its name", _drill)
    drill.add_argument("name", metavar="NAME", help="what it is called")
    drill.add_argument("how", metavar="TEXT", help="how it is done, and how often")
    drill.add_argument(
        "--serves",
        nargs=2,
        metavar=("METRIC[/EVENT]", "WAY"),
        action="append",
        required=True,
        help="what it is for, and which way, more or less; may be given again",
    )
    drill.add_argument(
        "--arm-load",
        choices=["none", "light", "throwing"],
        default="none",
        help="how it works the arm: decides the caution with it (default: none)",
    )
    drill.add_argument("--caution", metavar="TEXT", default="", help="what else to mind")
    without = action(
        "without", "take out a drill of your own, or all of your cues for a metric", _without
    )
    without.add_argument("name", metavar="NAME|METRIC", help="a drill's name, or a metric")


def _add_links(action: Callable[..., Any]) -> None:
    link = action("link", "add a link of your own, or change one of the program's", _link)
    link.add_argument("cause", metavar="METRIC[/EVENT]", help="the earlier difference")
    link.add_argument("cause_way", choices=["more", "less"], help="which way it differs")
    link.add_argument("effect", metavar="METRIC[/EVENT]", help="the later difference")
    link.add_argument("effect_way", choices=["more", "less"], help="which way it differs")
    link.add_argument("why", metavar="TEXT", help="why they go together, in a plain sentence")
    link.add_argument("--source", metavar="TEXT", help="whose word it is (default: the owner's)")
    link.add_argument("--strength", type=float, default=0.6, help="above 0, up to 1 (default: 0.6)")
    link.add_argument("--one-way", action="store_true", help="does not hold turned round")
    for name, text, run in (
        ("leave-out", "leave out a link", _leave_out),
        ("restore", "let the program's link hold again", _restore),
    ):
        ends = action(name, text, run)
        ends.add_argument("cause", metavar="METRIC[/EVENT]", help="the earlier difference")
        ends.add_argument("effect", metavar="METRIC[/EVENT]", help="the later difference")
    owner = action("owner", "say whose library it is: the source of your own links", _owner)
    owner.add_argument("name", metavar="NAME", help="as it stands beside your links")


def _show(arguments: argparse.Namespace) -> int:
    from deliverylab.core.store.library import library_file, library_json, load_library

    library = load_library(arguments.project)
    if deliver(lambda: library_json(library), arguments.json):
        return 0
    own_of = f" of {library.owner}" if library.owner else ""
    say(f"library{own_of}: {library_file(arguments.project)}")
    _say_cues_and_drills(library, with_all=arguments.all)
    _say_links(library, with_all=arguments.all)
    return 0


def _say_cues_and_drills(library: Library, *, with_all: bool) -> None:
    from deliverylab.core.compare.drills import CUES, drills_with
    from deliverylab.core.compare.plan_words import ARM_LOAD_WORDS, wanted_words
    from deliverylab.core.model.library import LinkEnd

    cues = (*library.cues, *CUES) if with_all else library.cues
    say(f"  {counted(len(cues), 'cue')}{'' if with_all else ' of your own'}")
    for cue in cues:
        what = wanted_words(LinkEnd(cue.metric, cue.event, cue.way))
        say_wrapped(f"{what}: {cue.text}", indent=4)
        if cue.text_for_minors:
            say_wrapped(f"to a child: {cue.text_for_minors}", indent=6)
    drills = drills_with(library) if with_all else library.drills
    say(f"  {counted(len(drills), 'drill')}{'' if with_all else ' of your own'}")
    for drill in drills:
        say_wrapped(f"{drill.name} ({ARM_LOAD_WORDS[drill.arm_load]}): {drill.how}", indent=4)
        if drill.caution:
            say_wrapped(f"mind: {drill.caution}", indent=6)
        say_wrapped(f"for: {'; '.join(map(wanted_words, drill.serves))}", indent=6)


def _say_links(library: Library, *, with_all: bool) -> None:
    from deliverylab.core.compare.links import link_name
    from deliverylab.core.compare.own_library import links_standing

    rows = [
        (link, standing)
        for link, standing in links_standing(library)
        if with_all or standing != "the program’s"
    ]
    say(f"  {counted(len(rows), 'link')}{'' if with_all else ' changed, left out or of your own'}")
    for link, standing in rows:
        say_wrapped(f"{link_name(link)} ({standing}): {link.why} [{link.source}]", indent=4)


def _export(arguments: argparse.Namespace) -> int:
    from deliverylab.core.store.library import load_library, save_library

    if Path(arguments.file).suffix.lower() != ".json":
        raise UsageError("a library is a .json file", where=arguments.file)
    say(f"written: {save_library(load_library(arguments.project), arguments.file)}")
    return 0


def _import(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.own_library import merged
    from deliverylab.core.store.library import read_library

    other = read_library(arguments.file)
    return _edit(arguments, lambda library: merged(library, other))


def _cue(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.own_library import with_cue
    from deliverylab.core.model.library import Cue

    end = _end(arguments.metric, arguments.way)
    cue = Cue(
        metric=end.metric,
        event=end.event,
        way=end.way,
        text=arguments.text,
        text_for_minors=arguments.for_minors,
    )
    return _edit(arguments, lambda library: with_cue(library, cue))


def _drill(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.own_library import with_drill
    from deliverylab.core.model.library import Drill

    drill = Drill(
        name=arguments.name,
        serves=tuple(_end(text, way) for text, way in arguments.serves),
        how=arguments.how,
        arm_load=arguments.arm_load,
        caution=arguments.caution,
    )
    return _edit(arguments, lambda library: with_drill(library, drill))


def _without(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.own_library import without_named

    return _edit(arguments, lambda library: without_named(library, arguments.name))


def _link(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.own_library import with_link
    from deliverylab.core.model.library import COMMON_PRACTICE, Link

    link = Link(
        cause=_end(arguments.cause, arguments.cause_way),
        effect=_end(arguments.effect, arguments.effect_way),
        why=arguments.why,
        source=arguments.source or COMMON_PRACTICE,
        strength=arguments.strength,
        is_mirrored=not arguments.one_way,
    )
    return _edit(arguments, lambda library: with_link(library, link))


def _leave_out(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.own_library import left_out

    return _edit(arguments, lambda library: left_out(library, _link_key(arguments)))


def _restore(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.own_library import restored

    return _edit(arguments, lambda library: restored(library, _link_key(arguments)))


def _owner(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.own_library import with_owner

    return _edit(arguments, lambda library: with_owner(library, arguments.name))


def _link_key(arguments: argparse.Namespace) -> tuple[str, str, str, str]:
    cause, effect = _end(arguments.cause, "more"), _end(arguments.effect, "more")
    return cause.metric, cause.event, effect.metric, effect.event


def _end(text: str, way: Way | str) -> LinkEnd:
    from deliverylab.core.compare.own_library import end_of

    if way not in ("more", "less"):
        raise UsageError("a way is more or less", where=way)
    return end_of(text, "more" if way == "more" else "less")


def _edit(arguments: argparse.Namespace, make: Callable[[Library], Library]) -> int:
    from deliverylab.core.store.library import library_file, load_library, save_library

    file = library_file(arguments.project)
    path = save_library(make(load_library(arguments.project)), file)
    say(f"kept in {path}")
    return 0
