"""How many planted mistakes the list of things to look at holds, and what it lists of clean clips.

Run ``PYTHONPATH=. python tests/benchmarks/bench_review.py [N]``; it prints a table in Markdown, one row a
set-up.  Varied deliveries of our own simulation, one side camera at 8 m, 4.2 mm a pixel, two mistakes of
each kind at a time of its own in each delivery.
"""

from __future__ import annotations

import sys
import time

import msgspec
import numpy as np

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Track
from deliverylab.core.synthetic.filming import FilmingSetUp, clothing_offsets_m, film_positions
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.workflow.review import to_look_at
from deliverylab.core.workflow.review_entry import Look

SET_UPS = ((240.0, 2.0), (240.0, 0.7), (120.0, 2.0), (120.0, 0.7), (60.0, 0.7))
"""Frames a second, and scatter of a position in px: 2 by hand, 0.7 tracked."""
FIRST_SEED = 7000
FAULTS = {
    "12 px, one frame": (12.0, 1),
    "25 px, three frames": (25.0, 3),
    "60 px, one frame": (60.0, 1),
}
N_SWAPPED = 10
TOLD_APART_PX = 15.0


def filmed(seed: int, rate_hz: float, scatter_px: float) -> tuple[Delivery, np.random.Generator]:
    """Return a delivery of one side camera, all landmarks in all frames."""
    rng = np.random.default_rng(seed)
    set_up = FilmingSetUp(distance_m=8.0, rate_hz=rate_hz)
    truth = varied_delivery(rng, rate_hz=rate_hz)
    places = film_positions(truth, set_up, offsets_m=clothing_offsets_m(rng, 0.006))
    places += rng.normal(0.0, scatter_px, places.shape)
    n = len(places)
    tracks = {
        key: Track(np.arange(n), places[:, row].copy(), np.full(n, np.nan), np.zeros(n, np.uint8))
        for row, key in enumerate(LANDMARK_KEYS)
        if key != "ball"
    }
    camera = Camera(
        name="side", view="open-side", width_px=1280, height_px=720, tracks=tracks,
        timing=Timing(n_frames=n, stored_rate=str(int(rate_hz))),
        scale=PlanarScale(
            a=Point(200.0, 600.0), b=Point(200.0 + 1.5 / set_up.metres_per_px, 600.0), length_m=1.5
        ),
        marks={event: Mark(time_s=float(at_s)) for event, at_s in truth.events.items()},
    )  # fmt: skip
    athlete = Athlete(
        name="Ana", hand=truth.spec.hand, height_m=truth.spec.height_m, sex=truth.spec.sex
    )
    return Delivery(name=f"throw {seed}", athlete=athlete, cameras=(camera,)), rng


def with_tracks(delivery: Delivery, changed: dict[str, Track]) -> Delivery:
    """Return the delivery with some tracks of its clip replaced."""
    camera = delivery.cameras[0]
    camera = msgspec.structs.replace(camera, tracks=camera.tracks | changed)
    return msgspec.structs.replace(delivery, cameras=(camera,))


def moved(track: Track, frames: slice, shift_px: np.ndarray) -> Track:
    """Return a track shifted in some frames."""
    places = track.xy_px.copy()
    places[frames] += shift_px
    return Track(track.frames, places, track.u_px, track.origins)


def swapped(delivery: Delivery, part: str, frames: slice) -> Delivery:
    """Return the delivery with left and right exchanged in some frames."""
    camera = delivery.cameras[0]
    keys = f"left_{part}", f"right_{part}"
    places = [camera.track(key).xy_px.copy() for key in keys]
    places[0][frames], places[1][frames] = places[1][frames], places[0][frames].copy()
    old = camera.track(keys[0])
    changed = {
        key: Track(old.frames, each, old.u_px, old.origins)
        for key, each in zip(keys, places, strict=True)
    }
    return with_tracks(delivery, changed)


def listed(delivery: Delivery) -> tuple[Look, ...]:
    """Return the list of one delivery by itself."""
    return to_look_at(ProjectRecord(deliveries=(delivery,)), delivery)


def _is_found(looks: tuple[Look, ...], key: str, first: int, last: int) -> bool:
    return any(
        first - 1 <= look.frame <= last + 1
        and look.landmark.rpartition("_")[2] == key.rpartition("_")[2]
        for look in looks
    )


def row(rate_hz: float, scatter_px: float, n: int) -> str:
    """Return one line of the table."""
    names = [*FAULTS, "ankles changed"]
    hits: dict[str, list[bool]] = {name: [] for name in names}
    false, took_ms = [], []
    keys = [key for key in LANDMARK_KEYS if key != "ball"]
    for seed in range(FIRST_SEED, FIRST_SEED + n):
        delivery, rng = filmed(seed, rate_hz, scatter_px)
        started = time.perf_counter()
        false.append(len(listed(delivery)))
        took_ms.append(1e3 * (time.perf_counter() - started))
        camera = delivery.cameras[0]
        last = camera.timing.n_frames - 20
        for _ in range(2):
            for name, (size_px, n_frames) in FAULTS.items():
                key, first = str(rng.choice(keys)), int(rng.integers(10, last))
                turn = rng.uniform(0.0, 2.0 * np.pi)
                shift = size_px * np.array([np.cos(turn), np.sin(turn)])
                track = moved(camera.track(key), slice(first, first + n_frames), shift)
                looks = listed(with_tracks(delivery, {key: track}))
                hits[name].append(_is_found(looks, key, first, first + n_frames - 1))
            first = int(rng.integers(10, last))
            stretch = slice(first, first + N_SWAPPED)
            apart = (
                camera.track("left_ankle").xy_px[stretch]
                - camera.track("right_ankle").xy_px[stretch]
            )
            if np.hypot(*apart.T).min() > TOLD_APART_PX:
                looks = listed(swapped(delivery, "ankle", stretch))
                hits["ankles changed"].append(
                    _is_found(looks, "left_ankle", first, first + N_SWAPPED)
                )
    shares = " | ".join(f"{100.0 * np.mean(hits[name]):.0f} %" for name in names)
    return (
        f"| {rate_hz:.0f} a second, {scatter_px:g} px | {shares} | {np.mean(false):.2f} | "
        f"{np.median(took_ms):.0f} ms |"
    )


def main(n: int = 20) -> None:
    """Print the table."""
    print(
        f"| set-up | {' | '.join(FAULTS)} | ankles changed | false in a clean clip | first time |"
    )
    print("|---|---|---|---|---|---|---|")
    for set_up in SET_UPS:
        print(row(*set_up, n), flush=True)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
