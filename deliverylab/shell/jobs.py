"""Work that takes longer than a blink: done beside the window, with progress and a way to stop.

The thread that works knows nothing of Qt.  It puts what it has to say into a queue, and a timer of
the window takes it out.  A Qt object that is touched, or taken apart, on another thread can lock
the program for good: a signal holds one of Qt's locks while it waits for Python's, and the other
thread the other way round.  Python's collector runs on whatever thread happens to allocate, so it
is kept off the working threads as well.
"""

from __future__ import annotations

import gc
import queue
import threading
import time
from collections.abc import Callable, Iterator
from typing import Any, Final, NamedTuple

from PySide6.QtCore import QObject, QTimer, Signal

POLL_MS: Final = 15
# Between two looks for garbage while a job runs; numpy's arrays go without it.
COLLECT_S: Final = 2.0


class JobCancelledError(Exception):
    """Raised inside the work when the user has stopped it."""


class _Outcome(NamedTuple):
    result: object
    error: BaseException | None


class _Line:
    """What the working thread and the window share: plain Python, no Qt."""

    def __init__(self) -> None:
        self.said: queue.SimpleQueue[float | _Outcome] = queue.SimpleQueue()
        self.is_cancelled = False

    def report(self, share: float) -> None:
        if self.is_cancelled:
            raise JobCancelledError
        self.said.put(float(share))

    def work_off(self, work: Callable[[Callable[[float], None]], Any]) -> None:
        try:
            outcome = _Outcome(work(self.report), None)
        except BaseException as problem:  # noqa: BLE001 - it is handed over, not swallowed
            outcome = _Outcome(None, problem)
        self.said.put(outcome)


class Job(QObject):
    """One piece of work on a thread of its own; all signals are the window's own.

    Parameters
    ----------
    work : callable
        ``work(report)``; it calls ``report(share)`` with 0 … 1 now and then, which raises
        `JobCancelledError` once the job is stopped.  It must not touch anything of Qt.
    parent : QObject, optional
        Whom the work is for: it is stopped when that goes.

    Signals
    -------
    progressed(float)
        Share done, 0 … 1.
    finished(object)
        What the work returned.
    failed(object)
        The exception that it raised.
    ended()
        Finished, failed or cancelled: it will say no more.
    """

    progressed = Signal(float)
    finished = Signal(object)
    failed = Signal(object)
    ended = Signal()

    def __init__(
        self, work: Callable[[Callable[[float], None]], Any], parent: QObject | None = None
    ) -> None:
        # no child of anybody: the work may outlive whom it was for
        super().__init__()
        if parent is not None:
            parent.destroyed.connect(self.cancel)
        self.is_running = False
        self._line = _Line()
        self._thread = threading.Thread(
            target=self._line.work_off, args=(work,), name="job", daemon=True
        )
        self._timer = QTimer(self)
        self._timer.setInterval(POLL_MS)
        self._timer.timeout.connect(self._on_polled)

    @property
    def is_cancelled(self) -> bool:
        """Whether it was told to stop."""
        return self._line.is_cancelled

    def start(self) -> None:
        """Begin."""
        self.is_running = True
        _RUNNING.begin(self)
        self._thread.start()
        self._timer.start()

    def cancel(self, *_ignored: object) -> None:
        """Stop at the next report of progress; nothing more is emitted but `ended`."""
        self._line.is_cancelled = True

    def wait(self, timeout_s: float) -> bool:
        """Wait until the thread is idle, or the time is up; return whether it is idle."""
        self._thread.join(timeout_s)
        return not self._thread.is_alive()

    def _on_polled(self) -> None:
        _RUNNING.collect_now_and_then()
        share: float | None = None
        outcome: _Outcome | None = None
        while outcome is None:
            try:
                said = self._line.said.get_nowait()
            except queue.Empty:
                break
            if isinstance(said, _Outcome):
                outcome = said
            else:
                share = said
        if share is not None and not self.is_cancelled:
            self.progressed.emit(share)
        if outcome is not None:
            self._end(outcome)

    def _end(self, outcome: _Outcome) -> None:
        self._timer.stop()
        self._thread.join()
        self.is_running = False
        _RUNNING.end(self)
        if not self.is_cancelled:
            if outcome.error is None:
                self.finished.emit(outcome.result)
            else:
                self.failed.emit(outcome.error)
        self.ended.emit()


class _Running:
    """The jobs at work: held here, and while there are any the collector runs in the window only."""

    def __init__(self) -> None:
        self._jobs: set[Job] = set()
        self._was_collecting = True
        self._collected_s = 0.0

    def __iter__(self) -> Iterator[Job]:
        return iter(tuple(self._jobs))

    def begin(self, job: Job) -> None:
        if not self._jobs:
            self._was_collecting = gc.isenabled()
            self._collected_s = time.monotonic()
            gc.disable()
        self._jobs.add(job)

    def end(self, job: Job) -> None:
        self._jobs.discard(job)
        if not self._jobs and self._was_collecting:
            gc.enable()

    def collect_now_and_then(self) -> None:
        if time.monotonic() - self._collected_s > COLLECT_S:
            gc.collect(1)
            self._collected_s = time.monotonic()


_RUNNING: Final = _Running()


def wait_for_jobs(timeout_s: float = 5.0) -> None:
    """Stop all jobs and wait until their threads are idle: called when the window closes."""
    until = time.monotonic() + timeout_s
    for job in _RUNNING:
        job.cancel()
    for job in _RUNNING:
        if job.wait(max(0.0, until - time.monotonic())):
            _RUNNING.end(job)
