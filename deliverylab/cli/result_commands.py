"""``measure``, ``compare`` and ``page``."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from deliverylab.cli.context_text import add_context, say_context
from deliverylab.cli.options import add_outputs, add_project, n_draws
from deliverylab.cli.output import check_endings, check_targets, deliver, note, say
from deliverylab.cli.solve_notes import note_old_solves
from deliverylab.core.model.changes import replace
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import Project

if TYPE_CHECKING:
    from deliverylab.core.metrics.cross_check import CrossCheck
    from deliverylab.core.metrics.spec import Result

_MEASURE_TEXT = """\
Measure every delivery, or one. Each number comes with ±, the expanded uncertainty U = k u; what
the clips cannot show is listed with the reason and what would help. Rows of --json and --csv:
delivery, metric, event, status, value, unit, U, reason, definition and more; SI and degrees."""
_COMPARE_TEXT = """\
Compare delivery A with delivery B (a model delivery, or an earlier one of the same athlete). A
difference is clear when it is larger than its U; the others are within error, or not comparable.
Either side may be several deliveries, whose means are compared: "Ana 1 + Ana 2", "all of Ana",
"Ana on 2026-05-14". B may be "published youth", "published high school" or "published college":
then only what is published of the same definition is compared."""
_PAGE_TEXT = """\
Write the one-page summary of A compared with B as a PDF: pictures, what differs, where it starts, what to
work on. The technical sheet has all results with their budgets, on as many pages as it takes."""


def add_commands(commands: Any) -> None:
    """Add ``measure``, ``compare`` and ``page``."""
    measure = commands.add_parser(
        "measure",
        help="measure deliveries: values with ±, or why not",
        description=_MEASURE_TEXT,
        epilog="example:\n  deliverylab measure may.delivery --json - | python3 -m json.tool\n",
    )
    add_project(measure)
    measure.add_argument("--delivery", metavar="NAME", help="only this one (default: all)")
    measure.add_argument(
        "--budget",
        metavar="METRIC[/EVENT]",
        nargs="?",
        const="",
        help="print what each ± is made of and what would help most, of all or of one; "
        "with --json each row holds its budget",
    )
    add_context(measure)
    measure.add_argument(
        "--monte-carlo",
        metavar="N",
        type=n_draws,
        help="check each ± by up to N random draws of its inputs (1000 or more) and show both",
    )
    add_outputs(measure)
    measure.set_defaults(run=_measure)
    compare = commands.add_parser(
        "compare",
        help="compare two deliveries: which differences are real",
        description=_COMPARE_TEXT,
        epilog='example:\n  deliverylab compare may.delivery "all of Ana" "published college"\n',
    )
    _add_pair(compare)
    add_outputs(compare)
    compare.set_defaults(run=_compare)
    page = commands.add_parser(
        "page",
        help="write the one-page summary",
        description=_PAGE_TEXT,
        epilog='example:\n  deliverylab page may.delivery "Ana 3" Model --out ana.pdf --technical all.pdf\n',
    )
    _add_pair(page)
    page.add_argument("--out", metavar="FILE.pdf", required=True, help="where to")
    page.add_argument(
        "--paper", choices=["a4", "letter"], default="a4", help="paper size (default: a4)"
    )
    page.add_argument("--png", metavar="FILE.png", help="the same as a picture")
    page.add_argument(
        "--technical", metavar="FILE.pdf", help="the technical sheet too: all results and budgets"
    )
    page.add_argument(
        "--units",
        choices=["metric", "imperial"],
        help="units of the page and the sheet (default: the project's)",
    )
    page.set_defaults(run=_page)


def _add_pair(command: argparse.ArgumentParser) -> None:
    add_project(command)
    command.add_argument("a", metavar="A", help="the athlete's delivery, or several of them")
    command.add_argument("b", metavar="B", help="what is compared with")


def _measure(arguments: argparse.Namespace) -> int:
    from deliverylab.cli.budget_text import chosen, say_budgets, say_checks
    from deliverylab.cli.result_text import say_results
    from deliverylab.core.metrics.evaluate import evaluate
    from deliverylab.core.report import tables
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project

    project = Project(load_project(arguments.project))
    check_targets(arguments.json, arguments.csv, inputs=files_of(project.record, arguments.project))
    deliveries = project.record.deliveries
    if arguments.delivery is not None:
        deliveries = (project.delivery(arguments.delivery),)
    note_old_solves(project.record, deliveries)
    choice = arguments.budget
    measured = [(each, chosen(evaluate(each), choice or "")) for each in deliveries]
    rows = [result for _, results in measured for result in results]
    is_printed = deliver(
        lambda: tables.results_json(
            rows,
            with_budget=choice is not None,
            with_context=arguments.context is not None,
            checks=_checks(measured, arguments.monte_carlo),
        ),
        arguments.json,
    )
    is_printed |= deliver(lambda: tables.results_csv(rows), arguments.csv)
    if not is_printed:
        system = arguments.units or project.record.unit_system
        for delivery, results in measured:
            if choice is not None:
                say_budgets(delivery.name, results, system)
            elif arguments.monte_carlo is None:
                say_results(delivery, results, system)
            if arguments.monte_carlo is not None:
                say_checks(delivery, results, arguments.monte_carlo, system)
            if arguments.context is not None:
                say_context(results, arguments.context, system)
        if not measured:
            say("the project holds no delivery")
    return 0


def _checks(
    measured: Sequence[tuple[Delivery, Sequence[Result]]], max_draws: int | None
) -> list[CrossCheck | None] | None:
    """Return the check of every result by Monte Carlo; None where none is asked for."""
    if max_draws is None:
        return None
    from deliverylab.core.metrics.cross_check import cross_check

    return [
        cross_check(delivery, result, max_draws=max_draws)
        for delivery, results in measured
        for result in results
    ]


def _compare(arguments: argparse.Namespace) -> int:
    from deliverylab.cli.difference_text import say_differences
    from deliverylab.core.compare.difference import compare_parties
    from deliverylab.core.compare.parties import party_of
    from deliverylab.core.report import tables
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project

    record = load_project(arguments.project)
    check_targets(arguments.json, arguments.csv, inputs=files_of(record, arguments.project))
    a, b = party_of(record, arguments.a), party_of(record, arguments.b)
    found = compare_parties(a, b)
    note_old_solves(record, (*a.deliveries, *b.deliveries))
    is_printed = deliver(lambda: tables.differences_json(found), arguments.json)
    is_printed |= deliver(lambda: tables.differences_csv(found), arguments.csv)
    if not is_printed:
        say_differences(a, b, found, arguments.units or record.unit_system)
    return 0


def _page(arguments: argparse.Namespace) -> int:
    from deliverylab.core.compare.difference import compare_parties
    from deliverylab.core.compare.links import links_with
    from deliverylab.core.report.content import page_content, sides
    from deliverylab.core.report.page import doubtful_characters, write_page
    from deliverylab.core.report.raster import write_png
    from deliverylab.core.report.sheet_content import sheet_content
    from deliverylab.core.report.technical_sheet import write_technical_sheet
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.library import load_library
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.frames import ProjectFrames

    record = load_project(arguments.project)
    record = replace(record, unit_system=arguments.units or record.unit_system)
    targets = (arguments.out, arguments.png, arguments.technical)
    check_targets(*targets, inputs=files_of(record, arguments.project))
    check_endings(pdf=arguments.out, png=arguments.png)
    check_endings(pdf=arguments.technical)
    a, b = sides(record, arguments.a, arguments.b)
    note_old_solves(record, (*a.deliveries, *b.deliveries))
    found = compare_parties(a, b)
    links = links_with(load_library(arguments.project))
    with ProjectFrames(arguments.project) as frames:
        content = page_content(
            record, a.name, b.name, frame_source=frames, links=links, differences=found
        )
        for clip, problem in frames.problems.items():
            note(f"no pictures of {clip}: {problem}")
    doubtful = doubtful_characters(content)
    if doubtful:
        note(f"no font here has {doubtful}: look at how the names stand on the page")
    path = write_page(content, arguments.out, arguments.paper)
    say(f"written: {path}")
    if arguments.png:
        say(f"written: {write_png(path, arguments.png)}")
    if arguments.technical:
        sheet = sheet_content(record, a.name, b.name, links=links, differences=found)
        say(f"written: {write_technical_sheet(sheet, arguments.technical, arguments.paper)}")
    return 0
