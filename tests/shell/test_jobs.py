from __future__ import annotations

import gc
import threading

import shiboken6
from PySide6.QtCore import QObject, QThread

from deliverylab.shell.jobs import Job, wait_for_jobs


def test_a_job_runs_elsewhere_and_answers_here(qtbot):
    heard = []

    def work(report):
        report(0.5)
        return threading.get_ident()

    job = Job(work)
    job.progressed.connect(lambda share: heard.append((share, QThread.currentThread())))
    with qtbot.waitSignal(job.finished) as blocker:
        job.start()
    assert blocker.args[0] != threading.get_ident()
    assert [(share, thread.isMainThread()) for share, thread in heard] == [(0.5, True)]
    assert not job.is_running


def test_an_error_is_handed_over(qtbot):
    def work(report):
        raise ValueError("no")

    job = Job(work)
    errors = []
    job.failed.connect(errors.append)
    with qtbot.waitSignals([job.failed, job.ended]):
        job.start()
    assert [str(error) for error in errors] == ["no"]


def test_a_cancelled_job_says_only_that_it_ended(qtbot):
    go = threading.Event()
    said = []

    def work(report):
        go.wait(5)
        report(0.9)
        said.append("went on")

    job = Job(work)
    job.finished.connect(said.append)
    job.failed.connect(said.append)
    with qtbot.waitSignal(job.ended):
        job.start()
        job.cancel()
        go.set()
    assert said == []


def test_a_job_outlives_whom_it_was_for_and_is_stopped(qtbot):
    go = threading.Event()
    said = []
    owner = QObject()

    def work(report):
        go.wait(5)
        report(0.5)

    job = Job(work, owner)
    job.finished.connect(said.append)
    with qtbot.waitSignal(job.ended):
        job.start()
        shiboken6.delete(owner)
        go.set()
    assert job.is_cancelled
    assert said == []


def test_a_job_nobody_holds_is_finished_all_the_same(qtbot):
    done = threading.Event()
    Job(lambda _report: done.set()).start()
    assert done.wait(5)
    wait_for_jobs()
    qtbot.wait(10)


class _Loop:
    """Something that only the collector can free, and that tells on which thread it was."""

    def __init__(self, told):
        self.me, self._told = self, told

    def __del__(self):
        self._told.append(threading.current_thread())


def test_garbage_is_never_collected_on_a_working_thread(qtbot):
    told = []

    def work(report):
        for _ in range(1000):
            _Loop(told)
        kept = [[] for _ in range(200_000)]  # what makes the collector start
        report(0.5)
        return len(kept)

    job = Job(work)
    with qtbot.waitSignal(job.finished):
        job.start()
    assert gc.isenabled(), "it is switched on again"
    gc.collect()
    assert len(told) == 1000
    assert set(told) == {threading.main_thread()}


def test_jobs_by_the_hundred_end(qtbot):
    ended = []
    for n in range(200):
        job = Job(lambda report, n=n: report(0.5) or n, QObject() if n % 3 == 0 else None)
        job.ended.connect(lambda n=n: ended.append(n))
        job.start()
    qtbot.waitUntil(lambda: len(ended) == 200, timeout=20_000)
