"""Work that takes longer than a blink: done beside the window, with progress and a way to stop."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal, Slot


class JobCancelledError(Exception):
    """Raised inside the work when the user has stopped it."""


class Job(QObject):
    """One piece of work on a thread of the pool; all signals arrive in the window's thread.

    Parameters
    ----------
    work : callable
        ``work(report)``; it calls ``report(share)`` with 0 … 1 now and then, which raises
        `JobCancelledError` once the job is stopped.
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
    _reported = Signal(float)
    _done = Signal(object, object)

    def __init__(
        self, work: Callable[[Callable[[float], None]], Any], parent: QObject | None = None
    ) -> None:
        # no child of anybody: it must not be taken apart while its thread is at work
        super().__init__()
        if parent is not None:
            parent.destroyed.connect(self.cancel)
        self.is_cancelled = False
        self.is_running = False
        self._runnable = _Runnable(self, work)
        # emitted on the worker's thread, received on this object's own
        self._reported.connect(self._on_reported)
        self._done.connect(self._on_done)

    def start(self) -> None:
        """Begin, as soon as a thread is free."""
        self.is_running = True
        _RUNNING.add(self)
        QThreadPool.globalInstance().start(self._runnable)

    def cancel(self, *_ignored: object) -> None:
        """Stop at the next report of progress; nothing more is emitted but `ended`."""
        self.is_cancelled = True

    def report(self, share: float) -> None:
        """Tell how far the work is; called by the work on its thread.

        Raises
        ------
        JobCancelledError
            The user has stopped it.
        """
        if self.is_cancelled:
            raise JobCancelledError
        self._reported.emit(share)

    @Slot(float)
    def _on_reported(self, share: float) -> None:
        if not self.is_cancelled:
            self.progressed.emit(share)

    @Slot(object, object)
    def _on_done(self, result: object, error: object) -> None:
        self.is_running = False
        _RUNNING.discard(self)
        if not self.is_cancelled:
            if error is None:
                self.finished.emit(result)
            else:
                self.failed.emit(error)
        self.ended.emit()


class _Runnable(QRunnable):
    def __init__(self, job: Job, work: Callable[[Callable[[float], None]], Any]) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self._job = job
        self._work = work

    def run(self) -> None:
        result: object = None
        error: object = None
        try:
            result = self._work(self._job.report)
        except BaseException as problem:  # noqa: BLE001 - it is handed over, not swallowed
            error = problem
        self._job._done.emit(result, error)  # noqa: SLF001 - one pair of classes


# A job that nobody holds must not be taken apart while its thread is at work.
_RUNNING: set[Job] = set()


def wait_for_jobs(timeout_ms: int = 5000) -> None:
    """Stop all jobs and wait until their threads are idle: called when the window closes."""
    for job in tuple(_RUNNING):
        job.cancel()
    QThreadPool.globalInstance().waitForDone(timeout_ms)
