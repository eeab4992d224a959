"""Measure how long a walkthrough takes: two clips of 4 s at 1080p and 240 frames a second.

Run it by hand: ``python tests/benchmarks/bench_walkthrough.py [--speed 0.25] [--size 1080p]``.
It films two invented bodies into a temporary folder, walks through nearly all of both clips with a
stop at each of five events, and prints the time with the machine's load.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
import time
from pathlib import Path

import msgspec

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.report.walkthrough_layout import SIZES
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.video.writer import write_clip
from deliverylab.core.workflow.walkthrough import make_walkthrough
from deliverylab.core.workflow.walkthrough_script import default_script
from tests.benchmarks.bench_video import scene
from tests.core.walked_pair import BODY_PX

RATE_HZ, N_FRAMES, SIZE_PX = 240, 960, (1920, 1080)
# so that all but a few tenths of a second of the clip are walked through
MARKS_S = {
    "leg_lift": 0.3, "foot_contact": 2.6, "foot_plant": 2.7, "full_layback": 3.4, "release": 3.68,
}  # fmt: skip


def say(line: str) -> None:
    """Write a line of the report."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def filmed(name: str, clip: Path, folder: Path, delay_s: float) -> Delivery:
    """Return a delivery with a clip of its own and a body that goes along with what it shows."""
    path = Path(shutil.copyfile(clip, folder / f"{name}.mp4"))
    tracks = {
        key: Track.of(
            (frame, Position(SIZE_PX[0] * (0.2 + 0.5 * frame / N_FRAMES) + 4 * x, 800.0 + 4 * y))
            for frame in range(N_FRAMES)
        )
        for key, (x, y) in BODY_PX.items()
    }
    camera = Camera(
        name="side",
        view="open-side",
        width_px=SIZE_PX[0],
        height_px=SIZE_PX[1],
        timing=Timing(n_frames=N_FRAMES, stored_rate=str(RATE_HZ)),
        clip=clip_reference(path, folder / "a.delivery"),
        marks={event: Mark(time_s=time_s + delay_s) for event, time_s in MARKS_S.items()},
        tracks=tracks,
    )
    return Delivery(name=name, athlete=Athlete(name=name), cameras=(camera,))


def main() -> None:
    """Make a walkthrough and say how long it took."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--speed", type=float, default=0.25)
    options.add_argument("--size", choices=list(SIZES), default="1080p")
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        say(f"filming {N_FRAMES / RATE_HZ:g} s at {SIZE_PX[0]} × {SIZE_PX[1]} ...")
        clip = folder / "filmed.mp4"
        quick = {"preset": "ultrafast"}
        write_clip(clip, scene(N_FRAMES, *SIZE_PX), RATE_HZ, gop=RATE_HZ, options=quick)
        deliveries = (filmed("Ana 1", clip, folder, 0.0), filmed("Model", clip, folder, 0.02))
        record = ProjectRecord(deliveries=deliveries)
        script = default_script(record, ("Ana 1", "Model"))
        script = msgspec.structs.replace(script, speed=chosen.speed)
        shares: list[float] = []
        start_s, start_cpu_s = time.perf_counter(), time.process_time()
        out = make_walkthrough(
            record, folder / "a.delivery", script, folder / "w.mp4",
            size=SIZES[chosen.size], progress=shares.append,
        )  # fmt: skip
        taken_s, cpu_s = time.perf_counter() - start_s, time.process_time() - start_cpu_s
        if out is None:
            raise SystemExit("it was cancelled")
        n_frames = len(shares)
        say(
            f"{chosen.size}, speed {chosen.speed:g}: {n_frames} pictures "
            f"({n_frames / 30:.1f} s, {out.stat().st_size / 1e6:.1f} MB) in {taken_s:.1f} s, "
            f"{n_frames / taken_s:.0f} a second; {cpu_s:.1f} s of processor time"
        )
        say(f"load over one minute {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")


if __name__ == "__main__":
    main()
