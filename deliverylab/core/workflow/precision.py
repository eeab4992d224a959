"""What runs of placing again say: each person's scatter by landmark, and how two people differ.

The u that is wanted is that of *one* placing: the technical error of measurement, √(Σd²/2N) over
pairs of placings of the same point.  A person who always takes a hip for two centimetres too high
repeats that, so it does not show in the person's own repeats; it shows beside a second person.  Where
there is one, the variance of people's shifts is estimated from the analysis of variance,
(JMS − EMS)/n, and joined to the own scatter as a part of its own.  One other person gives it two
degrees of freedom, one a coordinate; the effective degrees of freedom say so (JCGM 100:2008, G.4).

There is one figure a part of the body, pooled over sides, coordinates and frames.  A blurred frame
scatters more than a sharp one; frames beside events are drawn first, so the figure is that of the
frames which measuring uses.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal, NamedTuple

import numpy as np

from deliverylab.core.metrics.inputs import CLICK_U_PX
from deliverylab.core.model.precision import part_of
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.numerics.agreement import (
    Agreement,
    Interval,
    Spread,
    limits_of_agreement,
    mean_squares,
    pooled,
    technical_error,
)
from deliverylab.core.numerics.correlation import intraclass_correlations
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.workflow.precision_people import (
    FloatArray,
    Person,
    Spot,
    people_of,
    repeat_tables,
    shared_tables,
    spots_by_part,
)

MIN_DEGREES_OF_FREEDOM = 10
"""Fewer do not carry a u of one's own: at ten the standard deviation is itself good to 22 %."""
MIN_SHARED = 3
"""Spots that two people must share before their difference is looked at."""
ALL_PARTS = "all"
PART_OF = {key: part_of(key) for key in LANDMARK_KEYS}

Axis = Literal["forward", "up"]
AXES: tuple[Axis, ...] = ("forward", "up")


class AgreementPoint(NamedTuple):
    """One pair of placings in one coordinate: the mean of both, and second minus first, metres."""

    spot: Spot
    axis: Axis
    place_m: float
    difference_m: float


@dataclass(frozen=True, kw_only=True)
class PartRow:
    """What one person's repeats of one part of the body say; lengths in metres.

    Attributes
    ----------
    part : str
        ``shoulder`` …, or ``all``.
    n_spots : int
        Landmarks in frames that were placed more than once.
    technical_error : Spread
        Scatter of one placing in either coordinate, both pooled; with the click in it.
    technical_error_px : float
        The same in pixels.
    interval : Interval
        95 % confidence interval of the technical error.
    error_of_measurement : float
        SEM: the same without shifts between the times of placing.
    shift_forward, shift_up : float
        Mean of second minus first placing.
    icc_2_1, icc_3_1 : float
        The lower of both coordinates.  Spots lie metres apart and placings millimetres, so it is
        near one whatever the scatter; it is no measure of precision here.
    agreement : Agreement
        Second minus first placing, both coordinates together.
    between : float
        Standard deviation of people's own shifts; 0 where nobody else placed enough of the same.
    u : float
        Own scatter without the click, and `between`: what a default u is made of.
    n_degrees_of_freedom : int
        Effective, of `u`.
    is_usable : bool
        Whether the own scatter rests on `MIN_DEGREES_OF_FREEDOM` at least.
    points : tuple of AgreementPoint
        To be drawn.
    """

    part: str
    n_spots: int
    technical_error: Spread
    technical_error_px: float
    interval: Interval
    error_of_measurement: float
    shift_forward: float
    shift_up: float
    icc_2_1: float
    icc_3_1: float
    agreement: Agreement
    between: float
    u: float
    n_degrees_of_freedom: int
    points: tuple[AgreementPoint, ...]

    @property
    def is_usable(self) -> bool:
        """Whether there were repeats enough for a u of one's own."""
        return self.technical_error.n_degrees_of_freedom >= MIN_DEGREES_OF_FREEDOM


@dataclass(frozen=True, kw_only=True)
class PairRow:
    """How two people differ in one part of the body: b's mean placing minus a's, metres."""

    part: str
    n_spots: int
    forward: Agreement
    up: Agreement
    icc_2_1: float
    icc_3_1: float
    points: tuple[AgreementPoint, ...]


@dataclass(frozen=True, kw_only=True)
class PersonReport:
    """One person's rows, by part and over all; none where nothing was repeated."""

    placer: str
    date: str
    n_runs: int
    rows: tuple[PartRow, ...]
    overall: PartRow | None


@dataclass(frozen=True, kw_only=True)
class PairReport:
    """Two people's rows, by part and over all."""

    a: str
    b: str
    rows: tuple[PairRow, ...]
    overall: PairRow


@dataclass(frozen=True, kw_only=True)
class PrecisionReport:
    """What all runs of a project say."""

    people: tuple[PersonReport, ...]
    pairs: tuple[PairReport, ...]

    def person(self, placer: str) -> PersonReport | None:
        """Return one person's rows; None where there are none."""
        return next((each for each in self.people if each.placer == placer and each.rows), None)


