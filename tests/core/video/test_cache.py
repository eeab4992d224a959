"""The window's half: quick, latest request first, and it survives its worker."""

from __future__ import annotations

import os
import select
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.video.cache import FrameServer, ServedFrame
from deliverylab.core.video.index import build_index
from deliverylab.core.video.probe import probe
from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import N_FRAMES, coded_picture, read_code

MakeClip = Callable[[str], Path]
WAIT_S = 30.0


def fetch(server: FrameServer, frame: int, *, exact: bool = False) -> ServedFrame:
    served = server.fetch(frame, WAIT_S, exact=exact)
    assert served is not None
    assert served.frame == frame
    return served


def wait_until_warm(server: FrameServer) -> None:
    deadline = time.monotonic() + WAIT_S
    while server.warm_fraction < 1.0:
        assert time.monotonic() < deadline
        time.sleep(0.01)


def kill(server: FrameServer) -> None:
    pid = server.worker_pid
    assert pid is not None
    os.kill(pid, signal.SIGTERM if sys.platform == "win32" else signal.SIGKILL)


@pytest.mark.parametrize("kind", ["h264-b-frames-long", "turned-90"])
def test_every_frame_warm_and_exact(make_clip: MakeClip, kind: str) -> None:
    with FrameServer(build_index(make_clip(kind))) as server:
        wait_until_warm(server)
        assert server.held_bytes > 3 * 128 * 96 * 3
        for frame in np.random.default_rng(0).permutation(N_FRAMES).tolist():
            light = fetch(server, frame)
            assert not light.is_exact
            assert read_code(light.picture) == frame
        for frame in (40, 3, 21):
            exact = fetch(server, frame, exact=True)
            assert exact.is_exact
            assert read_code(exact.picture) == frame


def test_picture_stays_until_the_one_after_the_next(make_clip: MakeClip) -> None:
    with FrameServer(build_index(make_clip("mjpeg"))) as server:
        first = fetch(server, 1)
        second = fetch(server, 2)
        assert read_code(first.picture) == 1
        third = fetch(server, 3)
        assert [read_code(served.picture) for served in (first, second, third)] == [1, 2, 3]
        assert not first.picture.flags.writeable
    # the memory outlives the server
    assert read_code(third.picture) == 3


def test_latest_request_wins_and_the_descriptor_tells(make_clip: MakeClip) -> None:
    with FrameServer(build_index(make_clip("h264-b-frames-long"))) as server:
        for frame in range(10, 40):
            server.request(frame, exact=True)
        shown: list[int] = []
        while 39 not in shown:
            ready, _, _ = select.select([server.fileno()], [], [], WAIT_S)
            assert ready
            served = server.poll()
            if served is not None:
                assert read_code(served.picture) == served.frame
                shown.append(served.frame)
        # between the first request and the last, the others were passed over
        assert len(shown) <= 2
        assert server.poll() is None


def test_timeout_leaves_the_request_standing(make_clip: MakeClip) -> None:
    with FrameServer(build_index(make_clip("ts"))) as server:
        assert server.fetch(30, 0.0) is None
        deadline = time.monotonic() + WAIT_S
        served = None
        while served is None and time.monotonic() < deadline:
            served = server.poll()
        assert served is not None
        assert served.frame == 30


def test_repeats_are_found_while_warming(tmp_path: Path) -> None:
    numbers = [frame - frame // 6 for frame in range(N_FRAMES)]
    pictures = [coded_picture(number) for number in numbers]
    index = build_index(write_clip(tmp_path / "repeats.mp4", pictures, 30, gop=240))
    with FrameServer(index) as server:
        wait_until_warm(server)
        repeats = tuple(
            frame for frame in range(1, N_FRAMES) if numbers[frame] == numbers[frame - 1]
        )
        assert server.duplicate_frames == repeats == probe(index.path).duplicate_frames
    with FrameServer(index, first_frame=10, last_frame=20) as server:
        wait_until_warm(server)
        assert server.duplicate_frames == tuple(frame for frame in repeats if 10 < frame <= 20)


def test_trimmed_range(make_clip: MakeClip) -> None:
    server = FrameServer(build_index(make_clip("h264-short")), first_frame=20, last_frame=29)
    with server:
        wait_until_warm(server)
        assert not fetch(server, 25).is_exact
        assert fetch(server, 5).is_exact


def test_dead_worker_is_replaced_once(make_clip: MakeClip) -> None:
    with FrameServer(build_index(make_clip("vp9"))) as server:
        fetch(server, 3)
        number = server.fileno()
        kill(server)
        assert read_code(fetch(server, 12).picture) == 12
        assert server.fileno() == number
        kill(server)
        with pytest.raises(ClipError, match="stopped twice"):
            server.fetch(13, WAIT_S)
        with pytest.raises(ClipError, match="not running"):
            server.request(3)


def test_damage_is_reported_by_frame(make_clip: MakeClip, tmp_path: Path) -> None:
    copy = tmp_path / "clip.mp4"
    copy.write_bytes(make_clip("h264-open").read_bytes())
    index = build_index(copy)
    copy.unlink()
    with FrameServer(index) as server:
        with pytest.raises(ClipError, match="does not exist"):
            server.fetch(3, WAIT_S)
        copy.write_bytes(make_clip("h264-open").read_bytes())
        assert read_code(fetch(server, 4).picture) == 4


def test_not_running_and_no_such_frame(make_clip: MakeClip) -> None:
    index = build_index(make_clip("mjpeg"))
    server = FrameServer(index)
    for use in (server.poll, server.fileno, lambda: server.request(1)):
        with pytest.raises(ClipError, match="not running"):
            use()
    server.close()
    with server, pytest.raises(InputValueError, match="no frame 48"):
        server.request(N_FRAMES)
    with pytest.raises(InputValueError, match="no range"):
        FrameServer(index, first_frame=9, last_frame=8)


def test_close_while_starting_is_quick(make_clip: MakeClip) -> None:
    server = FrameServer(build_index(make_clip("mjpeg")))
    server.start()
    pid = server.worker_pid
    begin = time.monotonic()
    server.close()
    assert time.monotonic() - begin < 5.0
    assert server.worker_pid is None
    if sys.platform != "win32":
        assert pid is not None
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)
