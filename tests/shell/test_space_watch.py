from __future__ import annotations

import pytest
from PySide6.QtCore import QObject

from deliverylab.shell.space_watch import REST_MS, SpaceFound, SpaceWatch, space_work
from tests.shell.filmed_twice import WRONG, filmed_twice, named

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


def test_the_wrong_points_are_listed_with_how_far_they_are_off(watch, qtbot):
    watch.want(watch, is_wanted=True)
    points = _found(watch, qtbot).points
    assert {(one.place.landmark, one.place.frame) for one in points} == {w[:2] for w in WRONG}
    for one in points:
        moved = next(abs(dy) for key, _, dy in WRONG if key == one.place.landmark)
        assert one.gap_px == pytest.approx(moved, abs=12.0)
        assert one.delivery == "Ana 3"


def test_a_correction_takes_a_point_off_the_list(watch, filmed_twice, qtbot):
    watch.want(watch, is_wanted=True)
    _found(watch, qtbot)
    key, frame, dy_px = WRONG[0]
    session = filmed_twice
    session.look_at_point("Ana 3", "rear", frame, key)
    at = session.camera("athlete").track(key).at(frame)
    session.place_landmark("athlete", key, at.x_px, at.y_px - dy_px)
    assert watch.is_due
    left = [one.place.landmark for one in _found(watch, qtbot).points]
    assert left == [WRONG[1][0]]


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
    assert watch.found.points == ()


def test_the_work_touches_nothing_of_the_window():
    shares = []
    found = space_work(named(3, "Ana 3"), None)(shares.append)
    assert found.model_figure is None
    assert found.limbs
    assert shares == sorted(shares)
