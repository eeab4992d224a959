"""Fetch pictures of a clip within a screen refresh: the window's half of the frame server."""

from __future__ import annotations

import time
from collections import deque
from dataclasses import dataclass
from typing import TYPE_CHECKING, Self

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.video.duplicates import repeated_frames
from deliverylab.core.video.server import Dropped, Failed, Hurry, Job, Read, Served
from deliverylab.core.video.worker import FrameWorker, WorkerGoneError

if TYPE_CHECKING:
    from types import TracebackType

    import numpy as np
    from numpy.typing import NDArray

    from deliverylab.core.video.index import ClipIndex

DEFAULT_BUDGET_BYTES = 400 * 2**20
# The picture on screen, the one before it, and the one being written.
_N_SLOTS = 3


@dataclass(frozen=True, eq=False)
class ServedFrame:
    """Hold one served picture.

    Attributes
    ----------
    frame : int
        Which frame it shows.
    is_exact : bool
        Whether it is the clip's own frame and not a light copy.
    picture : numpy.ndarray, shape (h, w, 3), uint8
        Upright RGB, read-only.  The exact picture has the clip's upright size; a light one has the
        same or, for clips beyond full HD or a tight budget, half of it (or a quarter): draw it
        into the same rectangle.  A view of shared memory that stays as it is until the picture
        after the next one has been served.
    """

    frame: int
    is_exact: bool
    picture: NDArray[np.uint8]


