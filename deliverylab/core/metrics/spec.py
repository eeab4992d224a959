"""What a metric is, and what a result is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Literal

import msgspec

from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.numerics.uncertainty import coverage_factor
from deliverylab.core.units import Unit
from deliverylab.core.vocabulary.landmarks import role_name

Measure = Callable[..., FloatArray]
"""``measure(pose)`` or ``measure(start, end)``; any leading shape in, the same shape out."""
Status = Literal["measured", "estimated", "not_shown"]
Kind = Literal[
    "at_event", "between_events", "interval", "speed", "peak_speed", "peak_time", "kept_speed",
    "support_force", "extreme", "peak_rate", "peak_rate_time", "given", "ball",
]  # fmt: skip
Phase = Literal["leg lift", "stride", "foot contact", "layback", "release", "timing", "ball"]

COVERAGE_FACTOR = 2.0
"""k of the expanded uncertainty U = k u where u is known or judged: 95.45 % of cases for a normal
distribution.  A u that was itself estimated from a few repeats takes a larger one."""
PLACING = "placing the landmarks"
"""Source of the lines of a budget that come from placing."""


def factor_for(n_degrees_of_freedom: float | None) -> float:
    """Return the coverage factor k for these degrees of freedom; None is unlimited."""
    if n_degrees_of_freedom is None:
        return COVERAGE_FACTOR
    return coverage_factor(n_degrees_of_freedom)


@dataclass(frozen=True, kw_only=True)
class MetricSpec:
    """One measured quantity, as data.

    Attributes
    ----------
    key, name : str
        Stable key; what an instructor calls it.
    unit : str
        SI unit, degrees, or ``% height``.
    decimals : int
        Decimals that make sense, in that unit.
    phase : str
        Part of the delivery it is listed under.
    kind : str
        ``at_event`` one instant; ``between_events`` two instants' poses; ``interval`` a time
        between two marks; ``speed`` a derivative at an event; ``peak_speed`` over an interval;
        ``peak_time`` when that peak is; ``kept_speed`` a share of a speed; ``extreme`` the largest
        value over an interval; ``peak_rate`` how fast `measure` changes at most over an interval;
        ``peak_rate_time`` when that (or an extreme) is, s before the last event or % between both;
        ``support_force`` a mean direction between two events; ``given`` entered by the user;
        ``ball`` the ball's flight after release.
    events : tuple of str
        For ``at_event`` and ``speed`` one result at each; otherwise start and end.
    landmarks : tuple of str
        Roles that `measure` reads from a `Pose`.
    views : tuple of str
        One-camera views from which it may be shown; empty when two cameras are needed.
    measure : callable or None
        ``measure(pose)`` or ``measure(start, end)`` on poses with any leading shape; None for
        kinds that need no pose.
    definition : str
        What is measured, in one sentence.
    meaning : str
        What the number tells an instructor.
    limit : str
        What it does not tell, and from where it cannot be seen.
    source : str
        Where the definition is from, or ``common practice``.
    start_landmarks : tuple of str
        Of a metric of two events, those of `landmarks` that are needed at its start only, the
        standing foot it counts from; the others are then needed at its end only.
    is_from_rubber, optional : bool, tuple of str
        Whether it counts from the rubber's front edge where that is marked; further roles that are
        used where they are placed.
    event_views : dict of str to tuple of str
        Views at single events, where they differ from `views`.
    projection_u : dict of str to float
        Standard uncertainty from seeing a posture in one plane, or of a speed or an extreme from what
        smoothing takes away besides, by event (``""``: all others); by our own simulation.
    typical_slope : float
        Typical change at the event, per second, where the clip does not tell it.
    segments : tuple of (str, str)
        Role pairs whose image length must not be foreshortened.
    needs_scale, needs_height : bool
        Whether metres, or shares of height, enter.
    min_rate_hz, useful_u : float
        True frame rate below which, and expanded U above which (where not that of the unit), it is
        not shown.
    at : str
        Event under which a value of two events is listed: that at which it is true.
    twin : str
        Key of the metric that says the same in another unit; compared only where that one cannot.
    cutoff_hz, is_falling : float, bool
        Of a ``peak_rate``: its low-pass where not that of its landmarks; whether it gets smaller.
    peak_of : str
        Of a ``peak_rate_time``, the key of the ``peak_rate``.
    believable : (float, float) or None
        Outside this a value is shown with a caution: the hand, a mark or the scale is likely wrong.
    more, less : str
        Words for a larger and a smaller value.
    """

    key: str
    name: str
    unit: Unit
    decimals: int
    phase: Phase
    kind: Kind
    events: tuple[str, ...]
    landmarks: tuple[str, ...]
    views: tuple[str, ...]
    measure: Measure | None
    definition: str
    meaning: str
    limit: str
    source: str
    more: str
    less: str
    start_landmarks: tuple[str, ...] = ()
    is_from_rubber: bool = False
    optional: tuple[str, ...] = ()
    event_views: dict[str, tuple[str, ...]] = field(default_factory=dict)
    projection_u: dict[str, float] = field(default_factory=dict)
    typical_slope: float = 0.0
    segments: tuple[tuple[str, str], ...] = ()
    needs_scale: bool = False
    needs_height: bool = False
    min_rate_hz: float = 0.0
    useful_u: float = 0.0
    at: str = ""
    twin: str = ""
    cutoff_hz: float = 0.0
    is_falling: bool = False
    peak_of: str = ""
    believable: tuple[float, float] | None = None

    @property
    def result_events(self) -> tuple[str, ...]:
        """Events under which there is a result; empty text for an interval or an extreme."""
        return self.events if self.kind in {"at_event", "speed"} else (self.at,)

    def instants(self, event: str) -> tuple[str, ...]:
        """Return the events whose postures make the result listed under this event."""
        return (event,) if self.kind in {"at_event", "speed"} else self.events

    def landmarks_at(self, number: int) -> tuple[str, ...]:
        """Return the landmarks needed at the metric's first (0) or second (1) event."""
        if not self.start_landmarks:
            return self.landmarks
        if number == 0:
            return self.start_landmarks
        return tuple(role for role in self.landmarks if role not in self.start_landmarks)

    def views_at(self, event: str) -> tuple[str, ...]:
        """Return the one-camera views that carry the metric at an event."""
        return self.event_views.get(event, self.views)

    def projection_u_at(self, event: str) -> float:
        """Return the projection part of u at an event."""
        return self.projection_u.get(event, self.projection_u.get("", 0.0))


