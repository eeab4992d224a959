"""The curve that the page shows: one metric of both deliveries over phase, the most telling one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.compare.align import Timeline
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.curves import CURVE_METRICS, Curve, metric_curve
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.report.figures import camera_pair
from deliverylab.core.report.plain_names import PLAIN_NAMES
from deliverylab.core.units import UnitSystem, shown_unit

FloatArray = NDArray[np.float64]
SHOWN_PHASES = (-15.0, 212.0)
"""Part of the phase scale that the chart shows, percent: a little beyond lift and release."""
MAX_STEP_FRAMES = 6
"""Frames farther apart than this are not joined by a line."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Series:
    """One delivery's course, shape (n,) each; NaN where the line is interrupted.

    Attributes
    ----------
    phase : ndarray, percent
        Ascending; 0 leg lift, 100 foot contact, 200 release.
    value, expanded_u : ndarray
        Value and U in the reader's units.
    """

    phase: FloatArray
    value: FloatArray
    expanded_u: FloatArray


@dataclass(frozen=True, eq=False, kw_only=True)
class Chart:
    """One metric of both deliveries over phase, in the reader's units."""

    title: str
    symbol: str
    athlete: Series
    model: Series


def chosen_chart(
    a: Delivery, b: Delivery, differences: Sequence[Difference], system: UnitSystem
) -> Chart | None:
    """Return the chart of the metric that differs most among those with a course in both.

    Parameters
    ----------
    a, b : Delivery
        The athlete's and the model delivery.
    differences : sequence of Difference
        Clear ones by rank first: their order chooses.
    system : {"metric", "imperial"}
        The reader's units.

    Returns
    -------
    Chart or None
        None where the two share no course, or their events do not align them.
    """
    camera_a, camera_b = camera_pair(a, b)
    clear = [d.metric for d in differences if d.verdict == "clear" and d.metric in CURVE_METRICS]
    for key in dict.fromkeys((*clear, *CURVE_METRICS)):
        series = [
            _series(metric_curve(delivery, key, camera.name), camera, system)
            for delivery, camera in ((a, camera_a), (b, camera_b))
        ]
        athlete, model = series
        if athlete is not None and model is not None:
            spec = metric(key)
            symbol = shown_unit(spec.unit, system).symbol
            return Chart(title=PLAIN_NAMES[spec.key], symbol=symbol, athlete=athlete, model=model)
    return None


def _series(curve: Curve | None, camera: Camera, system: UnitSystem) -> Series | None:
    """Return a curve over phase; None without one, without alignment, or outside what is shown."""
    timeline = Timeline.of_or_none(camera)
    if curve is None or timeline is None:
        return None
    phase = timeline.phase_at(curve.times_s)
    is_inside = (phase >= SHOWN_PHASES[0]) & (phase <= SHOWN_PHASES[1])
    if np.count_nonzero(is_inside) < 2:
        return None
    factor = shown_unit(curve.unit, system).factor
    frames, phase = curve.frames[is_inside], phase[is_inside]
    value = curve.values[is_inside] * factor
    expanded_u = COVERAGE_FACTOR * curve.u[is_inside] * factor
    gaps = np.flatnonzero(np.diff(frames) > MAX_STEP_FRAMES) + 1
    return Series(
        phase=np.insert(phase, gaps, np.nan),
        value=np.insert(value, gaps, np.nan),
        expanded_u=np.insert(expanded_u, gaps, np.nan),
    )
