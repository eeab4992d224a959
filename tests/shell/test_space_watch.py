from __future__ import annotations

import pytest
from PySide6.QtCore import QObject

from deliverylab.shell.space_watch import REST_MS, SpaceFound, SpaceWatch, space_work
from tests.shell.filmed_twice import filmed_twice, named

__all__ = ["filmed_twice"]


@pytest.fixture
def watch(filmed_twice, qapp):
    return SpaceWatch(filmed_twice)


def _found(watch, qtbot):
    qtbot.waitUntil(lambda: not watch.is_due and not watch.is_working, timeout=10_000)
    return watch.found


def test_nothing_is_worked_out_until_somebody_wants_it(watch, qtbot):
    qtbot.wait(REST_MS + 50)
    assert watch.found == SpaceFound()
    watch.want(watch, is_wanted=True)
    found = _found(watch, qtbot)
    assert found.athlete_figure.delivery == "Ana 3"
    assert found.model_figure.delivery == "Bo model"


def test_what_nobody_wants_any_more_is_left(watch, filmed_twice, qtbot):
    who = QObject()
    watch.want(who, is_wanted=True)
    before = _found(watch, qtbot)
    watch.want(who, is_wanted=False)
    filmed_twice.select("model", None)
    qtbot.wait(REST_MS + 50)
    assert watch.found is before
    assert watch.is_due


def test_without_a_solve_it_says_so_at_once(placed_pair, qapp):
    watch = SpaceWatch(placed_pair)
    watch.want(watch, is_wanted=True)
    assert not watch.is_due
    assert watch.found.athlete_figure is None
    assert watch.found.limbs == ()


def test_the_work_touches_nothing_of_the_window():
    shares = []
    found = space_work(named(3, "Ana 3"), None)(shares.append)
    assert found.model_figure is None
    assert found.limbs
    assert shares == sorted(shares)
