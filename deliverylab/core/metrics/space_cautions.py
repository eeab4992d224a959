"""What a reader of a result in space should know besides: cameras, marks, contradicting clips."""

from __future__ import annotations

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.metrics.space_places import SpacePlaces
from deliverylab.core.metrics.space_sight import AT, Instant, SpaceSight
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import key_for_role, role_name


def posture_cautions(
    spec: MetricSpec,
    event: str,
    sight: SpaceSight,
    at: list[Instant],
    seen: list[SpacePlaces],
    needed: list[tuple[str, ...]],
) -> tuple[str, ...]:
    """Return what to know of a result of one posture or two."""
    cautions = list(camera_cautions(sight))
    hand = sight.delivery.athlete.hand
    for asked, instant, each, roles in zip(spec.instants(event), at, seen, needed, strict=True):
        cautions += mark_cautions(sight, asked, instant)
        wrong = [r for r in roles if each.points.is_suspect[AT, INDEX[key_for_role(r, hand)]]]
        if wrong:
            names = ", ".join(role_name(role) for role in wrong)
            name = event_entry(instant.event).name
            cautions.append(f"the clips do not agree about {names} at {name}: place it again")
    return tuple(cautions)


def camera_cautions(sight: SpaceSight) -> tuple[str, ...]:
    """Return what to know of everything that these cameras measure."""
    if sight.solution is None or sight.solution.trust != "doubtful":
        return ()
    return ("the cameras are solved only roughly: add cones or a pole next time",)


def mark_cautions(sight: SpaceSight, asked: str, instant: Instant) -> tuple[str, ...]:
    """Return what to know of an instant that was asked for by this event."""
    name = event_entry(instant.event).name
    cautions = []
    if instant.event != asked:
        cautions.append(f"taken at {name}: {event_entry(asked).name} is not marked")
    if instant.apart_s:
        cautions.append(
            f"{name} is marked {1000.0 * instant.apart_s:.0f} ms apart in the two clips: "
            f"that of {sight.camera.name} is taken"
        )
    return tuple(cautions)
