from __future__ import annotations

import pytest

from deliverylab.shell.look_watch import REST_MS, LookWatch
from tests.shell.filmed_twice import WRONG, filmed_twice

__all__ = ["filmed_twice"]


@pytest.fixture
def watch(filmed_twice, qapp):
    return LookWatch(filmed_twice)


def _settled(watch, qtbot):
    qtbot.waitUntil(lambda: not watch.is_due, timeout=10_000)
    return watch.looks


def test_it_follows_unseen_but_later(watch, filmed_twice, qtbot):
    filmed_twice.remove_landmark("athlete", "neck")
    qtbot.wait(REST_MS + 50)
    assert watch.looks == ()
    looks = _settled(watch, qtbot)
    assert {key for key, _, _ in WRONG} <= {look.landmark for look in looks}


def test_what_is_right_stays_off_the_list_until_it_is_moved(watch, filmed_twice, qtbot):
    watch.want(watch, is_wanted=True)
    first = _settled(watch, qtbot)[0]
    with qtbot.waitSignal(watch.updated):
        filmed_twice.say_right(first)
    assert first not in watch.looks
    assert first not in _settled(watch, qtbot)
    filmed_twice.undo_stack.undo()
    assert first in _settled(watch, qtbot)
    filmed_twice.undo_stack.redo()
    filmed_twice.look_at_point(first.delivery, first.camera, first.frame, first.landmark)
    at = filmed_twice.camera("athlete").track(first.landmark).at(first.frame)
    filmed_twice.place_landmark("athlete", first.landmark, at.x_px + 60.0, at.y_px)
    looks = _settled(watch, qtbot)
    assert any((look.landmark, look.frame) == (first.landmark, first.frame) for look in looks)


def test_one_clip_alone_is_looked_through_too(placed_pair, qtbot):
    watch = LookWatch(placed_pair)
    watch.want(watch, is_wanted=True)
    assert isinstance(_settled(watch, qtbot), tuple)
