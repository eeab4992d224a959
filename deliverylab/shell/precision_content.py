"""What the page about placing shows: people and pairs, each with a table, words and a sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from deliverylab.core.units import format_number

if TYPE_CHECKING:
    from deliverylab.core.report.agreement_plot import AgreementSheet
    from deliverylab.core.workflow.precision import PairReport, PersonReport, PrecisionReport

_MM = 1000.0


@dataclass(frozen=True, kw_only=True)
class Subject:
    """A person, or two.

    Attributes
    ----------
    name, words : str
        As chosen; what the figures say.
    placer : str
        Whose figures can be taken up; empty for a pair.
    is_usable : bool
        Whether any part was repeated often enough.
    table : tuple of tuple of str
        Head and rows.
    sheet : AgreementSheet
        To be drawn.
    """

    name: str
    words: str
    placer: str = ""
    is_usable: bool = False
    table: tuple[tuple[str, ...], ...]
    sheet: AgreementSheet


def subjects_of(report: PrecisionReport) -> tuple[Subject, ...]:
    """Return who can be looked at: people with repeats, then pairs."""
    people = (_person(one) for one in report.people if one.rows)
    return (*people, *(_pair(one) for one in report.pairs))


def _person(person: PersonReport) -> Subject:
    from deliverylab.core.workflow.precision import MIN_DEGREES_OF_FREEDOM
    from deliverylab.core.workflow.precision_sheet import part_name, person_sheet

    rows: list[tuple[str, ...]] = [("part", "one placing", "95 % interval", "in px", "points", "")]
    for row in (*person.rows, *((person.overall,) if person.overall else ())):
        missing = MIN_DEGREES_OF_FREEDOM - row.technical_error.n_degrees_of_freedom
        rows.append(
            (
                part_name(row.part),
                f"{_mm(row.technical_error.sd)} mm",
                _span(row.interval.low, row.interval.high),
                f"{row.technical_error_px:.1f} px",
                str(row.n_spots),
                "" if row.is_usable else f"too few: {(missing + 1) // 2} more",
            )
        )
    is_usable = any(row.is_usable for row in person.rows)
    overall = "" if person.overall is None else f" by {_mm(person.overall.technical_error.sd)} mm"
    words = f"One placing by {person.placer} scatters{overall} (standard deviation, all together)."
    if not is_usable:
        words += " No part is repeated often enough yet to take its figure up."
    return Subject(
        name=person.placer,
        words=words,
        placer=person.placer,
        is_usable=is_usable,
        table=tuple(rows),
        sheet=person_sheet(person),
    )


def _pair(pair: PairReport) -> Subject:
    from deliverylab.core.workflow.precision_sheet import pair_sheet, part_name

    rows: list[tuple[str, ...]] = [
        ("part", "forward", "95 % within", "up", "95 % within", "points")
    ]
    rows += [
        (
            part_name(row.part),
            f"{_mm(row.forward.bias)} mm",
            _span(*row.forward.limits),
            f"{_mm(row.up.bias)} mm",
            _span(*row.up.limits),
            str(row.n_spots),
        )
        for row in (*pair.rows, pair.overall)
    ]
    return Subject(
        name=f"{pair.b} beside {pair.a}",
        words=f"How far {pair.b} places from {pair.a}. Neither sees it in repeats of one's own, so it "
        "is a part of the ± of both.",
        table=tuple(rows),
        sheet=pair_sheet(pair),
    )


def _span(low_m: float, high_m: float) -> str:
    return f"{_mm(low_m)} to {_mm(high_m)} mm"


def _mm(metres: float) -> str:
    return format_number(_MM * metres, 1)
