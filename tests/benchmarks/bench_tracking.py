"""How far followed landmarks can be trusted on rendered deliveries, and how fast they are followed.

Run by hand:  PYTHONPATH=. python tests/benchmarks/bench_tracking.py [N]

Varied pitchers with blur and sensor noise, from the side and from behind, at 240 and 120 a second; ten
frames are placed in each, the events first, the others evenly between, with a person's scatter of 1 to
1.5 px.  The figure wears plain cloth whose only texture is its shading and seams, and the picture is not
compressed.  The deliveries are others than those that the constants of following were chosen on.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.synthetic.population import varied_spec
from deliverylab.core.synthetic.scenario import ExampleClip, demo_scenario
from deliverylab.core.tracking.flow import LOST_REASONS, Anchors, follow
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.workflow.tracking_bridge import LARGEST_U_SHARE

KEYS = tuple(key for key in LANDMARK_KEYS if key != "ball")
SEED = 501
N_PLACED = 10
NEAR_PX, FALSE_PX = 2.0, 8.0
NAMES = ("athlete-side", "model-rear", "model-side", "athlete-rear")
DISTANCES = (1, 3, 8, 16, 32, 200)
FULL_HD = 1080


@dataclass
class Tally:
    """Errors and u of followed points, one row a point and frame.

    `outside` holds those before the first and after the last placed frame, `bridged` the likeliest places
    where a point is lost between placed ones and its u within the limit of bridging, each with u.
    """

    errors_px: list[np.ndarray] = field(default_factory=list)
    u_px: list[np.ndarray] = field(default_factory=list)
    parts: list[str] = field(default_factory=list)
    distances: list[np.ndarray] = field(default_factory=list)
    outside: list[np.ndarray] = field(default_factory=list)
    near: list[np.ndarray] = field(default_factory=list)
    bridged: list[np.ndarray] = field(default_factory=list)
    lost: list[np.ndarray] = field(default_factory=list)
    n_frames: int = 0
    seconds: float = 0.0


def clips(n: int) -> Iterator[tuple[ExampleClip, SyntheticDelivery]]:
    """Yield varied clips, half of them at 120 a second."""
    rng, scenes = np.random.default_rng(SEED), demo_scenario()
    for number in range(n):
        base = scenes[NAMES[number % len(NAMES)]]
        filming = replace(
            base.filming, exposure_s=float(rng.choice([1 / 1000, 1 / 500, 1 / 250])),
            noise_levels=float(rng.uniform(1.0, 6.0)), seed=SEED + number,
        )  # fmt: skip
        rate = Fraction(240 if number % 8 < 4 else 120)
        for _ in range(100):
            spec = replace(varied_spec(rng, base.spec), hand=base.spec.hand)
            clip = replace(base, spec=spec, rate_hz=rate, filming=filming)
            try:
                yield clip, clip.delivery()
            except InputValueError:  # a posture that no leg can take
                continue
            break


def placed_frames(delivery: SyntheticDelivery) -> list[int]:
    """Return the frames that a person places: the events, then evenly between."""
    times_s = delivery.times_s
    frames = {int(np.argmin(np.abs(times_s - at_s))) for at_s in delivery.events.values()}
    while len(frames) < N_PLACED:
        ends = sorted(frames | {0, len(times_s) - 1})
        start = max(range(len(ends) - 1), key=lambda row: ends[row + 1] - ends[row])
        frames.add((ends[start] + ends[start + 1]) // 2)
    return sorted(frames)


def torso_px(truth: np.ndarray) -> float:
    """Return the length of the trunk in the picture, px."""
    middle = [
        0.5 * (truth[:, KEYS.index(f"left_{part}")] + truth[:, KEYS.index(f"right_{part}")])
        for part in ("shoulder", "hip")
    ]
    return float(np.percentile(np.hypot(*(middle[0] - middle[1]).T), 90))


def add(tally: Tally, clip: ExampleClip, delivery: SyntheticDelivery, rng) -> None:
    """Follow one clip's landmarks and count."""
    film = clip.film()
    columns = [LANDMARK_KEYS.index(key) for key in KEYS]
    truth = clip.camera().project(delivery.stacked_m())[:, columns]
    grey = [cv2.cvtColor(film.picture(row), cv2.COLOR_RGB2GRAY) for row in range(len(truth))]
    frames, u_px = np.array(placed_frames(delivery)), float(rng.uniform(1.0, 1.5))
    anchors = {
        key: Anchors(
            frames=frames,
            xy_px=truth[frames, row] + rng.normal(0.0, u_px, (len(frames), 2)),
            u_px=np.full(len(frames), u_px),
        )
        for row, key in enumerate(KEYS)
    }
    begun = time.perf_counter()
    found = follow(grey.__getitem__, anchors, range(len(grey)), size_px=torso_px(truth))
    tally.seconds += time.perf_counter() - begun
    tally.n_frames += len(grey)
    within = slice(frames[0], frames[-1] + 1)
    limit_px = LARGEST_U_SHARE * torso_px(truth)
    away = np.full((frames[-1] + 1 - frames[0], len(KEYS), 2), np.nan)
    distance = np.abs(np.arange(len(grey))[:, None] - frames).min(axis=1)[within]
    for row, key in enumerate(KEYS):
        course = found[key]
        away[:, row] = (course.xy_px - truth[:, row])[within]
        is_followed = np.isfinite(away[:, row, 0]) & (distance > 0)
        tally.errors_px.append(away[is_followed, row])
        tally.u_px.append(course.u_px[within][is_followed])
        tally.parts += [key.partition("_")[2] if "_" in key else key] * int(is_followed.sum())
        tally.distances.append(distance[is_followed])
        tally.lost.append(course.lost[within][distance > 0])
        errors, u_row = course.xy_px - truth[:, row], course.u_px
        likely = course.likely_px - truth[:, row]
        is_outside = np.isfinite(u_row)
        is_outside[within] = False
        tally.outside.append(np.column_stack((errors, u_row))[is_outside])
        is_bridged = (course.lost > 0) & (course.u_likely_px <= limit_px)
        tally.bridged.append(np.column_stack((likely, course.u_likely_px))[is_bridged])
    tally.near.append(np.sqrt(np.nanmean(away**2, axis=(1, 2))) <= NEAR_PX)
    print(
        f"{clip.name:13s} {len(grey)} frames at {clip.rate_hz}: within {NEAR_PX:g} px RMS in "
        f"{tally.near[-1].mean():.0%}, followed {np.isfinite(away[..., 0]).mean():.0%}",
        flush=True,
    )


