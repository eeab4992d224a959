"""Own a worker process with its pipe and shared memory: start it, talk to it, end it."""

from __future__ import annotations

import contextlib
import ctypes
import multiprocessing
import os
import sys
from typing import TYPE_CHECKING, Any

import numpy as np

from deliverylab.core.video.server import Job, Stop, serve

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import SpawnProcess

    from numpy.typing import NDArray

    from deliverylab.core.video.server import Message

_GONE = (EOFError, OSError)
_STOP_S = 0.3
_TERMINATE_S = 2.0


class WorkerGoneError(Exception):
    """The worker process ended without being asked to."""


class FrameWorker:
    """Run `server.serve` in a spawned process; for one thread.

    Parameters
    ----------
    job : Job
        What the worker serves.
    n_slots : int
        Pictures that the shared memory holds.

    Attributes
    ----------
    pixels : numpy.ndarray, shape (n_slots * slot_bytes,), uint8
        The shared memory, read-only on this side.
    slot_bytes : int
        Size of one slot: the clip's upright picture.
    """

    def __init__(self, job: Job, n_slots: int) -> None:
        self._job = job
        self._process: SpawnProcess | None = None
        self._connection: Connection[Any, Any] | None = None
        self._context = multiprocessing.get_context("spawn")
        self.slot_bytes = job.index.width_px * job.index.height_px * 3
        # Anonymous shared memory: nothing with a name that a crash could leave behind.
        self._slots = self._context.RawArray(ctypes.c_uint8, n_slots * self.slot_bytes)
        self._progress = self._context.RawArray(ctypes.c_int64, 2)
        self._changes = self._context.RawArray(ctypes.c_double, job.index.n_frames)
        self.pixels: NDArray[np.uint8] = np.frombuffer(memoryview(self._slots).cast("B"), np.uint8)
        self.pixels.setflags(write=False)

    @property
    def is_running(self) -> bool:
        """Return whether the worker was started and not closed."""
        return self._connection is not None

    @property
    def pid(self) -> int | None:
        """Return the worker's process number, None while there is none."""
        return None if self._process is None else self._process.pid

    @property
    def n_warmed(self) -> int:
        """Return the number of frames the light copy has been through."""
        return int(self._progress[0])

    @property
    def changes(self) -> NDArray[np.float64]:
        """Return a copy of what `duplicates.frame_changes` would, as far as it has been warmed."""
        return np.array(self._changes, np.float64)

    @property
    def held_bytes(self) -> int:
        """Return the memory of the light copy and of the shared slots."""
        return int(self._progress[1]) + len(self.pixels)

    def start(self) -> None:
        """Start the process without waiting for it; no effect if it was started."""
        if self._process is not None:
            return
        self._progress[0] = self._progress[1] = 0
        self._changes[:] = [float("nan")] * len(self._changes)
        ours, theirs = self._context.Pipe()
        process = self._context.Process(
            target=serve,
            args=(theirs, self._slots, self._progress, self._changes, self._job),
            name="deliverylab-frames",
            daemon=True,
        )
        process.start()
        theirs.close()
        if self._connection is None or sys.platform == "win32":
            self._connection = ours
        else:
            # The number stays the same, so that a notifier of the shell goes on working.
            os.dup2(ours.fileno(), self._connection.fileno(), inheritable=False)
            ours.close()
        self._process = process

    def restart(self) -> None:
        """Put a new process in the place of one that has gone."""
        self._end_process()
        self.start()

    def close(self) -> None:
        """End the process and wait for it; safe to call twice."""
        self._end_process()
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    def fileno(self) -> int:
        """Return the pipe's descriptor; the process must have been started."""
        return self._open().fileno()

    def has_message(self, wait_s: float | None) -> bool:
        """Wait up to a time (None: without end) for a message or for the end of the worker."""
        try:
            return self._open().poll(wait_s)
        except _GONE:
            return True  # receiving will tell

    def send(self, message: Message) -> None:
        """Send a message.

        Raises
        ------
        WorkerGoneError
            Nobody is there to receive it.
        """
        try:
            self._open().send(message)
        except _GONE as problem:
            raise WorkerGoneError from problem

    def receive(self) -> Message:
        """Receive a message, waiting for it.

        Raises
        ------
        WorkerGoneError
            The worker ended.
        """
        try:
            message: Message = self._open().recv()
        except _GONE as problem:
            raise WorkerGoneError from problem
        return message

    def _open(self) -> Connection[Any, Any]:
        if self._connection is None:
            raise WorkerGoneError
        return self._connection

    def _end_process(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        if self._connection is not None:
            with contextlib.suppress(*_GONE):
                self._connection.send(Stop())
        process.join(_STOP_S)
        if process.is_alive():
            process.terminate()
            process.join(_TERMINATE_S)
        if process.is_alive():
            process.kill()
            process.join()
        process.close()
