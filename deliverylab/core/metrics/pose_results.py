"""Results of metrics that are read from one posture or from two."""

from __future__ import annotations

import math
from functools import cache, lru_cache

import numpy as np

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.body_mass import COM_LANDMARKS, mass_parts
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.inputs import EventPositions, default_u_px
from deliverylab.core.metrics.pose_batch import PoseBatch, pose_batch
from deliverylab.core.metrics.propagate import measure_one, measure_two
from deliverylab.core.metrics.remedies import DEPTH, ONE_PLANE, TIMING, line
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
from deliverylab.core.metrics.spec import PLACING, Contribution, MetricSpec, Result
from deliverylab.core.model.precision import part_of
from deliverylab.core.numerics.uncertainty import effective_dof
from deliverylab.core.vocabulary.landmarks import key_for_role


def pose_result(spec: MetricSpec, event: str, sight: Sight) -> Result:
    """Evaluate a metric of one or two postures; remembered by positions and camera."""
    positions = tuple(
        [
            None if (found := sight.positions(each)) is None else found.only(roles)
            for each, roles in _used_at(spec.key, event)
        ]
    )
    return _remembered(spec.key, event, positions, sight)


@cache
def _used_at(key: str, event: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return the instants of a result, and the landmarks that it uses at each."""
    spec = BY_KEY[key]
    return tuple(
        (each, (*spec.landmarks_at(number), *spec.optional))
        for number, each in enumerate(spec.instants(event))
    )


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
    parts = {DEPTH: propagated.depth} | propagated.shared
    if set(COM_LANDMARKS) <= set(spec.landmarks):
        parts |= mass_parts(spec.measure, batches[0].part(slice(0, 1)), propagated.value)
    parts[ONE_PLANE] = factor * spec.projection_u_at(event)
    lines = _timing_lines(spec, seen, setup)
    for each, by_landmark in zip(seen, propagated.by_landmark, strict=True):
        lines += [line(PLACING, u, role, each.event) for role, u in by_landmark.items() if u > 0.0]
    cautions += unbelievable(spec, propagated.value)
    basis = basis_of(spec, event, sight, seen)
    n_dof = _effective_dof(parts, lines, seen, sight)
    return shown(spec, event, sight, propagated.value, parts, cautions, basis, lines, n_dof)


@lru_cache(maxsize=256)
def _batch(positions: EventPositions, setup: Setup) -> PoseBatch:
    return pose_batch(positions, setup)


def _effective_dof(
    parts: dict[str, float], lines: list[Contribution], seen: list[EventPositions], sight: Sight
) -> float | None:
    """Return the effective degrees of freedom of u; None where nothing in it was repeated.

    All placings of one part of the body, on either side and at either event, share one estimate of
    their u: they are one group, whose doubt does not average out.  A position that states its own u
    does not rest on the repeats.
    """
    if not sight.n_repeats_dof:
        return None
    usual_px = default_u_px(sight.delivery, sight.camera)
    at = {each.event: each for each in seen}
    groups = {"": math.hypot(*parts.values())}
    for each in lines:
        group = ""
        if each.landmark:
            key = key_for_role(each.landmark, sight.delivery.athlete.hand)
            place = at[each.event].of(each.landmark)
            if place is not None and math.isclose(place.u_px, usual_px[key]):
                group = part_of(key)
        groups[group] = math.hypot(groups.get(group, 0.0), each.u)
    n_dof = [float(sight.n_repeats_dof.get(group, math.inf)) for group in groups]
    dof = float(effective_dof(np.array(list(groups.values())), n_dof))
    return dof if math.isfinite(dof) else None


def _timing_lines(spec: MetricSpec, seen: list[EventPositions], setup: Setup) -> list[Contribution]:
    """Return the parts of u from not knowing the instants exactly: slope times u of each."""
    still = [_batch(each, setup).part(slice(0, 1)) for each in seen] if len(seen) == 2 else []
    lines = []
    for number, positions in enumerate(seen):
        roles = spec.landmarks_at(number)
        slope = slope_per_s(spec, positions, setup, roles, still[:number], still[number + 1 :])
        if slope is None:
            # At rest or not known: the start of a stride or release metric is a standing foot.
            is_standing = number == 0 and bool(spec.start_landmarks)
            slope = 0.0 if is_standing else spec.typical_slope
        u = abs(slope) * positions.u_instant_s(roles)
        lines.append(line(TIMING, u, "", positions.event))
    return lines
