"""The technical sheet's rows: results with their budgets, differences, links, events, plan."""

from __future__ import annotations

from collections.abc import Iterator

from deliverylab.core.compare.chain_parts import ChainEdge
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import PHASES, metric, phase_of
from deliverylab.core.metrics.space_sight import SPACE_VIEW
from deliverylab.core.metrics.spec import Contribution, Result
from deliverylab.core.report import wording
from deliverylab.core.report.fonts import Style
from deliverylab.core.report.plain_names import plain_name
from deliverylab.core.report.sheet_content import SheetContent, SheetEntry
from deliverylab.core.report.sheet_flow import Cell, Row, Section, Stack
from deliverylab.core.report.style import GREY, LABEL, SMALL_INK
from deliverylab.core.units import UnitSystem, format_part, shown_unit
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.core.vocabulary.views import BY_KEY as VIEWS

TEXT = SMALL_INK._replace(size=6.8)
QUIET = TEXT._replace(colour=GREY)
BOLD = TEXT._replace(weight="bold")
N_PARTS = 3
LEAST_SHARE = 0.005
"""Largest parts of a budget that are listed, and the smallest share of u² of one."""
NO_YARDSTICK = "no yardstick"
COLUMNS = (0.0, 0.15, 0.335, 0.40, 0.458, 1.0)
"""Who, value, u, k, and how sure, as shares of the width."""
HOW_TO_READ: tuple[str, ...] = (
    (
        "U, after ±, is the expanded uncertainty U = k u (JCGM 100:2008): in about 19 of 20 cases the true "
        "value lies within. u is the standard uncertainty; k is 2, and larger where u rests on few "
        "repeats. The parts of u are given as shares of u², largest first."
    ),
    (
        "A difference d = a − b is clear when |d| is larger than its own U; u(d)² = u(a)² + u(b)², but "
        "for means of few deliveries of one athlete a side, whose spreads are taken together. Clear "
        "ones are ranked by |d| over a yardstick, a spread of the same definition; where none is "
        "published, over U(d), after the others."
    ),
    (
        "Flexion is 0 when straight. Rotations are 0 side-on and 90 when facing the plate. The trunk’s tilt "
        "is positive to the plate and to the glove side. Left-handed deliveries are mirrored first."
    ),
)


def sections_of(content: SheetContent, width: float) -> tuple[Section, ...]:
    """Return the sheet's sections in their order."""
    return (
        Section("What to work on", tuple(_plan_rows(content, width))),
        Section(
            "Clear differences by rank",
            tuple(_ranked_rows(content, width)),
            _row(width, _RANK_COLUMNS, ("", "", "d ± U(d)", "times", "its yardstick"), QUIET),
        ),
        Section("What goes together with what", tuple(_link_rows(content, width))),
        *(_results(content, phase, width) for phase in PHASES),
        Section(
            "Events as marked",
            tuple(_event_rows(content, width)),
            _row(width, _EVENT_COLUMNS, ("", "", "time in the clip", "u", "what it is"), QUIET),
        ),
        Section("How it was measured", tuple(_sentences(content.measured, width))),
        Section("How to read this sheet", tuple(_sentences(HOW_TO_READ, width))),
        Section("What it does not say", tuple(_sentences((" ".join(content.cautions),), width))),
    )


def _row(
    width: float,
    columns: tuple[float, ...],
    texts: tuple[str, ...],
    style: Style = TEXT,
    above: float = 1.5,
) -> Row:
    """Return texts in columns that begin, and end, at these shares of the width."""
    gap = 7.0
    return Row(
        tuple(
            Cell(start * width, (end - start) * width - (gap if end < 1.0 else 0.0), text, style)
            for start, end, text in zip(columns[:-1], columns[1:], texts, strict=True)
            if text
        ),
        above,
    )


def _sentences(sentences: tuple[str, ...], width: float) -> Iterator[Stack]:
    for sentence in sentences:
        yield Stack((Row((Cell(0.0, width, sentence, TEXT),)),))


