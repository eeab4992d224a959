"""Results of metrics that are read from one posture or from two."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.inputs import EventPositions
from deliverylab.core.metrics.pose_batch import PoseBatch, pose_batch
from deliverylab.core.metrics.propagate import Propagated, measure_one, measure_two
from deliverylab.core.metrics.sight import Setup, Sight, cautions_of, not_shown, shown
from deliverylab.core.metrics.slopes import slope_per_s
from deliverylab.core.metrics.spec import Measure, MetricSpec, Result


def pose_result(spec: MetricSpec, event: str, sight: Sight) -> Result:
    """Evaluate a metric of one or two postures; remembered by positions and camera."""
    events = (event,) if spec.kind == "at_event" else spec.events
    is_pair = len(events) == 2
    positions = tuple(
        found.only((*_roles_needed(spec, number == 0, is_pair), *spec.optional))
        if (found := sight.positions(each))
        else None
        for number, each in enumerate(events)
    )
    return _remembered(spec.key, event, positions, sight)


@lru_cache(maxsize=1024)
def _remembered(
    key: str, event: str, positions: tuple[EventPositions | None, ...], sight: Sight
) -> Result:
    spec = BY_KEY[key]
    events = (event,) if spec.kind == "at_event" else spec.events
    delivery, camera = sight.delivery, sight.camera
    absence = (
        validity.not_scaled(spec, delivery, camera)
        or validity.off_square(spec, camera, sight.suspected_yaw_deg)
        or validity.not_marked(
            [each for each, seen in zip(events, positions, strict=True) if seen is None], camera
        )
    )
    seen = [each for each in positions if each is not None]
    factor, cautions = 1.0, cautions_of(spec, sight, seen)
    for each in seen:
        roles = _roles_needed(spec, each is seen[0], len(seen) == 2)
        absence = absence or validity.not_placed(roles, each, delivery, camera)
        short = validity.foreshortening(spec, each, delivery, camera)
        absence = absence or short.absence
        factor = max(factor, short.factor)
        cautions += (short.caution,) if short.caution else ()
    setup = sight.setup
    if absence is not None or setup is None:
        return not_shown(spec, event, delivery, camera, absence or validity.NO_SCALE)
    if len(seen) == 1:
        propagated = _one(spec.key, seen[0], setup)
    else:
        propagated = _two(spec.key, seen[0], seen[1], setup)
    parts = {"placing the landmarks": propagated.placing, "depth not seen": propagated.depth}
    parts |= propagated.shared
    parts["timing of the event"] = _timing_part(spec, seen, setup)
    parts["seen in one plane"] = factor * spec.projection_u_at(event)
    return shown(spec, event, sight, propagated.value, parts, cautions)


ROLES_BY_EVENT: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "stride_length": (("drive_ankle",), ("lead_ankle",)),
    "stride_length_m": (("drive_ankle",), ("lead_ankle",)),
    "stride_offset": (("drive_ankle",), ("lead_ankle",)),
    "release_height": (("drive_heel", "drive_toe"), ("throwing_hand",)),
    "release_extension": (("drive_ankle",), ("throwing_hand",)),
}
"""Which landmarks of a two-event metric are needed at its start and at its end."""


def _roles_needed(spec: MetricSpec, is_start: bool, is_pair: bool) -> tuple[str, ...]:
    if is_pair and spec.key in ROLES_BY_EVENT:
        return ROLES_BY_EVENT[spec.key][0 if is_start else 1]
    return spec.landmarks


@lru_cache(maxsize=256)
def _batch(positions: EventPositions, setup: Setup) -> PoseBatch:
    camera = _SizedView(setup.view, setup.width_px, setup.height_px)
    return pose_batch(positions, camera, setup.scale, setup.athlete, setup.plate_side)


@dataclass(frozen=True)
class _SizedView:
    """The three facts of a camera that a pose needs."""

    view: str
    width_px: int
    height_px: int


def _measure(key: str) -> Measure:
    measure = BY_KEY[key].measure
    if measure is None:
        raise TypeError(key)
    return measure


@lru_cache(maxsize=2048)
def _one(key: str, positions: EventPositions, setup: Setup) -> Propagated:
    return measure_one(_measure(key), _batch(positions, setup))


@lru_cache(maxsize=1024)
def _two(key: str, start: EventPositions, end: EventPositions, setup: Setup) -> Propagated:
    return measure_two(_measure(key), _batch(start, setup), _batch(end, setup))


def _timing_part(spec: MetricSpec, seen: list[EventPositions], setup: Setup) -> float:
    """Return the part of u from not knowing the instants exactly: slope times u of each."""
    part = 0.0
    is_pair = len(seen) == 2
    for number, positions in enumerate(seen):
        is_start = number == 0
        roles = _roles_needed(spec, is_start, is_pair)
        start = seen[0] if is_pair and not is_start else None
        end = seen[1] if is_pair and is_start else None
        slope = _slope(spec.key, positions, setup, roles, start, end)
        if slope is None:
            # At rest or not known: the start of a stride or release metric is a standing foot.
            is_standing = is_pair and is_start and spec.key in ROLES_BY_EVENT
            slope = 0.0 if is_standing else spec.typical_slope
        part = math.hypot(part, slope * positions.u_instant_s(roles))
    return part


@lru_cache(maxsize=2048)
def _slope(
    key: str,
    positions: EventPositions,
    setup: Setup,
    roles: tuple[str, ...],
    start: EventPositions | None,
    end: EventPositions | None,
) -> float | None:
    camera = _SizedView(setup.view, setup.width_px, setup.height_px)
    return slope_per_s(
        BY_KEY[key], positions, camera, setup.scale, setup.athlete, setup.plate_side,
        roles=roles,
        start=_batch(start, setup).part(slice(0, 1)) if start else None,
        end=_batch(end, setup).part(slice(0, 1)) if end else None,
    )  # fmt: skip
