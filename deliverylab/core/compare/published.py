"""Published means and spreads of the same definition: context for a result, and a yardstick.

One row is one group of one paper.  Only what was read in the paper's own table or abstract is here, and
only quantities that are defined as the metric is (event, zero, shoulder line rather than rib cage), as far
as the paper tells; where theirs is an angle in space and one camera sees its projection, the row says
so.  Peak speeds of the shoulder line are left out: published means differ by a third with the definition.
Nothing here is a target.  A value far outside asks about marks and landmarks.

References
----------
.. [1] Kageyama M, Sugiyama T, Kanehisa H, Maeda A (2015). J Sports Sci Med 14:246-255, tables 2-4
   (read in full); ball speeds from the abstract.
.. [2] Orishimo KF et al. (2023). J Strength Cond Res 37:623-628 (abstract).
"""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass
from typing import Any, Literal, get_args

from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.spec import MetricSpec, Result
from deliverylab.core.units import UnitSystem, format_value
from deliverylab.core.vocabulary.events import event as event_entry

Level = Literal["youth", "high school", "college"]
LEVELS: tuple[Level, ...] = get_args(Level)
FAR_SPREADS = 3.0
"""A value is far outside when more than this many spreads, and its own U, part it from the mean."""
KAGEYAMA = "Kageyama et al. 2015"
ORISHIMO = "Orishimo et al. 2023"
PRINTED_DECIMALS = {KAGEYAMA: 1, ORISHIMO: 0}
"""To how many decimals the means and spreads of each source are printed."""
IN_SPACE = "theirs is an angle in space"
AXIS_INFERRED = "theirs is an angle in space, its zero inferred from the values"


@dataclass(frozen=True)
class PublishedSpread:
    """Mean and standard deviation among pitchers of one group.

    Attributes
    ----------
    metric, event : str
        Keys of the metric and event of the same definition; no event for an interval.
    mean, spread : float
        Mean and standard deviation in the metric's unit.
    n : int
        Pitchers.
    level : str
        What group they were.
    ages : str
        Their ages, years.
    source : str
        Authors and year; the module's references have the journal.
    note : str
        What a reader must know to compare; empty when nothing.
    """

    metric: str
    event: str
    mean: float
    spread: float
    n: int
    level: Level
    ages: str
    source: str
    note: str = ""


@dataclass(frozen=True)
class Context:
    """What is published beside one result.

    Attributes
    ----------
    spreads : tuple of PublishedSpread
        Groups, the one asked for first.
    text : str
        ``published: 46.8° ± 8.5 (30 college pitchers, Kageyama et al. 2015)``; ± is one spread.
    question : str
        What to look at when the value lies far outside every group; empty otherwise.
    """

    spreads: tuple[PublishedSpread, ...]
    text: str
    question: str

    def as_row(self) -> dict[str, Any]:
        """Return it for JSON: all groups, in the metric's own unit, and the question."""
        return {"groups": [asdict(row) for row in self.spreads], "question": self.question}


def _kageyama(
    metric_key: str,
    event: str,
    college: tuple[float, float],
    youth: tuple[float, float],
    note: str = "",
) -> tuple[PublishedSpread, PublishedSpread]:
    return (
        PublishedSpread(metric_key, event, *college, 30, "college", "18-22", KAGEYAMA, note),
        PublishedSpread(metric_key, event, *youth, 32, "youth", "12-15", KAGEYAMA, note),
    )


