"""What stands on the page, as pure data: who, pictures, differences, chain, plan, how, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from deliverylab.core.compare.difference import compare_parties
from deliverylab.core.compare.parties import Party, party_of
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.library import Link
from deliverylab.core.model.plan import Plan
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.report import party_words, wording
from deliverylab.core.report.courses import Chart, chosen_chart
from deliverylab.core.report.figures import (
    EventFigures,
    FrameSource,
    camera_pair,
    event_figures,
    is_mirrored,
)
from deliverylab.core.report.page_chain import PageChain, page_chain
from deliverylab.core.report.page_plan import PagePlan, page_plan
from deliverylab.core.report.page_rows import (
    BY_CHAIN,
    BY_PLAN,
    DifferenceRow,
    Withheld,
    table_rows,
    withheld,
)
from deliverylab.core.units import UnitSystem


@dataclass(frozen=True, kw_only=True)
class PageContent:
    """Everything that the page may say; the page chooses by room, from the front of each list.

    Attributes
    ----------
    title : str
        For the file's metadata.
    name, organisation, compared_with : str
        Whose page, from whom, beside whom.
    facts : tuple of str
        Short clauses under the name.
    heading_athlete, heading_model : str
        What the two are called in table and chart.
    strip : tuple of EventFigures
        Event pictures; empty without clips and landmarks.
    strip_names : (str, str)
        What the strip's two rows are called.
    is_model_mirrored : bool
        Whether the model delivery's pictures are turned round.
    rows : tuple of DifferenceRow
        Clear differences by rank; what else is spoken of, and the nearest to clear, follow.
    alike : tuple of str
        Further metrics without a difference that can be seen.
    withheld : tuple of Withheld
        What cannot be compared, most metrics first.
    chain : PageChain or None
        Where it starts and shows up; None where fewer than two differences are clear.
    plan : PagePlan or None
        What to work on.
    chart : Chart or None
        One curve.
    measured, measured_briefly, cautions : tuple of str
        Sentences; the brief ones say less of the cameras.
    """

    title: str
    name: str
    facts: tuple[str, ...]
    organisation: str
    compared_with: str
    heading_athlete: str
    heading_model: str
    strip: tuple[EventFigures, ...]
    strip_names: tuple[str, str]
    is_model_mirrored: bool
    rows: tuple[DifferenceRow, ...]
    alike: tuple[str, ...]
    withheld: tuple[Withheld, ...]
    chain: PageChain | None
    plan: PagePlan | None
    chart: Chart | None
    measured: tuple[str, ...]
    measured_briefly: tuple[str, ...]
    cautions: tuple[str, ...]


def page_content(
    record: ProjectRecord,
    a_name: str,
    b_name: str,
    *,
    frame_source: FrameSource | None = None,
    links: Sequence[Link] | None = None,
    differences: Sequence[Difference] | None = None,
) -> PageContent:
    """Measure and compare two sides of a project, and decide what the page says.

    Parameters
    ----------
    record : ProjectRecord
        The project; its organisation and unit system stand on the page.
    a_name, b_name : str
        The athlete's side and its partner, as `deliverylab.core.compare.parties.party_of` reads
        them: a delivery, several, or a published group.
    frame_source : callable or None
        ``frame_source(delivery, camera, frame)`` gives the upright RGB frame or None; without it
        the event figures are bare skeletons.
    links : sequence of Link, optional
        What the chain joins; the program's table without.
    differences : sequence of Difference, optional
        Where the two have been compared already.

    Raises
    ------
    NotFoundError
        No such delivery; the message lists the names.
    InputValueError
        The athlete's side is a published group, or a delivery is named twice.
    """
    a, b = sides(record, a_name, b_name)
    found = compare_parties(a, b) if differences is None else differences
    mine, theirs = party_words.shown_delivery(a), party_words.shown_delivery(b)
    chart = None
    if mine is not None and theirs is not None:
        chart = chosen_chart(mine, theirs, found, record.unit_system)
    return compose(
        a,
        b,
        found,
        chart=chart,
        frame_source=frame_source,
        organisation=record.organisation,
        system=record.unit_system,
        links=links,
    )


def sides(record: ProjectRecord, a_name: str, b_name: str) -> tuple[Party, Party]:
    """Return both sides of a page.

    Raises
    ------
    NotFoundError, InputValueError
        As for `page_content`.
    """
    a, b = party_of(record, a_name), party_of(record, b_name)
    if not a.deliveries:
        raise InputValueError(
            "a page is an athlete’s", where=a_name, remedy="name a delivery first, the group second"
        )
    return a, b


def compose(
    a: Party,
    b: Party,
    differences: Sequence[Difference],
    *,
    chart: Chart | None = None,
    frame_source: FrameSource | None = None,
    organisation: str = "",
    system: UnitSystem = "metric",
    links: Sequence[Link] | None = None,
) -> PageContent:
    """Return a page's content from what has been measured already.

    Parameters
    ----------
    a, b : Party
        The athlete's side and its partner.
    differences : sequence of Difference
        Clear ones by rank, then the others.
    chart : Chart or None
        The curve to show.
    frame_source : callable or None
        Gives the upright RGB frame of a delivery's camera, or None.
    organisation : str
        From whom the page is.
    system : {"metric", "imperial"}
        The reader's units.
    links : sequence of Link, optional
        What the chain joins; the program's table without.
    """
    mine, theirs = a.deliveries[0], party_words.shown_delivery(b)
    heading_athlete, heading_model = party_words.headings(a, b)
    plan, chain = plan_of(a), page_chain(differences, links)
    rows, rest = table_rows(differences, _spoken_of(plan, chain), system)
    return PageContent(
        title=f"{party_words.page_name(a)}: {party_words.compared_with(a, b)}",
        name=party_words.page_name(a),
        facts=party_words.facts(a, system),
        organisation=organisation,
        compared_with=party_words.compared_with(a, b),
        heading_athlete=heading_athlete,
        heading_model=heading_model,
        strip=event_figures(mine, theirs, frame_source),
        strip_names=party_words.strip_names(a, b),
        is_model_mirrored=theirs is not None
        and is_mirrored(mine, camera_pair(mine, theirs)[0], theirs, camera_pair(mine, theirs)[1]),
        rows=rows,
        alike=wording.topics(difference.a for difference in rest),
        withheld=withheld(differences),
        chain=chain,
        plan=page_plan(plan, system),
        chart=chart,
        measured=how_measured(a, b, differences, system),
        measured_briefly=how_measured(a, b, differences, system, is_brief=True),
        cautions=party_words.cautions(a),
    )


def _spoken_of(plan: Plan | None, chain: PageChain | None) -> dict[tuple[str, str], int]:
    starts = chain.chain.starts if chain else ()
    priorities = plan.priorities if plan else ()
    return {start.node.key: BY_CHAIN for start in starts} | {
        (priority.metric, priority.event): BY_PLAN for priority in priorities
    }


def plan_of(party: Party) -> Plan | None:
    """Return the plan made after a side's deliveries: that of the latest which has one."""
    with_plan = [each for each in party.deliveries if each.plan is not None]
    return max(with_plan, key=lambda each: each.date).plan if with_plan else None


def how_measured(
    a: Party,
    b: Party,
    differences: Sequence[Difference],
    system: UnitSystem,
    *,
    is_brief: bool = False,
) -> tuple[str, ...]:
    """Return how the numbers came about, one sentence each, the most needed first."""
    filmed = party_words.how_filmed(a, b, system, is_brief=is_brief)
    meaning = wording.PLUS_MINUS_BRIEFLY if is_brief else wording.WHAT_PLUS_MINUS_MEANS
    said = [meaning, *filmed]
    used = {d.event for d in differences if d.verdict != "not_comparable"}
    contact = [key for key in ("foot_contact", "foot_plant") if key in used]
    if contact:
        said.append(wording.event_definitions(contact))
    if len(party_words.used_hands((a, b))) > 1:
        said.append("Left-handed deliveries are mirrored, so that every number means the same.")
    return tuple(said)
