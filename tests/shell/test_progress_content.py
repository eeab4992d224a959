from __future__ import annotations

from deliverylab.core.workflow.visits import Findings, Kept
from deliverylab.shell.progress_content import ProgressReading
from tests.shell.several import of_bo


def _findings(n):
    days = ("2026-05-01", "2026-06-01")
    return Findings(tuple(Kept(of_bo(f"Bo {k}", days[k % 2]), "a.delivery") for k in range(n)), ())


def test_it_measures_one_after_the_other_and_tells_the_courses(qtbot):
    reading = ProgressReading(_findings(4))
    steps = []
    reading.progressed.connect(lambda done, of: steps.append((done, of)))
    with qtbot.waitSignal(reading.finished, timeout=10_000) as told:
        reading.read("Bo")
    assert steps == [(0, 4), (1, 4), (2, 4), (3, 4)]
    courses, remarks = told.args
    assert courses
    assert remarks == ()


def test_who_is_given_up_is_not_told(qtbot):
    reading = ProgressReading(_findings(4))
    told = []
    reading.finished.connect(lambda *args: told.append(args))
    reading.read("Bo")
    reading.read("Bo")
    qtbot.waitUntil(lambda: bool(told), timeout=10_000)
    qtbot.wait(50)
    assert len(told) == 1
