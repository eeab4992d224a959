"""How often the ball is found in rendered clips, how far off, and how often something else is.

Run by hand:  python tests/benchmarks/bench_ball.py [N]
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from deliverylab.core.synthetic.scenario import demo_scenario
from deliverylab.core.tracking.ball import find_ball
from deliverylab.core.tracking.flights import BallSearch
from deliverylab.core.vocabulary.balls import ball
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

DIAMETER_M = ball("baseball").diameter_m
COLUMN = LANDMARK_KEYS.index("ball")
SETUPS = (
    (240, 1 / 2000, 2.0),
    (240, 1 / 800, 2.0),
    (240, 1 / 500, 5.0),
    (240, 1 / 300, 8.0),
    (120, 1 / 800, 3.0),
    (120, 1 / 250, 5.0),
    (60, 1 / 500, 3.0),
)
"""Rate, exposure in seconds, and noise in levels of 255."""


def _clip(rate_hz: int, exposure_s: float, noise: float, speed_m_s: float, seed: int):
    clip = demo_scenario()["athlete-side" if seed % 2 else "model-side"]
    filming = replace(
        clip.filming, exposure_s=exposure_s, noise_levels=noise, seed=seed,
        n_samples=4 if exposure_s < 0.0015 else 9,
    )  # fmt: skip
    spec = replace(clip.spec, ball_speed_m_s=speed_m_s)
    return replace(
        clip, filming=filming, spec=spec, rate_hz=Fraction(rate_hz), size_px=(640, 360),
        focal_px=clip.focal_px / 2,
    )  # fmt: skip


def _tried(clip, *, is_after: bool, has_start: bool):
    """Return what is found in the frames about release, or before it, and the truth."""
    delivery, film = clip.delivery(), clip.film()
    rate_hz = float(clip.rate_hz)
    release = int(delivery.events["release"] * rate_hz)
    first = release - 2 if is_after else release - 12
    frames = np.arange(first, min(first + 12, len(delivery.times_s)))
    truth = clip.camera().project(delivery.stacked_m())[:, COLUMN]
    search = BallSearch(
        diameter_px=DIAMETER_M * clip.focal_px / clip.distance_m, diameter_m=DIAMETER_M,
        near_px=tuple(truth[release].tolist()) if has_start else None,
        toward=1 if clip.spec.hand == "right" else -1,
    )  # fmt: skip
    pictures = [film.picture(frame) for frame in frames.tolist()]
    begun = time.perf_counter()
    found = find_ball(pictures, delivery.times_s[frames], search)
    return found, truth[frames], search, delivery.times_s[frames], time.perf_counter() - begun


def main(n: int) -> None:
    """Print one line a setup."""
    rng = np.random.default_rng(1)
    print(f"{n} deliveries each, half-size pictures 640x360, ball 8 to 9 px, 18 to 42 m/s")
    print("rate  exposure  noise | found  wrong  frames  rms px  rms/u  speed % | none before  s")
    for rate_hz, exposure_s, noise in SETUPS:
        offs, ratios, speeds, counts, seconds = [], [], [], [], []
        n_found = n_wrong = n_quiet = 0
        for seed in range(n):
            clip = _clip(rate_hz, exposure_s, noise, float(rng.uniform(18.0, 42.0)), seed)
            found, truth, search, times_s, took_s = _tried(clip, is_after=True, has_start=True)
            seconds.append(took_s)
            n_quiet += not _tried(clip, is_after=False, has_start=False)[0].is_found
            if not found.is_found:
                continue
            off = found.xy_px - truth[found.rows]
            if not np.all(np.hypot(*off.T) < 0.5 * search.diameter_px):
                n_wrong += 1
                continue
            n_found += 1
            off = off - off.mean(axis=0)
            offs.append(np.sqrt(np.mean(off**2)))
            ratios.append(np.sqrt(np.mean((off / found.u_px[:, None]) ** 2)))
            counts.append(len(found.rows))
            ends = found.rows[[0, -1]]
            true_px_s = np.hypot(*(truth[ends[1]] - truth[ends[0]])) / np.ptp(times_s[ends])
            speeds.append(100.0 * (found.speed_px_s / true_px_s - 1.0))
        middle = [float(np.mean(each)) if each else float("nan") for each in (counts, offs, ratios)]
        spread = float(np.sqrt(np.mean(np.square(speeds)))) if speeds else float("nan")
        print(
            f"{rate_hz:4d}  1/{1 / exposure_s:<6.0f}  {noise:5.1f} | {n_found:3d}/{n}  {n_wrong:5d}  "
            f"{middle[0]:6.1f}  {middle[1]:6.2f}  {middle[2]:5.2f}  {spread:7.2f} | "
            f"{n_quiet:7d}/{n}  {np.mean(seconds):.2f}",
            flush=True,
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