def precision_report(record: ProjectRecord) -> PrecisionReport:
    """Return each person's precision and how people differ, over all runs of a project."""
    people, sizes = people_of(record.deliveries)
    pairs = [(a, b, _shared(a, b)) for a, b in combinations(people.values(), 2)]
    return PrecisionReport(
        people=tuple(_person_report(each, people, sizes) for each in people.values()),
        pairs=tuple(_pair_report(a, b, spots) for a, b, spots in pairs if len(spots) >= MIN_SHARED),
    )


def _shared(a: Person, b: Person) -> list[Spot]:
    return [spot for spot in a.places_m if spot in b.places_m]


def _person_report(
    person: Person, people: dict[str, Person], sizes: dict[Spot, float]
) -> PersonReport:
    repeated = person.repeated
    between = _between(person, people)
    rows = tuple(
        _part_row(part, person, spots, sizes, between.get(part, Spread(0.0, 0)))
        for part, spots in spots_by_part(repeated, PART_OF).items()
    )
    overall = None
    if repeated:
        # over all parts the shifts of people are pooled as their scatters are
        shifts = pooled(*between.values()) if between else Spread(0.0, 0)
        overall = _part_row(ALL_PARTS, person, repeated, sizes, shifts)
    return PersonReport(
        placer=person.name, date=person.date, n_runs=person.n_runs, rows=rows, overall=overall
    )


def _between(person: Person, people: dict[str, Person]) -> dict[str, Spread]:
    """Return the spread of people's own shifts by part, from all who placed the same spots."""
    found: dict[str, list[Spread]] = {}
    for other in people.values():
        if other.name == person.name:
            continue
        for part, spots in spots_by_part(_shared(person, other), PART_OF).items():
            if len(spots) < MIN_SHARED:
                continue
            shifts = [
                mean_squares(table).occasion_spread for table in shared_tables(person, other, spots)
            ]
            found.setdefault(part, []).extend(Spread(shift, 1) for shift in shifts)
    return {part: pooled(*spreads) for part, spreads in found.items()}


def _part_row(
    part: str, person: Person, spots: Sequence[Spot], sizes: dict[Spot, float], between: Spread
) -> PartRow:
    tables = repeat_tables(person, spots)
    size = np.array([sizes[spot] for spot in spots])
    own = technical_error(np.concatenate(tables))
    first, second = tables[:, :, 0], tables[:, :, 1]
    squares = [] if len(spots) < 2 else [mean_squares(table[:, :2]) for table in tables]
    iccs = [intraclass_correlations(each) for each in squares]
    in_px = np.concatenate(tables / size[:, None])
    click = CLICK_U_PX * math.sqrt(float(np.mean(size**2)))
    scatter = math.sqrt(max(0.0, own.sd**2 - click**2))
    return PartRow(
        part=part,
        n_spots=len(spots),
        technical_error=own,
        technical_error_px=technical_error(in_px).sd,
        interval=own.interval(),
        error_of_measurement=pooled(*(each.error_of_measurement for each in squares)).sd,
        shift_forward=float(np.mean(second[0] - first[0])),
        shift_up=float(np.mean(second[1] - first[1])),
        icc_2_1=min((icc["2,1"].value for icc in iccs), default=math.nan),
        icc_3_1=min((icc["3,1"].value for icc in iccs), default=math.nan),
        agreement=limits_of_agreement(second.ravel(), first.ravel()),
        between=between.sd,
        u=math.hypot(scatter, between.sd),
        n_degrees_of_freedom=_effective(own, between),
        points=_points(spots, first, second),
    )


def _effective(own: Spread, between: Spread) -> int:
    """Return the effective degrees of freedom of both together (Welch-Satterthwaite), cut off."""
    if between.sd == 0.0 or own.sd == 0.0:
        return own.n_degrees_of_freedom
    parts = sum(each.sd**4 / each.n_degrees_of_freedom for each in (own, between))
    return max(1, math.floor(math.hypot(own.sd, between.sd) ** 4 / parts))


def _points(
    spots: Sequence[Spot], first: FloatArray, second: FloatArray
) -> tuple[AgreementPoint, ...]:
    means, differences = 0.5 * (first + second), second - first
    return tuple(
        AgreementPoint(spot, axis, float(means[row, place]), float(differences[row, place]))
        for row, axis in enumerate(AXES)
        for place, spot in enumerate(spots)
    )


def _pair_report(a: Person, b: Person, spots: Sequence[Spot]) -> PairReport:
    rows = tuple(
        _pair_row(part, a, b, kept)
        for part, kept in spots_by_part(spots, PART_OF).items()
        if len(kept) >= MIN_SHARED
    )
    return PairReport(a=a.name, b=b.name, rows=rows, overall=_pair_row(ALL_PARTS, a, b, spots))


def _pair_row(part: str, a: Person, b: Person, spots: Sequence[Spot]) -> PairRow:
    tables = shared_tables(a, b, spots)
    iccs = [intraclass_correlations(mean_squares(table)) for table in tables]
    forward, up = (limits_of_agreement(table[:, 1], table[:, 0]) for table in tables)
    return PairRow(
        part=part,
        n_spots=len(spots),
        forward=forward,
        up=up,
        icc_2_1=min(icc["2,1"].value for icc in iccs),
        icc_3_1=min(icc["3,1"].value for icc in iccs),
        points=_points(spots, tables[:, :, 0], tables[:, :, 1]),
    )