def _plan_rows(content: SheetContent, width: float) -> Iterator[Stack]:
    if content.plan is None:
        return
    for number, item in enumerate(content.plan.items, start=1):
        said = [f"Drill: {item.drill}" if item.drill else "", item.how]
        said.append(f"Mind: {item.caution}" if item.caution else "")
        texts = (item.aim, *said)
        rows = [Row((Cell(0.0, width, f"{number}  {item.cue}", LABEL),))]
        rows += [Row((Cell(12.0, width - 12.0, text, TEXT),)) for text in texts if text]
        yield Stack(tuple(rows), width)
    for text in (*content.plan.cautions, content.plan.note):
        if text:
            yield Stack((Row((Cell(0.0, width, text, TEXT),)),), width)


_RANK_COLUMNS = (0.0, 0.035, 0.37, 0.535, 0.60, 1.0)
_EVENT_COLUMNS = (0.0, 0.26, 0.42, 0.55, 0.65, 1.0)


def _ranked_rows(content: SheetContent, width: float) -> Iterator[Row]:
    for difference in content.differences:
        if difference.verdict != "clear":
            continue
        amount = wording.amount(difference, content.system)
        over = "" if difference.yardstick is None else f"{difference.score:.2f}"
        yield _row(
            width,
            _RANK_COLUMNS,
            (
                f"{difference.rank}",
                f"{_title(difference.a)}: {difference.words}",
                amount,
                over,
                _yardstick(difference, content.system),
            ),
        )


def _yardstick(difference: Difference, system: UnitSystem) -> str:
    if difference.yardstick is None:
        return NO_YARDSTICK
    size = format_part(difference.yardstick, difference.a.unit, difference.a.decimals, system)
    return f"{size}, {difference.yardstick_source}"


def _title(result: Result) -> str:
    return f"{result.name} {wording.when(result)}".strip()


def _link_rows(content: SheetContent, width: float) -> Iterator[Stack]:
    if content.chain is None:
        return
    titles = {node.key: node for node in content.chain.nodes}

    def end(key: tuple[str, str]) -> str:
        node = titles[key]
        return f"{wording.lowered(_title(node.difference.a))} ({node.difference.words})"

    for start in content.chain.starts:
        text = f"Starts with {end(start.node.key)}; accounts for {100.0 * start.score:.0f} % of the rest."
        yield Stack((Row((Cell(0.0, width, text, BOLD),)),), width)
    for edge in content.chain.edges:
        rows = [Row((Cell(0.0, width, f"{end(edge.cause)} → {end(edge.effect)}", TEXT),))]
        rows.append(Row((Cell(12.0, width - 12.0, _why(edge), QUIET),), 0.0))
        yield Stack(tuple(rows), width)
    if content.chain.unexplained:
        names = (wording.lowered(_title(each.a)) for each in content.chain.unexplained)
        text = wording.sentence(f"apart from these stand {wording.joined(names)}")
        yield Stack((Row((Cell(0.0, width, text, TEXT),)),), width)


def _why(edge: ChainEdge) -> str:
    return "; ".join(
        f"{link.why} ({link.source}, strength {link.strength:g})" for link in edge.links
    )


def _results(content: SheetContent, phase: str, width: float) -> Section:
    entries = [e for e in content.entries if phase_of(metric(e.mine.metric), e.mine.event) == phase]
    labels = ("", "value ± U", "u", "k", "how it was measured, and the largest parts of u²")
    return Section(
        f"Results: {phase}",
        tuple(_entry(content, entry, width) for entry in entries),
        _row(width, COLUMNS, labels, QUIET),
    )


def _entry(content: SheetContent, entry: SheetEntry, width: float) -> Stack:
    result = entry.mine
    name = _title(result)
    if plain_name(result) != result.name:
        name += f" (on the page: {wording.lowered(plain_name(result))})"
    rows = [
        Row((Cell(0.0, width, name, LABEL),), 2.5),
        Row((Cell(0.0, width, result.definition, QUIET),), 0.5),
    ]
    rows += [
        _side_row(heading, side, content.system, width)
        for heading, side in zip(content.headings, (entry.mine, entry.theirs), strict=True)
    ]
    # where a side is not shown, its own line says why
    if entry.difference is not None and entry.mine.is_shown and entry.theirs.is_shown:
        rows.append(_difference_row(entry.difference, content.system, width))
    return Stack(tuple(rows), width)