def line(name: str, errors: np.ndarray, u_px: np.ndarray) -> str:
    """Return how large errors are beside their u."""
    squares = np.mean(errors**2, axis=1)
    false = np.mean(np.hypot(*errors.T) > FALSE_PX)
    return (
        f"{name:10s} {len(errors):6d} {np.sqrt(squares.mean()):6.2f} "
        f"{np.sqrt(np.mean(u_px**2)):6.2f} {np.mean(squares / u_px**2):7.2f} {false:8.2%}"
    )


def show(tally: Tally) -> None:
    """Print the tables."""
    errors, u_px = np.concatenate(tally.errors_px), np.concatenate(tally.u_px)
    parts, distances = np.array(tally.parts), np.concatenate(tally.distances)
    lost = np.concatenate(tally.lost)
    print("           points    RMS   mean u  e²/u²  > 8 px   (each coordinate, px)")
    print(line("all", errors, u_px))
    for part in dict.fromkeys(tally.parts):
        print(line(part, errors[parts == part], u_px[parts == part]))
    for low, high in pairwise(DISTANCES):
        is_it = (distances >= low) & (distances < high)
        print(line(f"{low}-{high - 1} away", errors[is_it], u_px[is_it]))
    for name, kept in (("outside", tally.outside), ("bridged", tally.bridged)):
        rows = np.concatenate(kept)
        print(line(name, rows[:, :2], rows[:, 2]))
    near = np.concatenate(tally.near)
    print(f"frames in which the followed points are within {NEAR_PX:g} px RMS: {near.mean():.1%}")
    said = ", ".join(
        f"{reason} {np.mean(lost == number):.1%}"
        for number, reason in enumerate(LOST_REASONS)
        if number
    )
    n_bridged = sum(map(len, tally.bridged))
    print(
        f"followed {np.mean(lost == 0):.1%} of the points between placed frames, bridged "
        f"{n_bridged / len(lost):.1%}; not seen surely: {said}"
    )


def speed() -> None:
    """Print how fast 20 points are followed in pictures of 1080 lines, already decoded."""
    clip = demo_scenario()["athlete-side"]
    delivery, film = clip.delivery(), clip.film()
    columns = [LANDMARK_KEYS.index(key) for key in KEYS]
    large = FULL_HD / clip.size_px[1]
    truth = clip.camera().project(delivery.stacked_m())[:, columns] * large
    frames = range(200, 320)
    size = round(clip.size_px[0] * large), FULL_HD
    grey = {
        row: cv2.resize(cv2.cvtColor(film.picture(row), cv2.COLOR_RGB2GRAY), size) for row in frames
    }
    placed = np.array([row for row in placed_frames(delivery) if row in frames])
    anchors = {
        key: Anchors(frames=placed, xy_px=truth[placed, row], u_px=np.ones(len(placed)))
        for row, key in enumerate(KEYS)
    }
    begun = time.perf_counter()
    follow(grey.__getitem__, anchors, list(frames), size_px=torso_px(truth))
    took_s = time.perf_counter() - begun
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    print(
        f"{len(KEYS)} points at {size[0]} x {size[1]}, decoded: {len(frames) / took_s:.0f} frames a "
        f"second, {os.cpu_count()} cores (load {load:.1f})"
    )


def main(n: int) -> None:
    """Print everything."""
    tally, rng = Tally(), np.random.default_rng(SEED)
    for clip, delivery in clips(n):
        add(tally, clip, delivery, rng)
    show(tally)
    speed()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 16)
