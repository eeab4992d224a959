"""What stands on the page, as pure data: who, pictures, differences, chart, how, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from deliverylab.core.compare.difference import differences as measured_differences
from deliverylab.core.compare.verdict import VERDICT_WORDS, Difference, Verdict
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.report import wording
from deliverylab.core.report.courses import Chart, chosen_chart
from deliverylab.core.report.figures import (
    EventFigures,
    FrameSource,
    camera_pair,
    event_figures,
    is_mirrored,
)
from deliverylab.core.units import UnitSystem

MIN_ROWS = 4
"""Where fewer differences are clear, the table shows others too, so that their ± is seen."""

SHARED_REASONS: dict[str, str] = {
    " not placed at ": "body points are missing",
    " not marked": "an instant is not marked",
    " points out of the picture": "the limb points out of the picture",
}
"""Reasons that name a point or an instant, by what they contain, as the page's reader needs them."""


@dataclass(frozen=True, kw_only=True)
class DifferenceRow:
    """One line of the table.

    Attributes
    ----------
    name, when : str
        What, and at which instant.
    athlete, model : (str, str)
        Both values with ±, and their unit where it does not belong to the number (as ° does).
    words, amount : str
        Direction and size of the difference.
    verdict, verdict_word : str
        Key and word.
    ratio, margin_ratio : float
        Difference and its U as shares of |d| + U, for the small drawing beside it.
    """

    name: str
    when: str
    athlete: tuple[str, str]
    model: tuple[str, str]
    words: str
    amount: str
    verdict: Verdict
    verdict_word: str
    ratio: float
    margin_ratio: float


