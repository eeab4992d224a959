"""All results of a delivery: each a value with u, or the reason why not."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import lru_cache

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.ball_results import ball_result
from deliverylab.core.metrics.body_mass import COM_OPTIONAL
from deliverylab.core.metrics.bridged import has_bridged, with_bridged_told
from deliverylab.core.metrics.catalogue import BY_KEY, METRICS
from deliverylab.core.metrics.lifted_results import NOT_TOLD, lifted_result
from deliverylab.core.metrics.momentum_results import kept_result, peak_time_result, support_result
from deliverylab.core.metrics.motion_results import given_result, interval_result, speed_result
from deliverylab.core.metrics.pose_results import pose_result
from deliverylab.core.metrics.sight import Sight, not_shown
from deliverylab.core.metrics.space_extremes import extreme_result
from deliverylab.core.metrics.space_mass import MOTION_KINDS, space_motion_result
from deliverylab.core.metrics.space_peaks import peak_rate_result, peak_rate_time_result
from deliverylab.core.metrics.space_results import space_pose_result
from deliverylab.core.metrics.space_sight import SpaceSight, space_sight
from deliverylab.core.metrics.spec import Kind, MetricSpec, Result
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Delivery

_N_LATEST = 4
# A delivery is never changed in place, so the very same one has the very same results: the window
# asks for them from several sides at once.
_LATEST: list[tuple[Delivery, tuple[Result, ...]]] = []


def evaluate(delivery: Delivery) -> tuple[Result, ...]:
    """Evaluate the whole catalogue for a delivery.

    Parameters
    ----------
    delivery : Delivery
        With any state of completeness.

    Returns
    -------
    tuple of Result
        In the catalogue's order; one for each event of a metric that is taken at events.

    Notes
    -----
    Postures and results are remembered by their inputs, so that after one moved point only what
    depends on it is computed anew.
    """
    for known, results in tuple(_LATEST):
        if known is delivery:
            return results
    sights = [Sight(delivery, camera) for camera in delivery.cameras]
    space = space_sight(delivery) if len(sights) > 1 else None
    results = tuple(
        [_result(spec, event, views, delivery, sights, space) for spec, event, views in _LINES]
    )
    if has_bridged(delivery):
        results = tuple(
            with_bridged_told(result, spec, delivery, space)
            for result, (spec, _, _) in zip(results, _LINES, strict=True)
        )
    _LATEST.insert(0, (delivery, results))
    del _LATEST[_N_LATEST:]
    return results


_LINES: tuple[tuple[MetricSpec, str, frozenset[str]], ...] = tuple(
    (spec, event, frozenset(spec.views_at(event)))
    for spec in METRICS
    for event in spec.result_events
)
"""Every result there is: metric, event, and the views that carry it."""


def _result(
    spec: MetricSpec,
    event: str,
    views: frozenset[str],
    delivery: Delivery,
    sights: list[Sight],
    space: SpaceSight | None,
) -> Result:
    """Return the result of several cameras together, else of one that shows it, else the reason."""
    in_space = None
    if space is not None and spec.kind in _SPACE_EVALUATORS:
        in_space = _in_space(spec, event, space)
        if in_space.is_shown:
            return in_space
    filmed = tuple(dict.fromkeys(sight.camera.view for sight in sights))
    if views.isdisjoint(filmed):
        lifted = lifted_result(spec, event, sights)
        if lifted is not None and (in_space is None or lifted.reason != NOT_TOLD):
            return lifted
        return in_space or _out_of_view(spec.key, event, delivery.name, filmed)
    evaluator = _EVALUATORS[spec.kind]
    results = [evaluator(spec, event, sight) for sight in sights if sight.camera.view in views]
    unshown = results[0] if in_space is None or space is None or space.absence else in_space
    return next((result for result in results if result.is_shown), unshown)


def _in_space(spec: MetricSpec, event: str, space: SpaceSight) -> Result:
    """Return what several cameras tell together, remembered by all that it is made of."""
    optional = COM_OPTIONAL if spec.kind in MOTION_KINDS else spec.optional
    inputs = (spec.key, event, space.inputs((*spec.landmarks, *optional)))
    if inputs not in _IN_SPACE:
        if len(_IN_SPACE) >= _N_IN_SPACE:
            _IN_SPACE.clear()
        _IN_SPACE[inputs] = _SPACE_EVALUATORS[spec.kind](spec, event, space)
    return _IN_SPACE[inputs]


_IN_SPACE: dict[Hashable, Result] = {}
_N_IN_SPACE = 2048


@lru_cache(maxsize=256)
def _out_of_view(key: str, event: str, delivery: str, views: tuple[str, ...]) -> Result:
    """Return the result of a metric that no camera's view carries: the same for every edit."""
    spec = BY_KEY[key]
    absence = (
        validity.wrong_view(spec, event, views) if views else Absence("no camera", "add a clip")
    )
    return not_shown(spec, event, delivery, None, absence)


_EVALUATORS: dict[Kind, Callable[[MetricSpec, str, Sight], Result]] = {
    "at_event": pose_result,
    "between_events": pose_result,
    "interval": interval_result,
    "speed": speed_result,
    "peak_speed": speed_result,
    "peak_time": peak_time_result,
    "kept_speed": kept_result,
    "support_force": support_result,
    "given": given_result,
    "ball": ball_result,
}
_SPACE_EVALUATORS: dict[Kind, Callable[[MetricSpec, str, SpaceSight], Result]] = {
    "at_event": space_pose_result,
    "between_events": space_pose_result,
    "extreme": extreme_result,
    "peak_rate": peak_rate_result,
    "peak_rate_time": peak_rate_time_result,
    **dict.fromkeys(MOTION_KINDS, space_motion_result),
}
"""What several solved cameras tell together."""
