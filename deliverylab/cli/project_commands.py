"""``demo``, ``open``, ``check`` and ``schema``."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import Any

from deliverylab.cli.options import add_project
from deliverylab.cli.output import columns, counted, note, progress, say, say_wrapped
from deliverylab.core.errors import UsageError

DEMO_FOLDER = "deliverylab-demo"
_SIGNS = {"ok": "ok", "note": "note", "problem": "PROBLEM"}


def add_demo_and_window(commands: Any) -> None:
    """Add ``demo`` and ``open``."""
    demo = commands.add_parser(
        "demo",
        help="from the shipped example clips to a finished page",
        description="Copy the shipped example deliveries (invented people, drawn clips), measure\n"
        "and compare them, write page, technical sheet, progress and tables, and open the window\n"
        "where there is a display.",
    )
    demo.add_argument(
        "--out",
        metavar="DIR",
        default=DEMO_FOLDER,
        help=f"folder to write to (default: {DEMO_FOLDER}, here)",
    )
    demo.add_argument("--no-window", action="store_true", help="do not open the window")
    demo.set_defaults(run=_demo)
    window = commands.add_parser(
        "open",
        help="open the window",
        description="Open the window, with a project if named; what pack wrote is first unpacked\n"
        "into a new folder of its name, beside it.",
    )
    window.add_argument(
        "project", metavar="PROJECT", nargs="?", help="the project file (.delivery), or its zip"
    )
    window.set_defaults(run=_open)


def add_checks(commands: Any) -> None:
    """Add ``check`` and ``schema``."""
    check = commands.add_parser(
        "check",
        help="what is wrong with a project, or could be better",
        description="Say what is wrong with a project or could be better, and what to do.\n"
        "The exit status is 1 when there is a problem, 0 when there are notes only.",
    )
    add_project(check)
    check.add_argument(
        "--json", metavar="FILE", help='write the findings as JSON; "-" prints them instead'
    )
    check.set_defaults(run=_check)
    schema = commands.add_parser(
        "schema",
        help="print the JSON schema of project files",
        description="Print the JSON schema of project files (.delivery).",
    )
    schema.set_defaults(run=_schema)


def has_display() -> bool:
    """Return whether a window could be seen."""
    platform = os.environ.get("QT_QPA_PLATFORM", "")
    if platform.partition(":")[0] in {"offscreen", "minimal"}:
        return False
    if sys.platform in {"win32", "darwin"}:
        return True
    return bool(platform or os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def show_window(project: str | Path | None) -> int:
    """Open the window and return its exit status once it is closed.

    Raises
    ------
    UsageError
        There is no display, or the window's libraries cannot be loaded here.
    """
    try:
        from deliverylab.shell.app import main as run_window
    except ImportError as problem:
        raise UsageError(
            f"the window cannot start here ({problem})",
            remedy="the README names the libraries of the system that it needs; "
            "every other command works without them",
        ) from problem
    # Qt would end the process; a platform without a display may have been asked for by name
    if not has_display() and "QT_QPA_PLATFORM" not in os.environ:
        raise UsageError(
            "there is no display here for the window",
            remedy="every other command works without one",
        )
    status: int = run_window([] if project is None else [str(project)])
    return status


def _demo(arguments: argparse.Namespace) -> int:
    from deliverylab.core.workflow.demo import build_demo

    with progress("measuring, comparing, drawing the page") as show:
        outcome = build_demo(arguments.out, progress=show)
    say(f"{outcome.athlete} compared with {outcome.model}: {outcome.summary}")
    columns([(what, str(path)) for what, path in outcome.files()], indent=2)
    say(
        "a clip that walks through both: "
        f'deliverylab walkthrough {outcome.project_path} "{outcome.athlete}" "{outcome.model}" '
        "--out walkthrough.mp4"
    )
    if arguments.no_window:
        return 0
    if not has_display():
        say(
            f'no display here; with one, "deliverylab open {outcome.project_path}" opens the window'
        )
        return 0
    return show_window(outcome.project_path)


def _open(arguments: argparse.Namespace) -> int:
    project = arguments.project
    if project is not None:
        from deliverylab.core.store.archive import is_archive, unpack_archive
        from deliverylab.core.store.projectfile import load_project

        if is_archive(project):
            project = unpack_archive(project, Path(project).with_suffix(""))
            note(f"unpacked: {project}")
        # what is wrong with the file is said here, before a window appears
        load_project(project)
    return show_window(project)


def _check(arguments: argparse.Namespace) -> int:
    import json

    from deliverylab.cli.output import check_targets, deliver
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.health import project_health

    record = load_project(arguments.project)
    check_targets(arguments.json, inputs=files_of(record, arguments.project))
    findings = project_health(record, arguments.project)
    n_problems = sum(finding.level == "problem" for finding in findings)
    rows = [
        {"level": f.level, "where": f.where, "what": f.what, "remedy": f.remedy} for f in findings
    ]

    def as_json() -> str:
        return json.dumps(rows, ensure_ascii=False, indent=2) + "\n"

    if not deliver(as_json, arguments.json):
        for finding in findings:
            remedy = f": {finding.remedy}" if finding.remedy else ""
            say_wrapped(f"{_SIGNS[finding.level]:<8}{finding.where}: {finding.what}{remedy}")
    if n_problems:
        note(f"{counted(n_problems, 'problem')} to mend")
    return 1 if n_problems else 0


def _schema(_: argparse.Namespace) -> int:
    import json

    from deliverylab.core.store.schema import json_schema

    say(json.dumps(json_schema(), ensure_ascii=False, indent=2))
    return 0