@dataclass(frozen=True, kw_only=True)
class Withheld:
    """Metrics that share one way to make them comparable, or else one reason why they are not.

    Attributes
    ----------
    reason : str
        Why not; empty where the metrics' reasons differ.
    remedy : str
        What would help; empty where nothing is known to.
    topics : tuple of str
        The metrics' names.
    """

    reason: str
    remedy: str
    topics: tuple[str, ...]


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
        What the two are called in table, strip and chart.
    strip : tuple of EventFigures
        Event pictures; empty without clips and landmarks.
    is_model_mirrored : bool
        Whether the model delivery's pictures are turned round.
    rows : tuple of DifferenceRow
        Clear differences by rank; where they are few, the widest of the others follow.
    alike : tuple of str
        Further metrics without a difference that can be seen.
    withheld : tuple of Withheld
        What cannot be compared, most metrics first.
    chart : Chart or None
        One curve.
    measured, cautions : tuple of str
        Sentences.
    """

    title: str
    name: str
    facts: tuple[str, ...]
    organisation: str
    compared_with: str
    heading_athlete: str
    heading_model: str
    strip: tuple[EventFigures, ...]
    is_model_mirrored: bool
    rows: tuple[DifferenceRow, ...]
    alike: tuple[str, ...]
    withheld: tuple[Withheld, ...]
    chart: Chart | None
    measured: tuple[str, ...]
    cautions: tuple[str, ...]


def page_content(
    record: ProjectRecord,
    a_name: str,
    b_name: str,
    *,
    frame_source: FrameSource | None = None,
) -> PageContent:
    """Measure and compare two deliveries of a project, and decide what the page says.

    Parameters
    ----------
    record : ProjectRecord
        The project; its organisation and unit system stand on the page.
    a_name, b_name : str
        The athlete's and the model delivery.
    frame_source : callable or None
        ``frame_source(delivery, camera, frame)`` gives the upright RGB frame or None; without it
        the event figures are bare skeletons.

    Raises
    ------
    NotFoundError
        No such delivery; the message lists the names.
    """
    project = Project(record)
    a, b = project.delivery(a_name), project.delivery(b_name)
    found = measured_differences(a, b)
    return compose(
        a,
        b,
        found,
        chart=chosen_chart(a, b, found, record.unit_system),
        frame_source=frame_source,
        organisation=record.organisation,
        system=record.unit_system,
    )


def compose(
    a: Delivery,
    b: Delivery,
    differences: Sequence[Difference],
    *,
    chart: Chart | None = None,
    frame_source: FrameSource | None = None,
    organisation: str = "",
    system: UnitSystem = "metric",
) -> PageContent:
    """Return a page's content from what has been measured already.

    Parameters
    ----------
    a, b : Delivery
        The athlete's and the model delivery.
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
    """
    camera_a, camera_b = camera_pair(a, b)
    heading_athlete, heading_model = wording.headings(a, b)
    clear = sorted(
        (difference for difference in differences if difference.verdict == "clear"),
        key=lambda difference: difference.rank or len(differences),
    )
    filling = closest_to_clear(differences, MIN_ROWS - len(clear))
    rest = [d.a for d in differences if d.verdict == "within_error" and d not in filling]
    return PageContent(
        title=f"{a.athlete.name}: {wording.compared_with(a, b)}",
        name=a.athlete.name,
        facts=wording.facts(a, system),
        organisation=organisation,
        compared_with=wording.compared_with(a, b),
        heading_athlete=heading_athlete,
        heading_model=heading_model,
        strip=event_figures(a, b, frame_source),
        is_model_mirrored=is_mirrored(a, camera_a, b, camera_b),
        rows=tuple(difference_row(difference, system) for difference in (*clear, *filling)),
        alike=wording.topics(rest),
        withheld=withheld(differences),
        chart=chart,
        measured=how_measured(a, b, differences, system),
        cautions=wording.CAUTIONS,
    )


def closest_to_clear(differences: Sequence[Difference], n: int) -> list[Difference]:
    """Return up to `n` differences within error, one a metric, the nearest to clear first."""

    def nearness(difference: Difference) -> float:
        return abs(difference.d or 0.0) / (difference.expanded_u or 1.0)

    within = [d for d in differences if d.verdict == "within_error"]
    nearest: dict[str, Difference] = {}
    for difference in sorted(within, key=nearness, reverse=True):
        nearest.setdefault(difference.metric, difference)
    return list(nearest.values())[: max(0, n)]


def difference_row(difference: Difference, system: UnitSystem) -> DifferenceRow:
    """Return a difference as a line of the table."""
    d, margin = difference.d or 0.0, difference.expanded_u or 0.0
    extent = abs(d) + margin or 1.0
    return DifferenceRow(
        name=wording.raised(difference.a.name),
        when=wording.when(difference.a),
        athlete=wording.value(difference.a, system),
        model=wording.value(difference.b, system),
        words=difference.words,
        amount=wording.amount(difference, system),
        verdict=difference.verdict,
        verdict_word=VERDICT_WORDS[difference.verdict],
        ratio=d / extent,
        margin_ratio=margin / extent,
    )


def withheld(differences: Sequence[Difference]) -> tuple[Withheld, ...]:
    """Return what is not compared, grouped by reason, the largest group first."""
    groups: dict[tuple[str, str], tuple[dict[str, None], dict[str, None]]] = {}
    for difference in differences:
        if difference.verdict != "not_comparable":
            continue
        silent = next((r for r in (difference.a, difference.b) if not r.is_shown), None)
        reason = (silent.reason if silent else "") or difference.reason or "not comparable"
        remedy = silent.remedy if silent else ""
        for sign, plain in SHARED_REASONS.items():
            if sign in reason:
                reason, remedy = plain, ""
        # what follows the colon is each metric's own; the page says what they share
        reason = reason.partition(": ")[0]
        shared = (remedy, "" if remedy else reason)
        reasons, topics = groups.setdefault(shared, ({}, {}))
        reasons[reason] = None
        topics[wording.lowered(difference.a.name)] = None
    ordered = sorted(groups.items(), key=lambda group: -len(group[1][1]))
    return tuple(
        Withheld(
            reason=next(iter(reasons)) if len(reasons) == 1 else "",
            remedy=remedy,
            topics=tuple(topics),
        )
        for (remedy, _), (reasons, topics) in ordered
    )


def how_measured(
    a: Delivery, b: Delivery, differences: Sequence[Difference], system: UnitSystem
) -> tuple[str, ...]:
    """Return how the numbers came about, one sentence each, the most needed first."""
    said = list(wording.WHAT_PLUS_MINUS_MEANS)
    names = wording.headings(a, b)
    filmed = [f"{wording.filmed(d, system)}; {wording.placed(d)}" for d in (a, b)]
    if filmed[0] == filmed[1]:
        said.append(wording.sentence(f"both deliveries: {filmed[0]}"))
    else:
        said += [wording.sentence(f"{n}: {how}") for n, how in zip(names, filmed, strict=True)]
    used = {d.event for d in differences if d.verdict != "not_comparable"}
    contact = [key for key in ("foot_contact", "foot_plant") if key in used]
    if contact:
        said.append(wording.event_definitions(contact))
    if a.athlete.hand != b.athlete.hand:
        said.append("Left-handed deliveries are mirrored, so that every number means the same.")
    return tuple(said)
