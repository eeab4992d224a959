"""The worker's half, run in a thread against a plain pipe."""

from __future__ import annotations

import multiprocessing
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from deliverylab.core.video import server
from deliverylab.core.video.index import build_index
from deliverylab.core.video.server import Dropped, Failed, Hurry, Job, Read, Served, Stop, serve
from tests.core.video.coded_clips import HEIGHT_PX, N_FRAMES, WIDTH_PX, read_code

MakeClip = Callable[[str], Path]
SLOT_BYTES = WIDTH_PX * HEIGHT_PX * 3


@contextmanager
def running(
    monkeypatch: pytest.MonkeyPatch, path: Path, *, first_frame: int = 0, budget_bytes: int = 10**7
) -> Iterator[tuple[Connection[Any, Any], Any, Any, threading.Thread]]:
    """Serve a clip from a thread; neither its priority nor its signals may change here."""
    monkeypatch.setattr(server, "lower_priority", lambda: None)
    monkeypatch.setattr(server.signal, "signal", lambda *_: None)
    ours, theirs = multiprocessing.Pipe()
    slots, progress = bytearray(2 * SLOT_BYTES), [0, 0]
    changes = [float("nan")] * N_FRAMES
    job = Job(build_index(path), first_frame, N_FRAMES - 1, budget_bytes)
    thread = threading.Thread(target=serve, args=(theirs, slots, progress, changes, job))
    thread.start()
    try:
        yield ours, slots, progress, thread
    finally:
        if not ours.closed:
            ours.send(Stop())
            ours.close()
        thread.join(10)
        assert not thread.is_alive()


def picture_in(slots: bytearray, slot: int) -> np.ndarray:
    return np.frombuffer(slots, np.uint8)[slot * SLOT_BYTES :][:SLOT_BYTES].reshape(
        HEIGHT_PX, WIDTH_PX, 3
    )


def wait_until_warm(connection: Connection[Any, Any], progress: list[int]) -> None:
    for _ in range(1000):
        if progress[0] == N_FRAMES:
            return
        connection.poll(0.01)
    raise AssertionError(f"only {progress[0]} frames were warmed")


def test_cold_exact_and_warm(make_clip: MakeClip, monkeypatch: pytest.MonkeyPatch) -> None:
    with running(monkeypatch, make_clip("h264-short")) as (connection, slots, progress, _):
        connection.send(Read(1, 40, True, 1))
        assert connection.recv() == Served(1, 40, True, WIDTH_PX, HEIGHT_PX)
        assert read_code(picture_in(slots, 1)) == 40
        wait_until_warm(connection, progress)
        assert progress[1] > 0
        connection.send(Read(2, 17, False, 0))
        assert connection.recv() == Served(2, 17, False, WIDTH_PX, HEIGHT_PX)
        assert read_code(picture_in(slots, 0)) == 17
        assert read_code(picture_in(slots, 1)) == 40


def test_a_steady_hand_is_met_with_the_right_frames(
    make_clip: MakeClip, monkeypatch: pytest.MonkeyPatch
) -> None:
    with running(monkeypatch, make_clip("h264-short")) as (connection, slots, progress, _):
        wait_until_warm(connection, progress)
        wanted = [5, 6, 7, 8, 11, 14, 17, 20, 19, 18, 17, 40, 46, 47, 0]
        for number, frame in enumerate(wanted):
            connection.send(Read(number, frame, False, number % 2))
            assert connection.recv() == Served(number, frame, False, WIDTH_PX, HEIGHT_PX)
            assert read_code(picture_in(slots, number % 2)) == frame
            # time to look ahead
            connection.poll(0.01)


def test_a_frame_that_is_not_held_is_decoded(
    make_clip: MakeClip, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = make_clip("h264-short")
    with running(monkeypatch, path, first_frame=30, budget_bytes=1) as (connection, slots, _, _t):
        connection.send(Read(1, 3, False, 0))
        assert connection.recv() == Served(1, 3, True, WIDTH_PX, HEIGHT_PX)
        assert read_code(picture_in(slots, 0)) == 3


def test_hurry_drops_a_long_decode(make_clip: MakeClip, monkeypatch: pytest.MonkeyPatch) -> None:
    path = make_clip("h264-b-frames-long")
    with running(monkeypatch, path, first_frame=N_FRAMES - 1) as (connection, slots, _, _t):
        connection.send(Read(1, N_FRAMES - 2, True, 0))
        connection.send(Hurry())
        assert connection.recv() == Dropped(1)
        connection.send(Read(2, 5, True, 0))
        assert connection.recv() == Served(2, 5, True, WIDTH_PX, HEIGHT_PX)
        assert read_code(picture_in(slots, 0)) == 5


def test_vanished_clip_is_reported(
    make_clip: MakeClip, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "gone.mp4"
    copy.write_bytes(make_clip("h264-open").read_bytes())
    with running(monkeypatch, copy, first_frame=N_FRAMES - 1) as (connection, _, progress, _t):
        for _ in range(1000):
            if progress[0]:
                break
            connection.poll(0.01)
        copy.unlink()
        connection.send(Read(1, 3, True, 0))
        reply = connection.recv()
        assert isinstance(reply, Failed)
        assert (reply.number, reply.where) == (1, str(copy))
        assert "does not exist" in reply.what


def test_ends_when_its_client_is_gone(make_clip: MakeClip, monkeypatch: pytest.MonkeyPatch) -> None:
    with running(monkeypatch, make_clip("ts")) as (connection, _, _p, thread):
        connection.close()
        thread.join(10)
        assert not thread.is_alive()
