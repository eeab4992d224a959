"""How fast an angle changes over the clip, with its band, where the frame rate carries it.

The slope is that of a local cubic fit, as for the body's forward speed: on our own simulated
deliveries its error is that of a smoothing spline and within 15 % of that of a zero-lag Butterworth at
the usual cut-off (``tests/benchmarks/bench_smoothing.py``); it takes uneven frames and gaps as they
are, and the noise it lets through is known exactly.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.curves import MIN_CURVE_FRAMES, Curve, shown_results
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.over_time import poses_over_time
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.rates import BY_KEY as BANDS
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.metrics.space_curves import results_in_space, space_curve, space_scatter
from deliverylab.core.metrics.space_sight import space_sight
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.numerics.local_fit import local_fit, u_of_smoothing

HALF_WIDTH_S = 0.05
"""Window of the local cubic fit, real seconds to each side: its slope is down to 0.71 at
12.7 Hz at 240 frames a second, near the 14 Hz low-pass that is used for a knee."""
WIDER_HALF_WIDTH_S = 0.08
"""A second window: how far the two slopes differ tells what smoothing takes away."""
NOISE_MARGIN = 1.0
"""Differences of the windows within so many standard deviations of noise count as noise."""
SMOOTHING_FACTOR = 1.8
"""u of what smoothing takes away over that difference.  The bias grows with the window's width to a power
between 1 and 4, so it is 0.2 to 1.7 times the difference; at 1.8 the ± holds in 94 to 99 %, and in 89 % for the trunk
at 60 frames a second (benchmark)."""


TOO_FEW_IN_A_ROW = Absence(
    "the landmarks are not placed on enough frames in a row",
    "place or track them on every frame from foot contact to release",
)


@dataclass(frozen=True)
class AngleSpeed:
    """A speed that is the slope of a metric over time.

    Attributes
    ----------
    key, name : str
        Stable key; what it is called.
    angle : str
        Key of the metric that it is the slope of.
    sign : float
        −1 where the speed counts what makes the angle smaller.
    band : str
        Key of the band that its angle belongs to: the frame rate it needs.
    """

    key: str
    name: str
    angle: str
    sign: float
    band: str


ANGLE_SPEEDS: dict[str, AngleSpeed] = {
    speed.key: speed
    for speed in (
        AngleSpeed(
            "lead_knee_extension_speed", "Lead knee, speed of straightening",
            "lead_knee_flexion", -1.0, "knee",
        ),
        AngleSpeed(
            "drive_knee_extension_speed", "Drive knee, speed of straightening",
            "drive_knee_flexion", -1.0, "knee",
        ),
        AngleSpeed(
            "trunk_forward_tilt_speed", "Trunk, speed of going forward",
            "trunk_forward_tilt", 1.0, "trunk",
        ),
    )
}  # fmt: skip
"""Speeds that one camera at the side shows of angles that it shows."""


def angle_speed_curve(
    delivery: Delivery, key: str, camera_name: str | None = None
) -> Curve | Absence:
    """Return a speed over the clip in degrees a second, or why there is none.

    Parameters
    ----------
    delivery : Delivery
        With tracks beyond the key instants.
    key : str
        One of `ANGLE_SPEEDS`.
    camera_name : str, optional
        The camera; when None the first that shows the angle.

    Notes
    -----
    u holds what placing scatters from frame to frame, as the course itself shows it, and what
    smoothing takes away.  It does not hold the angle's own bias, which moves with the leg: the speed is
    that of the angle in the plane of the picture.  A joint taken for too high in all frames alike hardly
    changes it.
    """
    speed = ANGLE_SPEEDS[key]
    spec = metric(speed.angle)
    if results_in_space(evaluate(delivery), spec):
        return _in_space(delivery, speed, spec, delivery.camera(camera_name))
    results = shown_results(delivery, spec, camera_name)
    camera = delivery.camera(results[0].camera) if results else None
    setup = None if camera is None else Sight(delivery, camera).setup
    if camera is None or setup is None or spec.measure is None:
        return Absence(f"{spec.name} is not shown at any event", "see why it is not shown there")
    if (absence := _too_slow(speed, spec, [camera])) is not None:
        return absence
    frames, pose = poses_over_time(camera, setup, spec.landmarks)
    is_short = validity.foreshortened_frames(spec, frames, delivery, camera)
    angles = np.where(is_short, np.nan, spec.measure(pose))
    times_s = camera.timing.times_s[frames]
    slope, u = slope_with_u(camera.timing.real_s(times_s), angles)
    if np.count_nonzero(np.isfinite(slope)) < MIN_CURVE_FRAMES:
        return TOO_FEW_IN_A_ROW
    return Curve(key, "deg/s", frames, times_s, speed.sign * slope, u)


def _in_space(
    delivery: Delivery, speed: AngleSpeed, spec: MetricSpec, camera: Camera
) -> Curve | Absence:
    """Return the speed of an angle that several cameras show together, at the frames of one."""
    if (absence := _too_slow(speed, spec, space_sight(delivery).views)) is not None:
        return absence
    found = space_curve(delivery, spec, camera, results_in_space(evaluate(delivery), spec))
    if found is None:
        return Absence(f"{camera.name} is not solved", "choose a clip that the solve used")
    scatter = space_scatter(delivery, spec, camera)
    slope, u = slope_with_u(found.real_s, found.values, scatter)
    if np.count_nonzero(np.isfinite(slope)) < MIN_CURVE_FRAMES:
        return TOO_FEW_IN_A_ROW
    times_s = camera.timing.times_s[found.frames]
    return Curve(speed.key, "deg/s", found.frames, times_s, speed.sign * slope, u)


def _too_slow(speed: AngleSpeed, spec: MetricSpec, cameras: Iterable[Camera]) -> Absence | None:
    """Return the absence of a speed that one of the clips does not carry."""
    needed = replace(spec, kind="speed", min_rate_hz=BANDS[speed.band].speed_rate_hz)
    absences = (validity.too_slow(needed, camera) for camera in cameras)
    return next((each for each in absences if each is not None), None)


def slope_with_u(
    real_s: FloatArray, samples: FloatArray, scatter: float | None = None
) -> tuple[FloatArray, FloatArray]:
    """Return the slope of a noisy course at its samples, and u of it.

    Parameters
    ----------
    real_s, samples : ndarray, shape (n,)
        Course in real seconds; NaN samples are left out.
    scatter : float, optional
        Of the samples, each by itself, where it is known.

    Returns
    -------
    slope, u : ndarray, shape (n,)
        NaN where the window holds too few samples.

    Notes
    -----
    The scatter σ of the samples is taken from their distance r to the fit, whose variance is
    σ²(1 − g²) with g the gain of the fitted value.  What smoothing takes away is the difference to a
    wider window, less what noise alone makes of it.
    """
    narrow = local_fit(real_s, samples, real_s, half_width_s=HALF_WIDTH_S)
    wide = local_fit(real_s, samples, real_s, half_width_s=WIDER_HALF_WIDTH_S)
    if scatter is None:
        left = (samples - narrow.value) ** 2 / (1.0 - narrow.value_gain**2)
        known = np.isfinite(left)
        scatter = float(np.sqrt(np.mean(left[known]))) if known.any() else float("nan")
    u_noise = scatter * narrow.slope_gain
    u_smoothing = u_of_smoothing(
        wide.slope - narrow.slope, u_noise, scatter * wide.slope_gain,
        margin=NOISE_MARGIN, factor=SMOOTHING_FACTOR,
    )  # fmt: skip
    u = np.hypot(u_noise, u_smoothing)
    return narrow.slope, np.where(np.isfinite(narrow.slope), u, np.nan)
