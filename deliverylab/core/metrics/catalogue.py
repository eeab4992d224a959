"""The catalogue: everything deliverylab measures or says it cannot."""

from __future__ import annotations

from deliverylab.core.metrics.ball_table import BALL_METRICS
from deliverylab.core.metrics.motion_table import MOTION_METRICS
from deliverylab.core.metrics.positions_table import POSITION_METRICS
from deliverylab.core.metrics.rotations_table import ROTATION_METRICS
from deliverylab.core.metrics.spec import MetricSpec, Phase, Result
from deliverylab.core.vocabulary.events import event
from deliverylab.core.vocabulary.lookup import entry_of

PHASES: tuple[Phase, ...] = (
    "leg lift", "stride", "foot contact", "layback", "release", "timing", "ball",
)  # fmt: skip

METRICS: tuple[MetricSpec, ...] = tuple(
    sorted(
        (*POSITION_METRICS, *MOTION_METRICS, *ROTATION_METRICS, *BALL_METRICS),
        key=lambda spec: PHASES.index(spec.phase),
    )
)
BY_KEY: dict[str, MetricSpec] = {spec.key: spec for spec in METRICS}

PHASE_OF_EVENT: dict[str, Phase] = {
    "leg_lift": "leg lift",
    "foot_contact": "foot contact",
    "foot_plant": "foot contact",
    "full_layback": "layback",
    "release": "release",
}
"""A metric taken at several events is listed under the phase of each."""


def phase_of(spec: MetricSpec, event_key: str) -> Phase:
    """Return the phase a result is listed under."""
    return PHASE_OF_EVENT.get(event_key, spec.phase)


def instant_of(result: Result) -> str:
    """Return ``at release``; nothing for an extreme, or where the name begins with the event."""
    return instant_text(result.name, result.event)


def instant_text(name: str, event_key: str) -> str:
    """Return the same for a metric's name and an event's key."""
    if not event_key:
        return ""
    instant = event(event_key).name
    return "" if name.lower().startswith(instant) else f"at {instant}"


def metric(key: str) -> MetricSpec:
    """Return the metric of this key.

    Raises
    ------
    NotFoundError
        No such key; the message lists the keys.
    """
    return entry_of(BY_KEY, key, "metric")