def _side_row(heading: str, result: Result, system: UnitSystem, width: float) -> Row:
    if result.value is None or result.u is None:
        remedy = f" What would help: {result.remedy}." if result.remedy else ""
        said = f"{wording.sentence(result.reason)}{remedy}"
        return _row(width, COLUMNS, (heading, "not shown", "", "", said))
    number, unit = wording.value(result, system)
    u = _part(result.u, result, system)
    factor = f"{result.coverage_factor:.2f}"
    return _row(width, COLUMNS, (heading, f"{number} {unit}".strip(), u, factor, _how(result)))


def _part(u: float, result: Result, system: UnitSystem) -> str:
    """Return u with its unit left out, which stands beside it."""
    symbol = shown_unit(result.unit, system).symbol
    return format_part(u, result.unit, result.decimals, system).removesuffix(symbol).rstrip()


def _how(result: Result) -> str:
    """Return status, camera, and the largest parts of u² of a shown result."""
    said: list[str] = [result.status]
    if result.view == SPACE_VIEW:
        said.append("cameras together")
    elif result.view:
        view = VIEWS[result.view].name if result.view in VIEWS else result.view
        said.append(f"camera “{result.camera}”, {view}")
    if result.basis:
        said.append(result.basis)
    parts = [
        f"{part.name}{_at(part, result)} {100.0 * share:.0f}\u00a0%"
        for part, share in zip(result.budget, result.variance_shares, strict=True)
        if share >= LEAST_SHARE
    ]
    listed = f": {', '.join(parts[:N_PARTS])}" if parts else ""
    more = f", {len(parts) - N_PARTS} more" if len(parts) > N_PARTS else ""
    cautions = "".join(f" {wording.sentence(each)}" for each in result.cautions)
    return f"{', '.join(said)}{listed}{more}.{cautions}"


def _at(part: Contribution, result: Result) -> str:
    """Return at which event a part enters, where that is not told already."""
    if part.event not in EVENTS or part.event == result.event:
        return ""
    name = EVENTS[part.event].name
    return "" if name in part.name else f" at {name}"


def _difference_row(difference: Difference, system: UnitSystem, width: float) -> Row:
    if difference.d is None or difference.u is None:
        return _row(
            width,
            COLUMNS,
            ("difference", "not comparable", "", "", wording.sentence(difference.reason)),
        )
    result = difference.a
    said = "no difference that can be seen"
    if difference.verdict == "clear":
        said = f"clear: {difference.words}, rank {difference.rank}"
    times = f"{difference.score:.2f} times " if difference.yardstick is not None else ""
    counts = ""
    if (difference.n_a, difference.n_b) != (1, 1):
        counts = f"; means of {difference.n_a} and {difference.n_b}"
    text = f"{said}; {times}{_yardstick(difference, system)}{counts}."
    u = _part(difference.u, result, system)
    amount = wording.amount(difference, system)
    cells = ("difference", amount, u, f"{difference.coverage_factor:.2f}", text)
    return _row(width, COLUMNS, cells, BOLD if difference.verdict == "clear" else TEXT)


def _event_rows(content: SheetContent, width: float) -> Iterator[Row]:
    for delivery in (*content.a.deliveries, *content.b.deliveries):
        for camera in delivery.cameras:
            for key, mark in camera.marks.items():
                event = EVENTS.get(key)
                yield _row(
                    width,
                    _EVENT_COLUMNS,
                    (
                        f"{delivery.name}, {camera.name}",
                        event.name if event else key,
                        f"{mark.time_s:.4f} s",
                        f"{1000.0 * camera.u_mark_s(key):.1f} ms",
                        f"{event.definition if event else ''} ({mark.origin})",
                    ),
                )
