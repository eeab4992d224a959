"""Results of metrics that are read from one posture or from two."""

from __future__ import annotations

import math
from functools import lru_cache

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.inputs import EventPositions
from deliverylab.core.metrics.pose_batch import PoseBatch, pose_batch
from deliverylab.core.metrics.propagate import measure_one, measure_two
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.sight import (
    Sight,
    basis_of,
    cautions_of,
    not_shown,
    shown,
    unbelievable,
)
from deliverylab.core.metrics.slopes import slope_per_s
from deliverylab.core.metrics.spec import MetricSpec, Result


def pose_result(spec: MetricSpec, event: str, sight: Sight) -> Result:
    """Evaluate a metric of one or two postures; remembered by positions and camera."""
    instants = spec.instants(event)
    positions = tuple(
        found.only((*spec.landmarks_at(number), *spec.optional))
        if (found := sight.positions(each))
        else None
        for number, each in enumerate(instants)
    )
    return _remembered(spec.key, event, positions, sight)


@lru_cache(maxsize=1024)
def _remembered(
    key: str, event: str, positions: tuple[EventPositions | None, ...], sight: Sight
) -> Result:
    spec = BY_KEY[key]
    delivery, camera = sight.delivery, sight.camera
    unmarked = [
        each for each, seen in zip(spec.instants(event), positions, strict=True) if seen is None
    ]
    absence = (
        validity.not_scaled(spec, delivery, camera)
        or validity.off_square(spec, camera, sight.suspected_yaw_deg)
        or validity.not_marked(unmarked, camera)
    )
    seen = [each for each in positions if each is not None]
    factor, cautions = 1.0, cautions_of(spec, event, sight, seen)
    for number, each in enumerate(seen):
        absence = absence or validity.not_placed(spec.landmarks_at(number), each, delivery, camera)
        short = validity.foreshortening(spec, each, delivery, camera)
        absence = absence or short.absence
        factor = max(factor, short.factor)
        cautions += (short.caution,) if short.caution else ()
    setup = sight.setup
    if absence is not None or setup is None or spec.measure is None:
        return not_shown(spec, event, delivery.name, camera, absence or validity.NO_SCALE)
    batches = [_batch(each, setup) for each in seen]
    propagated = (measure_one if len(seen) == 1 else measure_two)(spec.measure, *batches)
    parts = {"placing the landmarks": propagated.placing, "depth not seen": propagated.depth}
    parts |= propagated.shared
    parts["timing of the event"] = _timing_part(spec, seen, setup)
    parts["seen in one plane"] = factor * spec.projection_u_at(event)
    cautions += unbelievable(spec, propagated.value)
    basis = basis_of(spec, event, sight, seen)
    return shown(spec, event, sight, propagated.value, parts, cautions, basis)


@lru_cache(maxsize=256)
def _batch(positions: EventPositions, setup: Setup) -> PoseBatch:
    return pose_batch(positions, setup)


def _timing_part(spec: MetricSpec, seen: list[EventPositions], setup: Setup) -> float:
    """Return the part of u from not knowing the instants exactly: slope times u of each."""
    still = [_batch(each, setup).part(slice(0, 1)) for each in seen] if len(seen) == 2 else []
    part = 0.0
    for number, positions in enumerate(seen):
        roles = spec.landmarks_at(number)
        slope = slope_per_s(spec, positions, setup, roles, still[:number], still[number + 1 :])
        if slope is None:
            # At rest or not known: the start of a stride or release metric is a standing foot.
            is_standing = number == 0 and bool(spec.start_landmarks)
            slope = 0.0 if is_standing else spec.typical_slope
        part = math.hypot(part, slope * positions.u_instant_s(roles))
    return part