PUBLISHED: tuple[PublishedSpread, ...] = (
    *_kageyama("lift_to_contact_time", "", (0.9, 0.3), (0.9, 0.2)),
    *_kageyama("stride_length", "", (84.6, 4.2), (82.9, 6.1)),
    *_kageyama("lead_knee_flexion", "foot_contact", (46.8, 8.5), (40.0, 8.2), IN_SPACE),
    *_kageyama("lead_knee_flexion", "full_layback", (44.2, 10.9), (39.0, 12.1), IN_SPACE),
    *_kageyama("lead_knee_flexion", "release", (38.0, 13.7), (31.4, 15.6), IN_SPACE),
    *_kageyama("drive_knee_flexion", "leg_lift", (17.0, 6.4), (16.0, 7.0), IN_SPACE),
    *_kageyama("drive_knee_flexion", "foot_contact", (28.1, 10.2), (30.8, 13.1), IN_SPACE),
    *_kageyama("trunk_forward_tilt", "foot_contact", (-4.0, 4.8), (-2.1, 6.6), AXIS_INFERRED),
    *_kageyama("trunk_forward_tilt", "full_layback", (12.9, 7.8), (15.5, 6.1), AXIS_INFERRED),
    *_kageyama("trunk_forward_tilt", "release", (25.4, 7.6), (29.3, 7.6), AXIS_INFERRED),
    *_kageyama("pelvis_rotation", "foot_contact", (14.8, 9.7), (16.7, 10.4), AXIS_INFERRED),
    *_kageyama("pelvis_rotation", "release", (101.9, 7.3), (100.9, 8.0), AXIS_INFERRED),
    *_kageyama("shoulder_line_rotation", "foot_contact", (-33.4, 9.5), (-32.1, 13.8), AXIS_INFERRED),
    *_kageyama("shoulder_line_rotation", "release", (122.5, 9.9), (118.0, 8.2), AXIS_INFERRED),
    *_kageyama("separation", "foot_contact", (48.2, 11.6), (48.8, 14.5)),
    PublishedSpread(
        "separation", "foot_contact", 50.0, 12.0, 29, "high school", "17 ± 2", ORISHIMO,
        "23 from high school, 6 from college",
    ),
    *_kageyama("ball_speed", "", (35.2, 1.9), (30.7, 2.7)),
)  # fmt: skip
"""Groups of each quantity, that of the yardstick first.  Kageyama's trunk twist is upper torso less
pelvis: its sign is turned for separation."""


def spreads_of(
    metric_key: str, event: str, level: Level | None = None
) -> tuple[PublishedSpread, ...]:
    """Return the published groups of a quantity, those of a level first; empty without any."""
    rows = [row for row in PUBLISHED if (row.metric, row.event) == (metric_key, event)]
    return tuple(sorted(rows, key=lambda row: row.level != level))


def context(
    result: Result, level: Level | None = None, system: UnitSystem = "metric"
) -> Context | None:
    """Return what is published beside a shown result; None where nothing of its definition is.

    Parameters
    ----------
    result : Result
        A shown result; one that is not shown has no context.
    level : {"youth", "high school", "college"}, optional
        Group to name first.
    system : {"metric", "imperial"}
        The reader's units.

    Notes
    -----
    The question is asked when the value lies farther from each mean than 3 spreads and its own U
    together.  It asks what was marked or placed; it says nothing about the athlete.
    """
    spreads = spreads_of(result.metric, result.event, level)
    if result.value is None or result.expanded_u is None or not spreads:
        return None
    reach = result.expanded_u
    is_far = all(
        math.fabs(result.value - row.mean) > FAR_SPREADS * row.spread + reach for row in spreads
    )
    question = _question(metric(result.metric), result.event) if is_far else ""
    return Context(spreads, _text(spreads[0], system), question)


def _text(row: PublishedSpread, system: UnitSystem) -> str:
    unit = metric(row.metric).unit
    amount = format_value(row.mean, row.spread, unit, PRINTED_DECIMALS[row.source], system)
    note = f"; {row.note}" if row.note else ""
    return f"published: {amount} ({row.n} {row.level} pitchers, {row.source}{note})"


def _question(spec: MetricSpec, event: str) -> str:
    """Return what to check of a value that is far from all that is published."""
    instants = " and ".join(event_entry(each).name for each in spec.instants(event))
    parts = dict.fromkeys(role.replace("_", " ") for role in spec.landmarks)
    asked = []
    if instants:
        asked.append(f"is {instants} marked in the right frame")
    if parts:
        asked.append(f"are {', '.join(parts)} placed right")
    if spec.needs_scale:
        asked.append("is the scale right")
    if not asked:
        asked.append("was it entered right")
    return f"far outside what is published: {'; '.join(asked)}?"
