"""A worker process is started, talks, and never outlives its owner."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from deliverylab.core.video.index import build_index
from deliverylab.core.video.server import Job, Read, Served
from deliverylab.core.video.worker import FrameWorker, WorkerGoneError

MakeClip = Callable[[str], Path]

OWNER_THAT_CRASHES = """
import os, sys
from deliverylab.core.video.index import build_index
from deliverylab.core.video.server import Job, Read
from deliverylab.core.video.worker import FrameWorker

if __name__ == "__main__":
    worker = FrameWorker(Job(build_index(sys.argv[1]), 0, 47, 10**7), 3)
    worker.start()
    worker.send(Read(1, 4, True, 0))
    worker.receive()
    print(worker.pid, flush=True)
    os._exit(3)
"""


def is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return Path(f"/proc/{pid}/stat").read_text().split(")")[-1].split()[0] != "Z"


def test_start_restart_close(make_clip: MakeClip) -> None:
    worker = FrameWorker(Job(build_index(make_clip("mjpeg")), 0, 47, 10**7), 2)
    assert not worker.is_running
    worker.close()
    worker.start()
    worker.start()
    first = worker.pid
    number = worker.fileno()
    worker.send(Read(1, 2, True, 0))
    assert worker.has_message(30.0)
    assert worker.receive() == Served(1, 2, True, 128, 96)
    assert not worker.pixels.flags.writeable
    worker.restart()
    assert worker.pid != first
    assert worker.fileno() == number
    worker.send(Read(2, 3, True, 1))
    assert worker.receive() == Served(2, 3, True, 128, 96)
    worker.close()
    worker.close()
    assert not worker.is_running
    with pytest.raises(WorkerGoneError):
        worker.send(Read(3, 3, True, 1))


@pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")
def test_worker_ends_when_its_owner_crashes(make_clip: MakeClip, tmp_path: Path) -> None:
    script = tmp_path / "owner.py"
    script.write_text(OWNER_THAT_CRASHES)
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[3])}
    owner = subprocess.run(
        [sys.executable, "-W", "error", str(script), str(make_clip("h264-short"))],
        capture_output=True,
        text=True,
        env=environment,
        check=False,
        timeout=60,
    )
    assert owner.returncode == 3, owner.stderr
    deadline = time.monotonic() + 10
    while is_alive(int(owner.stdout)) and time.monotonic() < deadline:
        time.sleep(0.02)
    assert not is_alive(int(owner.stdout))
    assert owner.stderr == ""
