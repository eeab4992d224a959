"""Serve pictures of one clip from a process of its own, and warm a light copy meanwhile.

This is the worker's half; `cache` is the client's.  One request is under way at a time; a `Hurry`
says that a newer one waits, so a long decode may be given up.  Two threads share the work: one talks
to the client and shows light pictures at once; the other, of lower priority, decodes the clip.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
import traceback
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from deliverylab.core.errors import ClipError, DeliveryLabError
from deliverylab.core.video.duplicates import ChangeMeter
from deliverylab.core.video.picture import PictureConverter
from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.warmcopy import WarmCopy

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from numpy.typing import NDArray

    from deliverylab.core.video.index import ClipIndex

_NICENESS = 10
_THREAD_PRIORITY_BELOW_NORMAL = -1
_KEEP_BYTES = 128 * 2**20


@dataclass(frozen=True)
class Job:
    """Say which frames of which clip are to be served."""

    index: ClipIndex
    first_frame: int
    last_frame: int
    budget_bytes: int


@dataclass(frozen=True)
class Read:
    """Ask for a frame, to be written into a slot of the shared memory."""

    number: int
    frame: int
    is_exact: bool
    slot: int


@dataclass(frozen=True)
class Hurry:
    """Say that a newer request waits for the present one to end."""


@dataclass(frozen=True)
class Stop:
    """Ask the worker to end."""


@dataclass(frozen=True)
class Served:
    """Say that a picture lies in its slot."""

    number: int
    frame: int
    is_exact: bool
    width_px: int
    height_px: int


@dataclass(frozen=True)
class Dropped:
    """Say that a request was given up for a newer one."""

    number: int


@dataclass(frozen=True)
class Failed:
    """Say why a request cannot be met."""

    number: int
    what: str
    where: str
    remedy: str


Message = Read | Hurry | Stop | Served | Dropped | Failed


def serve(
    connection: Connection[Any, Any], slots: Any, progress: Any, changes: Any, job: Job
) -> None:
    """Run the worker until it is told to stop or its client is gone.

    Parameters
    ----------
    connection : multiprocessing.connection.Connection
        Requests in, replies out.
    slots : ctypes array of uint8
        Shared memory for pictures, slots of equal size one after the other.
    progress : ctypes array of int64, length 2
        Written here: frames warmed, bytes held.
    changes : ctypes array of float64, one per frame of the clip
        Written here while warming: how much each frame differs from the one before, grey levels.
    job : Job
        What to serve.
    """
    # Ctrl-C in a terminal goes to both processes; the client decides.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    worker = _Worker(connection, slots, progress, changes, job)
    try:
        worker.run()
    except (EOFError, BrokenPipeError, ConnectionResetError):
        # The client has gone, so there is nobody to serve or to tell.
        return
    finally:
        worker.close()
        connection.close()


def lower_priority() -> None:
    """Let others go before the calling thread (on macOS: before this process)."""
    if sys.platform == "win32":
        import ctypes

        kernel = ctypes.windll.kernel32
        kernel.SetThreadPriority(kernel.GetCurrentThread(), _THREAD_PRIORITY_BELOW_NORMAL)
    else:
        # On Linux this is the thread's own; threads of a decoder that it opens inherit it.
        os.nice(_NICENESS)


class _Worker:
    def __init__(
        self, connection: Connection[Any, Any], slots: Any, progress: Any, changes: Any, job: Job
    ) -> None:
        self._connection = connection
        self._pixels = np.frombuffer(slots, np.uint8)
        self._progress = progress
        self._changes = changes
        self._meter = ChangeMeter()
        self._job = job
        self._index = job.index
        self._slot_bytes = self._index.width_px * self._index.height_px * 3
        self._labourer = threading.Thread(target=self._labour, name="decoding")
        self._wake = threading.Condition()
        self._order: Read | None = None
        self._is_hurried = self._is_stopping = False
        self._exact: FrameReader | None = None
        self._warming: FrameReader | None = None
        self._next_frame = job.first_frame
        self._last_frame, self._last_step = job.first_frame, 0
        self._guess: int | None = None
        self._ahead: tuple[int, NDArray[np.uint8]] | None = None
        self._converter = PictureConverter(
            self._index.orientation, self._index.width_px, self._index.height_px
        )
        self._copy = WarmCopy(
            self._index.width_px,
            self._index.height_px,
            self._index.orientation,
            n_frames=job.last_frame - job.first_frame + 1,
            budget_bytes=job.budget_bytes,
        )

    def close(self) -> None:
        with self._wake:
            self._is_stopping = True
            self._wake.notify()
        self._labourer.join()

    def run(self) -> None:
        """Talk to the client; whatever needs the clip itself is left to the other thread."""
        self._labourer.start()
        while True:
            if self._guess is not None and not self._connection.poll(0):
                self._look_ahead(self._guess)
                continue
            message = self._connection.recv()
            if isinstance(message, Stop):
                return
            if isinstance(message, Hurry):
                self._is_hurried = True
            elif message.is_exact or message.frame not in self._copy:
                with self._wake:
                    self._is_hurried = False
                    self._order = message
                    self._wake.notify()
            else:
                self._connection.send(self._put(message, self._light(message.frame), False))

    @property
    def _is_warm(self) -> bool:
        return self._next_frame > self._job.last_frame

    def _labour(self) -> None:
        """Decode what is ordered; between orders, warm."""
        try:
            lower_priority()
            while not self._is_stopping:
                with self._wake:
                    if self._order is None and self._is_warm and not self._is_stopping:
                        self._wake.wait()
                    order, self._order = self._order, None
                if order is not None:
                    self._connection.send(self._answer(order))
                elif not self._is_warm and not self._is_stopping:
                    self._warm_one()
        except (BrokenPipeError, ConnectionResetError):
            return  # the client has gone, as the other thread finds out too
        except Exception:  # noqa: BLE001 - not swallowed: it ends the process
            # A bug must not leave the client waiting: without this process it starts another.
            traceback.print_exc()
            os._exit(1)
        finally:
            for reader in (self._exact, self._warming):
                if reader is not None:
                    reader.close()

    def _answer(self, request: Read) -> Served | Dropped | Failed:
        try:
            if self._exact is None:
                self._exact = FrameReader(self._index, keep_bytes=_KEEP_BYTES)
            stored = self._exact.decode(
                request.frame, lambda: self._is_hurried or self._is_stopping
            )
        except DeliveryLabError as problem:
            return Failed(request.number, problem.what, problem.where, problem.remedy)
        if stored is None:
            return Dropped(request.number)
        return self._put(request, self._converter.convert(stored), True)

    def _put(self, request: Read, picture: NDArray[np.uint8], is_exact: bool) -> Served:
        begin = request.slot * self._slot_bytes
        self._pixels[begin : begin + picture.size].reshape(picture.shape)[:] = picture
        height_px, width_px = picture.shape[:2]
        return Served(request.number, request.frame, is_exact, width_px, height_px)

    def _light(self, frame: int) -> NDArray[np.uint8]:
        ahead, self._ahead = self._ahead, None
        step = frame - self._last_frame
        # A steady hand goes on as it went.
        is_steady = step != 0 and (step == self._last_step or abs(step) == 1)
        guess = frame + step
        self._guess = guess if is_steady and guess in self._copy else None
        self._last_frame, self._last_step = frame, step
        if ahead is not None and ahead[0] == frame:
            return ahead[1]
        return self._copy.picture(frame)

    def _look_ahead(self, frame: int) -> None:
        self._guess = None
        self._ahead = (frame, self._copy.picture(frame))

    def _warm_one(self) -> None:
        try:
            if self._warming is None:
                # One thread, so that the window keeps the other cores to itself.
                self._warming = FrameReader(self._index, n_threads=1, keep_bytes=0)
            stored = self._warming.decode(
                self._next_frame, lambda: self._order is not None or self._is_stopping
            )
            if stored is None:
                return
            self._copy.add(self._next_frame, stored)
            self._changes[self._next_frame] = self._meter.change(self._next_frame, stored)
        except ClipError:
            # That frame stays cold; whoever asks for it is told why.
            pass
        self._next_frame += 1
        self._progress[1] = self._copy.held_bytes
        self._progress[0] = self._next_frame - self._job.first_frame
        if self._is_warm and self._warming is not None:
            self._warming.close()
            self._warming = None
