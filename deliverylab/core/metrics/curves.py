"""A metric over the whole clip, with its band: for the scrub bar and the page's chart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.mass_track import mass_track, speed_course
from deliverylab.core.metrics.over_time import poses_over_time
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.metrics.space_curves import results_in_space, space_curve
from deliverylab.core.metrics.spec import MetricSpec, Result
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.numerics.local_fit import local_fit
from deliverylab.core.units import Unit

CURVE_METRICS: tuple[str, ...] = (
    "trunk_forward_tilt",
    "com_forward_speed",
    "lead_knee_flexion",
    "drive_knee_flexion",
    "trunk_lateral_tilt",
    "separation",
    "pelvis_rotation",
    "shoulder_line_rotation",
    "elbow_flexion",
    "external_rotation",
    "shoulder_abduction",
    "horizontal_abduction",
)
"""Metrics with a course over the delivery, the most telling first."""
HALF_WIDTH_S = 0.04
"""Window of the local cubic fit that takes the jitter of placing out, real seconds to each side:
its value is down to 0.71 at 13.5 Hz at 240 frames a second (13.1 to 14.7 from 60 to 960), between
the low-passes that are used for a trunk (12 Hz) and a knee (14 Hz)."""
MIN_CURVE_FRAMES = 8
"""Fewer placed frames are points, not a course."""


@dataclass(frozen=True)
class Curve:
    """A metric's course on the clip's own clock.

    Attributes
    ----------
    metric : str
        Key.
    unit : str
        Its unit.
    frames : ndarray of int, shape (n,)
        Frames in which all its landmarks are placed.
    times_s : ndarray, shape (n,), s
        Their times on the clip's own clock.
    values, u : ndarray, shape (n,)
        Value, NaN where the frame does not show it, and standard uncertainty: between events that
        of the nearest event's result.
    """

    metric: str
    unit: Unit
    frames: NDArray[np.int64]
    times_s: FloatArray
    values: FloatArray
    u: FloatArray


def metric_curve(delivery: Delivery, key: str, camera_name: str | None = None) -> Curve | None:
    """Return a metric's course, or None when this clip does not carry it.

    Parameters
    ----------
    delivery : Delivery
        With tracks beyond the key instants.
    key : str
        One of `CURVE_METRICS`.
    camera_name : str, optional
        The camera; when None the first that shows one of its results.

    Notes
    -----
    A course is shown only where at least one of its event results is: what may not be shown at an
    event may not be drawn around it either, and frames in which a limb points out of the picture
    are NaN.  What several solved cameras show together is drawn at the frames of any of them.
    """
    spec = metric(key)
    in_space = results_in_space(evaluate(delivery), spec)
    if in_space:
        return _in_space(delivery, spec, delivery.camera(camera_name), in_space)
    results = shown_results(delivery, spec, camera_name)
    if not results:
        return None
    camera = delivery.camera(results[0].camera)
    setup = Sight(delivery, camera).setup
    if setup is None:
        return None
    if spec.kind == "speed":
        track = mass_track(delivery, camera, setup)
        frames, values = track.frames, speed_course(track)
    else:
        frames, pose = poses_over_time(camera, setup, spec.landmarks)
        if spec.measure is None or not len(frames):
            return None
        values = smoothed(camera.timing.real_s(camera.timing.times_s[frames]), spec.measure(pose))
        is_short = validity.foreshortened_frames(spec, frames, delivery, camera)
        values = np.where(is_short, np.nan, values)
    if np.count_nonzero(np.isfinite(values)) < MIN_CURVE_FRAMES:
        return None
    times_s = camera.timing.times_s[frames]
    return Curve(key, spec.unit, frames, times_s, values, _nearest_u(camera, results, times_s))


def _in_space(
    delivery: Delivery, spec: MetricSpec, camera: Camera, results: list[Result]
) -> Curve | None:
    """Return a course that several cameras show together, at the frames of one."""
    found = space_curve(delivery, spec, camera, results)
    if found is None or len(found.frames) < MIN_CURVE_FRAMES:
        return None
    times_s = camera.timing.times_s[found.frames]
    return Curve(spec.key, spec.unit, found.frames, times_s, found.values, found.u)


def shown_results(
    delivery: Delivery, spec: MetricSpec, camera_name: str | None = None
) -> list[Result]:
    """Return a metric's shown results from one camera: that named, or the first that has any."""
    results = [
        r
        for r in evaluate(delivery)
        if r.metric == spec.key and r.is_shown and r.view in spec.views
        and camera_name in {None, r.camera}
    ]  # fmt: skip
    return [r for r in results if r.camera == results[0].camera]


def smoothed(real_s: FloatArray, values: FloatArray) -> FloatArray:
    """Return a course without the jitter of placing; near its ends it is left as it is."""
    fit = local_fit(real_s, values, real_s, half_width_s=HALF_WIDTH_S)
    return np.where(np.isfinite(fit.value), fit.value, values)


def _nearest_u(camera: Camera, results: list[Result], times_s: FloatArray) -> FloatArray:
    """Return at each time the u of the result whose event is nearest."""
    at_s = np.array([camera.marks[r.event].time_s for r in results if r.event in camera.marks])
    u = np.array([r.u for r in results if r.event in camera.marks], dtype=np.float64)
    if not len(at_s):
        return np.full(len(times_s), results[0].u, dtype=np.float64)
    nearest: FloatArray = u[np.argmin(np.abs(times_s[:, None] - at_s[None, :]), axis=1)]
    return nearest
