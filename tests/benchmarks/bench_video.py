"""Measure clip reading: exactness, cold and warm access, and how free the window's process stays.

Run it by hand: ``python tests/benchmarks/bench_video.py [--clip FILE] [--size 1920x1080] ...``.
It writes its test clip (H.264, key frames 240 apart) into a temporary folder unless one is given.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from deliverylab.core.video.cache import FrameServer
from deliverylab.core.video.index import ClipIndex, build_index
from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import KINDS, read_code

TIMER_S = 0.016


def say(line: str) -> None:
    """Write a line of the report."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def spread(times_s: list[float]) -> str:
    """Return p50, p95 and maximum in ms."""
    times_ms = 1000 * np.array(times_s)
    p50, p95 = np.percentile(times_ms, [50, 95])
    return f"p50 {p50:6.1f}  p95 {p95:6.1f}  max {times_ms.max():6.1f} ms  (n = {len(times_ms)})"


def scene(n_frames: int, width_px: int, height_px: int) -> Iterator[NDArray[np.uint8]]:
    """Draw a moving figure before a textured ground, with the noise of a phone's sensor."""
    rng = np.random.default_rng(0)
    shape = (height_px, width_px)
    ground = np.full((*shape, 3), 115, np.float32)
    for octave in range(1, 10):
        coarse = rng.normal(
            0, 1, (max(2, height_px >> (10 - octave)), max(2, width_px >> (10 - octave)))
        )
        layer = cv2.resize(coarse.astype(np.float32), shape[::-1], interpolation=cv2.INTER_CUBIC)
        ground += (45 / 1.35**octave) * layer[..., None] * np.array([0.8, 1.0, 0.7], np.float32)
    noises = [rng.normal(0, 3.0, (*shape, 1)).astype(np.float32) for _ in range(7)]
    for frame in range(n_frames):
        picture = ground.copy()
        x = int(width_px * (0.2 + 0.5 * frame / n_frames))
        body = (int(0.04 * width_px), int(0.28 * height_px))
        cv2.ellipse(picture, (x, height_px // 2), body, 0.02 * frame, 0, 360, (200, 90, 60), -1)
        angle = 0.05 * frame
        hand = (
            x + int(0.14 * width_px * np.cos(angle)),
            int(height_px * (0.4 + 0.2 * np.sin(angle))),
        )
        cv2.line(picture, (x, int(0.4 * height_px)), hand, (150, 180, 220), height_px // 30)
        yield np.clip(picture + noises[frame % 7], 0, 255).astype(np.uint8)


def print_exactness(folder: Path) -> None:
    """Read every frame of every kind of clip in random order and count the right ones."""
    for kind, (ending, pictures, arguments) in KINDS.items():
        path = write_clip(folder / f"{kind}.{ending}", pictures(), 240, **arguments)  # type: ignore[arg-type]
        index = build_index(path)
        order = np.random.default_rng(1).permutation(index.n_frames).tolist()
        with FrameReader(index, keep_bytes=0) as reader:
            n_right = sum(read_code(reader.read(frame)) == frame for frame in order)
        say(f"exact by index, {kind:20} {n_right}/{index.n_frames}")


def print_reading(path: Path) -> ClipIndex:
    """Time the index, the decoder and single reads without a server."""
    times = []
    for _ in range(5):
        begin = time.perf_counter()
        index = build_index(path)
        times.append(time.perf_counter() - begin)
    say(f"index of {index.n_frames} frames    {spread(times)}")
    for n_threads in (1, 0):
        with FrameReader(index, n_threads=n_threads, keep_bytes=0) as reader:
            n_frames = min(index.n_frames, 240)
            begin = time.perf_counter()
            for _ in reader.frames(0, n_frames - 1):
                pass
            rate_hz = n_frames / (time.perf_counter() - begin)
        say(f"decoding, {n_threads or 'automatic'} thread(s)  {rate_hz:.0f} frames/s")
    with FrameReader(index) as reader:
        times = []
        for frame in np.random.default_rng(2).integers(0, index.n_frames, 12).tolist():
            begin = time.perf_counter()
            reader.read(frame)
            times.append(time.perf_counter() - begin)
    say(f"cold random read          {spread(times)}")
    return index


def timer_gaps(until: FrameServer | None, seconds: float) -> list[float]:
    """Run a 16 ms timer until the server is warm (or for a time), and return the gaps."""
    gaps = []
    begin = last = time.perf_counter()
    due = begin + TIMER_S
    while (until is None or until.warm_fraction < 1) and last - begin < seconds:
        time.sleep(max(0.0, due - time.perf_counter()))
        now = time.perf_counter()
        gaps.append(now - last)
        last, due = now, max(due + TIMER_S, now)
    return gaps


def timed_fetches(
    server: FrameServer, frames: list[int], *, exact: bool = False, is_paced: bool = False
) -> list[float]:
    """Return how long each frame took to come; paced asks at most 60 times a second."""
    times = []
    for frame in frames:
        if is_paced:
            time.sleep(TIMER_S)
        begin = time.perf_counter()
        served = server.fetch(frame, exact=exact)
        times.append(time.perf_counter() - begin)
        if served is None or served.frame != frame or served.is_exact != exact:
            raise SystemExit(f"frame {frame} came wrong")
    return times


def resident_bytes(pid: int | None) -> int:
    """Return a process's resident memory; 0 where that cannot be told."""
    status = Path(f"/proc/{pid}/statm")
    return int(status.read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") if status.exists() else 0


def print_serving(index: ClipIndex) -> None:
    """Time the frame server: start, warming, warm access by jump, step and drag, exact frames."""
    say(f"timer alone               {spread(timer_gaps(None, 2.0))}")
    last = index.n_frames - 1
    begin = time.perf_counter()
    with FrameServer(index) as server:
        say(f"start returns after       {1000 * (time.perf_counter() - begin):.0f} ms")
        server.fetch(0, exact=True)
        say(f"first picture after       {1000 * (time.perf_counter() - begin):.0f} ms")
        say(f"timer while warming       {spread(timer_gaps(server, 300.0))}")
        say(f"warm after                {time.perf_counter() - begin:.1f} s")
        jumps = np.random.default_rng(3).integers(0, index.n_frames, 300).tolist()
        steps = list(range(last // 2, min(last, last // 2 + 150)))
        drag = [abs((11 * tick) % (2 * last) - last) for tick in range(200)]
        say(f"warm fetch, jump          {spread(timed_fetches(server, jumps))}")
        say(f"warm fetch, step          {spread(timed_fetches(server, steps, is_paced=True))}")
        say(f"warm fetch, drag          {spread(timed_fetches(server, drag, is_paced=True))}")
        exact = np.random.default_rng(4).integers(0, index.n_frames, 10).tolist()
        say(f"exact frame, jump         {spread(timed_fetches(server, exact, exact=True))}")
        back = list(range(last // 2, last // 2 - 15, -1))
        say(f"exact frame, step back    {spread(timed_fetches(server, back, exact=True)[1:])}")
        worker_mb, held_mb = resident_bytes(server.worker_pid) / 1e6, server.held_bytes / 1e6
        say(f"memory: light copy and slots {held_mb:.0f} MB; worker process {worker_mb:.0f} MB")
        begin = time.perf_counter()
    say(f"close                     {1000 * (time.perf_counter() - begin):.0f} ms")


def main() -> None:
    """Parse the command line and print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clip", type=Path, help="measure this clip instead of a drawn one")
    parser.add_argument("--size", default="1920x1080")
    parser.add_argument("--rate", type=int, default=240)
    parser.add_argument("--frames", type=int, default=960)
    # about the bit rate of a phone in slow motion
    parser.add_argument("--crf", type=float, default=16)
    parser.add_argument("--save", type=Path, help="keep the drawn clip under this name")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        print_exactness(folder)
        clip = arguments.clip
        if clip is None:
            width_px, height_px = (int(part) for part in arguments.size.split("x"))
            clip = arguments.save or folder / "drawn.mp4"
            say(f"drawing {arguments.frames} frames of {arguments.size} ...")
            write_clip(
                clip,
                scene(arguments.frames, width_px, height_px),
                arguments.rate,
                crf=arguments.crf,
                gop=240,
                n_b_frames=2,
                options={
                    "preset": "veryfast",
                    "x264-params": "scenecut=0:keyint=240:min-keyint=240",
                },
            )
        say(f"{clip.name}: {clip.stat().st_size / 1e6:.0f} MB, on {os.cpu_count()} cores")
        print_serving(print_reading(clip))


if __name__ == "__main__":
    main()