class FrameServer:
    """Serve frames of one clip from a worker process; use from one thread.

    The worker makes a light copy of every frame in the background ("warming") and answers from it
    once it has the frame; before that, and whenever asked for the exact frame, it decodes the clip
    itself.  The latest request wins.  If the worker dies it is started anew once.

    Parameters
    ----------
    index : ClipIndex
        The clip.
    budget_bytes : int
        Memory for the light copy.
    first_frame, last_frame : int
        The trimmed range that is warmed; any frame of the clip can be asked for.

    Raises
    ------
    InputValueError
        The range is empty or outside the clip.
    """

    def __init__(
        self,
        index: ClipIndex,
        *,
        budget_bytes: int = DEFAULT_BUDGET_BYTES,
        first_frame: int = 0,
        last_frame: int | None = None,
    ) -> None:
        last = index.n_frames - 1 if last_frame is None else last_frame
        if not 0 <= first_frame <= last < index.n_frames:
            raise InputValueError(
                f"frames {first_frame} to {last} are no range of the clip",
                where=str(index.path),
                remedy=f"choose within 0 to {index.n_frames - 1}",
            )
        self.index = index
        self._job = Job(index, first_frame, last, budget_bytes)
        self._worker = FrameWorker(self._job, _N_SLOTS)
        self._n_restarts = 0
        self._number = 0
        self._under_way: Read | None = None
        self._waiting: tuple[int, bool] | None = None
        self._used_slots: deque[int] = deque(maxlen=_N_SLOTS - 1)

    def __enter__(self) -> Self:
        """Start the worker."""
        self.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """End the worker."""
        self.close()

    @property
    def warm_fraction(self) -> float:
        """Return how much of the range has been warmed, 0 to 1."""
        n_frames = self._job.last_frame - self._job.first_frame + 1
        return self._worker.n_warmed / n_frames

    @property
    def duplicate_frames(self) -> tuple[int, ...] | None:
        """Return the frames of the range that repeat the one before; None until all are warm."""
        return repeated_frames(self._worker.changes) if self.warm_fraction >= 1 else None

    @property
    def held_bytes(self) -> int:
        """Return the memory held: the light copy and the shared slots."""
        return self._worker.held_bytes

    @property
    def worker_pid(self) -> int | None:
        """Return the worker's process number, None while there is none."""
        return self._worker.pid

    def start(self) -> None:
        """Start the worker process without waiting for it; no effect if it runs."""
        self._worker.start()

    def close(self) -> None:
        """End the worker and wait for it; safe to call twice."""
        self._worker.close()
        self._under_way = self._waiting = None

    def fileno(self) -> int:
        """Return a descriptor that becomes readable when `poll` has something to do.

        It stays the same when the worker is started anew.  On Windows it is a pipe's handle, which
        a socket notifier cannot watch: poll from a timer there.

        Raises
        ------
        ClipError
            The server is not running.
        """
        self._check_running()
        return self._worker.fileno()

    def request(self, frame: int, *, exact: bool = False) -> None:
        """Ask for a frame without waiting; a newer request replaces one not yet begun.

        Raises
        ------
        InputValueError
            There is no such frame.
        ClipError
            The worker died twice, or the server is not running.
        """
        if not 0 <= frame < self.index.n_frames:
            raise InputValueError(
                f"there is no frame {frame}",
                where=str(self.index.path),
                remedy=f"the clip has frames 0 to {self.index.n_frames - 1}",
            )
        self._check_running()
        under_way = self._under_way
        if under_way is None:
            self._send_read(frame, exact)
        elif (under_way.frame, under_way.is_exact) == (frame, exact):
            self._waiting = None
        else:
            if self._waiting is None:
                self._send(Hurry())
            self._waiting = (frame, exact)

    def poll(self) -> ServedFrame | None:
        """Return the newest finished picture, None if there is no new one; never waits.

        Raises
        ------
        ClipError
            The frame asked for cannot be decoded, the worker died twice, or the server is not
            running.
        """
        self._check_running()
        newest = None
        while self._worker.has_message(0.0):
            served = self._take_reply()
            newest = served or newest
        return newest

    def fetch(
        self, frame: int, timeout_s: float | None = None, *, exact: bool = False
    ) -> ServedFrame | None:
        """Return a frame, waiting for it up to a time; None if it did not come.

        Parameters
        ----------
        frame : int
            Index from 0 in presentation order.
        timeout_s : float, optional, s
            Longest wait; None waits as long as it takes.  The request stays: `poll` gets it later.
        exact : bool
            Insist on the clip's own frame.

        Returns
        -------
        ServedFrame or None
            The picture.

        Raises
        ------
        ClipError
            The frame cannot be decoded, the worker died twice, or the server is not running.
        InputValueError
            There is no such frame.
        """
        deadline = None if timeout_s is None else time.monotonic() + timeout_s
        self.request(frame, exact=exact)
        while True:
            left_s = None if deadline is None else max(0.0, deadline - time.monotonic())
            if not self._worker.has_message(left_s):
                return None
            served = self._take_reply()
            if served is not None and served.frame == frame and (served.is_exact or not exact):
                return served

    def _check_running(self) -> None:
        if not self._worker.is_running:
            raise ClipError(
                "the frame server is not running",
                where=str(self.index.path),
                remedy="start it before asking for frames",
            )

    def _take_reply(self) -> ServedFrame | None:
        try:
            reply = self._worker.receive()
        except WorkerGoneError:
            self._recover()
            return None
        request, self._under_way = self._under_way, None
        waiting, self._waiting = self._waiting, None
        served = None
        if request is None:  # nothing was asked for
            return served
        if isinstance(reply, Served):
            self._used_slots.append(request.slot)
            served = ServedFrame(reply.frame, reply.is_exact, self._view(request.slot, reply))
        if waiting is not None:
            self._send_read(*waiting)
        elif isinstance(reply, Dropped):
            self._send_read(request.frame, request.is_exact)
        elif isinstance(reply, Failed):
            raise ClipError(reply.what, where=reply.where, remedy=reply.remedy)
        return served

    def _view(self, slot: int, reply: Served) -> NDArray[np.uint8]:
        begin = slot * self._worker.slot_bytes
        size = reply.height_px * reply.width_px * 3
        return self._worker.pixels[begin : begin + size].reshape(reply.height_px, reply.width_px, 3)

    def _send_read(self, frame: int, is_exact: bool) -> None:
        slot = next(slot for slot in range(_N_SLOTS) if slot not in self._used_slots)
        self._number += 1
        self._under_way = Read(self._number, frame, is_exact, slot)
        self._send(self._under_way)

    def _send(self, message: Read | Hurry) -> None:
        try:
            self._worker.send(message)
        except WorkerGoneError:
            self._recover()

    def _recover(self) -> None:
        """Start a new worker for one that died, once, and ask it again."""
        if self._n_restarts:
            self.close()
            raise ClipError(
                "the clip cannot be shown: its decoder stopped twice",
                where=str(self.index.path),
                remedy="the file may be damaged; convert it to H.264 in an MP4 file",
            )
        self._n_restarts += 1
        self._worker.restart()
        request, waiting = self._under_way, self._waiting
        self._under_way = self._waiting = None
        if waiting is not None:
            self._send_read(*waiting)
        elif request is not None:
            self._send_read(request.frame, request.is_exact)
