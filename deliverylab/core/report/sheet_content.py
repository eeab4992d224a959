"""What stands on the technical sheet: every result of both sides, why not, and how sure, as data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from deliverylab.core.compare.chain_parts import Chain
from deliverylab.core.compare.difference import compare_parties
from deliverylab.core.compare.parties import Party
from deliverylab.core.compare.pooled import pooled_results
from deliverylab.core.compare.published_party import published_result
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.library import Link
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.report import party_words
from deliverylab.core.report.content import how_measured, plan_of, sides
from deliverylab.core.report.page_chain import page_chain
from deliverylab.core.report.page_plan import PagePlan, page_plan
from deliverylab.core.units import UnitSystem


@dataclass(frozen=True, kw_only=True)
class SheetEntry:
    """One metric at one instant.

    Attributes
    ----------
    mine, theirs : Result
        Of either side.
    difference : Difference or None
        Between them; None where the same is compared in another unit.
    """

    mine: Result
    theirs: Result
    difference: Difference | None


@dataclass(frozen=True, kw_only=True)
class SheetContent:
    """Everything on the technical sheet.

    Attributes
    ----------
    name, organisation, compared_with : str
        As on the page.
    facts : tuple of str
        As on the page.
    headings : (str, str)
        What the two sides are called.
    a, b : Party
        Both sides; their deliveries' events are listed.
    entries : tuple of SheetEntry
        In the catalogue's order.
    differences : tuple of Difference
        Clear ones by rank, then the others.
    chain : Chain or None
        What goes together with what.
    plan : PagePlan or None
        In full.
    measured, cautions : tuple of str
        Sentences.
    system : {"metric", "imperial"}
        The reader's units.
    """

    name: str
    organisation: str
    compared_with: str
    facts: tuple[str, ...]
    headings: tuple[str, str]
    a: Party
    b: Party
    entries: tuple[SheetEntry, ...]
    differences: tuple[Difference, ...]
    chain: Chain | None
    plan: PagePlan | None
    measured: tuple[str, ...]
    cautions: tuple[str, ...]
    system: UnitSystem


def sheet_content(
    record: ProjectRecord,
    a_name: str,
    b_name: str,
    *,
    links: Sequence[Link] | None = None,
    differences: Sequence[Difference] | None = None,
) -> SheetContent:
    """Measure and compare two sides of a project for their technical sheet.

    Arguments and errors are those of `deliverylab.core.report.content.page_content`.
    """
    a, b = sides(record, a_name, b_name)
    found = tuple(compare_parties(a, b) if differences is None else differences)
    told = page_chain(found, links)
    system = record.unit_system
    return SheetContent(
        name=party_words.page_name(a),
        organisation=record.organisation,
        compared_with=party_words.compared_with(a, b),
        facts=party_words.facts(a, system),
        headings=party_words.headings(a, b),
        a=a,
        b=b,
        entries=_entries(a, b, found),
        differences=found,
        chain=told.chain if told else None,
        plan=page_plan(plan_of(a), system),
        measured=how_measured(a, b, found, system),
        cautions=party_words.cautions(a),
        system=system,
    )


def _entries(a: Party, b: Party, differences: Sequence[Difference]) -> tuple[SheetEntry, ...]:
    by_key = {(each.metric, each.event): each for each in differences}
    mine = [pooled.result for pooled in pooled_results(a.name, a.deliveries)]
    if b.level is not None:
        theirs = [published_result(result, b.level).result for result in mine]
    else:
        theirs = [pooled.result for pooled in pooled_results(b.name, b.deliveries)]
    return tuple(
        SheetEntry(mine=x, theirs=y, difference=by_key.get((x.metric, x.event)))
        for x, y in zip(mine, theirs, strict=True)
    )
