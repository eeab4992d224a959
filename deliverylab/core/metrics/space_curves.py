"""A measure in space at the frames of one of its clips: for the scrub bar and the page's chart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.space_courses import Asked, asked_for, course, plain_course
from deliverylab.core.metrics.space_results import POSITION_BAND, usual_hz
from deliverylab.core.metrics.space_sight import SPACE_VIEW, space_sight
from deliverylab.core.metrics.space_tracks import rising_frames
from deliverylab.core.metrics.spec import MetricSpec, Result
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.numerics.filters import derivative_gain

SCATTER_STEP = 10
"""Frames from one to the next at which the scatter of a course is looked at."""


@dataclass(frozen=True)
class SpaceCurve:
    """A measure at those frames of a clip at which at least one other clip shows its landmarks too.

    Attributes
    ----------
    frames : ndarray of int, shape (n,)
    real_s : ndarray, shape (n,), s
        Of the clip's own clock.
    values, u : ndarray, shape (n,)
        u is that of the result at the nearest event.
    """

    frames: NDArray[np.intp]
    real_s: FloatArray
    values: FloatArray
    u: FloatArray


def results_in_space(results: Sequence[Result], spec: MetricSpec) -> list[Result]:
    """Return those results of a metric that several cameras show together."""
    return [r for r in results if r.metric == spec.key and r.is_shown and r.view == SPACE_VIEW]


def space_curve(
    delivery: Delivery, spec: MetricSpec, camera: Camera, results: Sequence[Result]
) -> SpaceCurve | None:
    """Return a metric's course in space; None where this camera is not among the solved ones.

    Parameters
    ----------
    delivery : Delivery
    spec : MetricSpec
        One of a single posture.
    camera : Camera
        At whose frames.
    results : sequence of Result
        Of this metric, in space: they tell u.
    """
    asked = _asked(delivery, spec, camera)
    if asked is None:
        return None
    frames, real_s = rising_frames(camera.timing)
    values = plain_course(asked)
    known = np.isfinite(values)
    sight = space_sight(delivery)
    at = [(sight.instant(each.event), each.u) for each in results]
    told = [(instant.time_s, u) for instant, u in at if instant is not None]
    at_s, u = np.array(told, dtype=np.float64).T
    nearest = np.argmin(np.abs(np.frombuffer(asked.times)[known, None] - at_s), axis=1)
    return SpaceCurve(frames[known], real_s[known], values[known], u[nearest])


def space_scatter(delivery: Delivery, spec: MetricSpec, camera: Camera) -> float:
    """Return the scatter from frame to frame that placing leaves of a course, were it not smoothed.

    As if each of this clip's frames scattered by itself, which is what a fit to them takes; NaN where
    nothing is known.
    """
    asked = _asked(delivery, spec, camera)
    if asked is None:
        return math.nan
    times_s = np.frombuffer(asked.times)[::SCATTER_STEP].copy()
    seen = course(asked._replace(times=times_s.tobytes()))
    own = 0.5 * (seen.moved[0] - seen.moved[1])[: seen.n_placing]
    squares = np.sum((own * seen.scatter[0][:, None]) ** 2, axis=0)
    known = squares[np.isfinite(squares)]
    gain = derivative_gain(camera.timing.true_rate_hz, seen.cutoff_hz, 0)
    return float(np.sqrt(np.mean(known))) / gain if len(known) else math.nan


def _asked(delivery: Delivery, spec: MetricSpec, camera: Camera) -> Asked | None:
    """Return what a metric's course at the frames of a clip is made of."""
    sight = space_sight(delivery)
    names = [view.name for view in sight.views]
    if spec.kind != "at_event" or spec.measure is None or camera.name not in names:
        return None
    times_s = rising_frames(camera.timing)[1] + sight.offsets_s[names.index(camera.name)]
    return asked_for(spec, sight, times_s, POSITION_BAND * usual_hz(spec.landmarks))