class Contribution(msgspec.Struct, frozen=True):
    """One line of an uncertainty budget.

    Attributes
    ----------
    source : str
        What enters.
    u : float
        Its part of u, in the metric's unit; the parts' root of the sum of squares is u.
    landmark, event : str
        Role and event that it belongs to, where it belongs to one.
    remedy : str
        What would make it smaller; empty where nobody can do anything.
    """

    source: str
    u: float
    landmark: str = ""
    event: str = ""
    remedy: str = ""

    @property
    def name(self) -> str:
        """What enters, in words: ``placing the lead knee``, else the source."""
        if self.source == PLACING and self.landmark:
            return f"placing the {role_name(self.landmark)}"
        return self.source


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """One metric of one delivery: a value with u, or the reason why there is none.

    Attributes
    ----------
    delivery, metric, event : str
        Whose, what, and when (``""`` for an interval or an extreme).
    name, phase, unit, decimals : str, str, str, int
        Copied from the definition.
    status : {"measured", "estimated", "not_shown"}
        What it is worth.
    value, u : float or None
        Value and standard uncertainty (k = 1) in `unit`; None when not shown.
    n_degrees_of_freedom : float or None
        Effective ones of u; None where all its parts are known or judged.
    reason, remedy : str
        Why it is not shown, and what would make it measurable.
    definition : str
        What was measured.
    camera, view : str
        Which camera it is from, and where that stood.
    basis : str
        Which way it was measured where the definition leaves two (``from the rubber``); only
        results of the same basis are compared.
    budget : tuple of Contribution
        Parts of u, largest first.
    cautions : tuple of str
        What else a reader should know.
    """

    delivery: str
    metric: str
    event: str
    name: str
    phase: str
    unit: Unit
    decimals: int
    status: Status
    value: float | None = None
    u: float | None = None
    n_degrees_of_freedom: float | None = None
    reason: str = ""
    remedy: str = ""
    definition: str = ""
    camera: str = ""
    view: str = ""
    basis: str = ""
    budget: tuple[Contribution, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def coverage_factor(self) -> float:
        """Factor k of U = k u: 2, and more where u rests on a few repeats."""
        return factor_for(self.n_degrees_of_freedom)

    @property
    def expanded_u(self) -> float | None:
        """Expanded uncertainty U = k u; None when not shown."""
        return None if self.u is None else self.coverage_factor * self.u

    @property
    def variance_shares(self) -> tuple[float, ...]:
        """Share of u² of each line of the budget; they add up to 1."""
        whole = sum(part.u**2 for part in self.budget)
        return tuple(part.u**2 / whole for part in self.budget)

    def budget_rows(self) -> list[dict[str, Any]]:
        """Return the lines of the budget as tidy rows, largest first; SI and degrees."""
        return [
            msgspec.structs.asdict(part) | {"share_of_variance": share}
            for part, share in zip(self.budget, self.variance_shares, strict=True)
        ]

    @property
    def is_shown(self) -> bool:
        """Whether there is a value."""
        return self.status != "not_shown"

    def as_row(self) -> dict[str, Any]:
        """Return the tidy row of tables and JSON; SI and degrees."""
        return {
            "delivery": self.delivery,
            "metric": self.metric,
            "event": self.event,
            "status": self.status,
            "value": self.value,
            "unit": self.unit,
            "U": self.expanded_u,
            "u": self.u,
            "k": self.coverage_factor,
            "reason": self.reason,
            "remedy": self.remedy,
            "definition": self.definition,
            "name": self.name,
            "camera": self.camera,
            "view": self.view,
            "cautions": "; ".join(self.cautions),
            "basis": self.basis,
            "n_degrees_of_freedom": self.n_degrees_of_freedom,
        }
