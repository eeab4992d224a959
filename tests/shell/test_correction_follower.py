from __future__ import annotations

import pytest

from deliverylab.core.errors import UsageError
from deliverylab.shell.correction_follower import CorrectionFollower
from deliverylab.shell.session_tracking import Correction


@pytest.fixture
def follower(pair):
    return CorrectionFollower(pair)


@pytest.fixture
def correction(pair):
    return Correction("Bo 1", pair.camera("athlete").name, "left_wrist", 24)


def test_a_run_of_corrections_is_one_job(follower, pair, correction, monkeypatch, qtbot):
    jobs, taken = [], []
    monkeypatch.setattr(
        pair, "correction_work", lambda ones: (jobs.append(ones), lambda _report: "done")[1]
    )
    monkeypatch.setattr(pair, "take_corrections", lambda _edit, done: taken.append(done))
    for one in (correction, correction._replace(frame=25), correction):
        pair.corrected.emit(one)
    assert follower.is_busy
    qtbot.waitUntil(lambda: not follower.is_busy)
    assert jobs == [(correction, correction._replace(frame=25))]
    assert taken == ["done"]


def test_a_failure_is_told_and_the_next_can_begin(follower, pair, correction, monkeypatch, qtbot):
    def work(_report):
        raise UsageError("no picture", where="Bo 1", remedy="find the clip")

    monkeypatch.setattr(pair, "correction_work", lambda _ones: work)
    with qtbot.waitSignal(follower.failed) as told:
        pair.corrected.emit(correction)
    assert "no picture" in str(told.args[0])
    qtbot.waitUntil(lambda: not follower.is_busy)
