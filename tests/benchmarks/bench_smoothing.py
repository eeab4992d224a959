"""Which smoothing comes nearest to the true speed of an angle, and how often its ± holds.

Run ``python tests/benchmarks/bench_smoothing.py [N]``; it prints a table in Markdown: root mean square
error of the lead knee's and the trunk's speed between foot contact and release, in degrees a second, on
N varied deliveries of our own simulation, filmed from the side with 2 px of noise.  Truth is the slope
of the same angle in the plane of the picture without noise, at 1920 frames a second.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "core" / "metrics"))
from conftest import film_delivery

from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.angle_speeds import slope_with_u
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.over_time import poses_over_time
from deliverylab.core.metrics.rates import BY_KEY as BANDS
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.numerics.derivatives import first_derivative
from deliverylab.core.numerics.filters import low_pass
from deliverylab.core.numerics.smoothing_spline import smoothing_spline
from deliverylab.core.synthetic.population import varied_spec

RATES_HZ = (60, 120, 240)
TRUE_RATE_HZ = 1920
ANGLES = {"lead_knee_flexion": "knee", "trunk_forward_tilt": "trunk"}


def course(filmed, key):
    """Return the times and values of a metric over all frames."""
    camera = filmed.delivery.cameras[0]
    spec = metric(key)
    frames, pose = poses_over_time(camera, Sight(filmed.delivery, camera).setup, spec.landmarks)
    return camera.timing.times_s[frames], spec.measure(pose)


def slopes(times_s, angles, rate_hz, cutoff_hz):
    """Return the slope at each frame by each method."""
    return {
        "no smoothing": first_derivative(times_s, angles).value,
        "Butterworth": first_derivative(times_s, low_pass(angles, rate_hz, cutoff_hz)).value,
        "spline": smoothing_spline(times_s, angles, times_s, max_gap_s=0.1).slope,
        "local fit": slope_with_u(times_s, angles)[0],
    }


def main(n_deliveries: int = 20) -> None:
    """Print the table."""
    errors, covered = defaultdict(list), defaultdict(list)
    rng = np.random.default_rng(5)
    done = 0
    while done < n_deliveries:
        spec = varied_spec(rng)
        try:
            clean = film_delivery(spec, rate_hz=TRUE_RATE_HZ, noise_px=0.0)
        except InputValueError:
            continue  # a draw that the legs cannot do
        done += 1
        for rate_hz in RATES_HZ:
            filmed = film_delivery(spec, rate_hz=rate_hz, noise_px=2.0, u_px=2.0, seed=done)
            at = filmed.truth.events
            for key, band in ANGLES.items():
                true_s, true = course(clean, key)
                true_slope = np.gradient(true, true_s)
                times_s, angles = course(filmed, key)
                inside = (times_s >= at["foot_contact"]) & (times_s <= at["release"])
                truth = np.interp(times_s[inside], true_s, true_slope)
                found = slopes(times_s, angles, rate_hz, BANDS[band].cutoff_hz)
                for method, slope in found.items():
                    errors[key, rate_hz, method].append(slope[inside] - truth)
                u = slope_with_u(times_s, angles)[1][inside]
                off = np.abs(found["local fit"][inside] - truth)
                covered[key, rate_hz].append(off <= 2.0 * u)
    methods = list(slopes(np.arange(60) / 60.0, np.zeros(60), 60.0, 12.0))
    print(f"| speed of | frames a second | {' | '.join(methods)} | ± of the local fit holds |")
    print(f"|---|---|{'---|' * (len(methods) + 1)}")
    for key in ANGLES:
        for rate_hz in RATES_HZ:
            cells = [
                f"{np.sqrt(np.nanmean(np.concatenate(errors[key, rate_hz, m]) ** 2)):.0f}"
                for m in methods
            ]
            share = 100.0 * np.mean(np.concatenate(covered[key, rate_hz]))
            print(f"| {key} | {rate_hz} | {' | '.join(cells)} | {share:.0f} % |")


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:]))
