from __future__ import annotations

import pytest

from deliverylab.core.model.clip_changes import SetMark
from deliverylab.core.workflow.suggesting import suggestions
from deliverylab.shell.suggest_watch import REST_MS, Asked, SuggestionWatch, suggestion_work
from tests.shell.filmed_twice import filmed_twice

__all__ = ["filmed_twice"]


@pytest.fixture
def watch(filmed_twice, qapp):
    return SuggestionWatch(filmed_twice)


def settled(watch, qtbot) -> None:
    qtbot.waitUntil(lambda: not watch.is_due and not watch.is_working, timeout=10_000)


def test_both_stages_clips_get_what_the_core_suggests(watch, filmed_twice, qtbot):
    watch.look()
    settled(watch, qtbot)
    for side in ("athlete", "model"):
        delivery, camera = filmed_twice.delivery(side), filmed_twice.camera(side)
        assert filmed_twice.suggestions(side) == suggestions(delivery, camera)
    assert any(each.is_found for each in filmed_twice.suggestions("athlete"))


def test_a_mark_asks_for_nothing_and_a_position_does(watch, filmed_twice, qtbot):
    watch.look()
    settled(watch, qtbot)
    heard = []
    filmed_twice.suggestions_changed.connect(heard.append)
    camera = filmed_twice.camera("athlete")
    change = SetMark(delivery="Ana 3", camera=camera.name, event="release", mark=None)
    filmed_twice.project.apply(change)
    assert not watch.is_due
    filmed_twice.show_frame("athlete", 250)
    at = filmed_twice.camera("athlete").track("left_knee").at(250)
    filmed_twice.place_landmark("athlete", "left_knee", at.x_px, at.y_px + 3.0)
    assert watch.is_due
    qtbot.waitUntil(lambda: watch.is_working, timeout=20 * REST_MS)
    settled(watch, qtbot)


def test_a_delivery_that_left_takes_its_suggestions_along(watch, filmed_twice, qtbot):
    watch.look()
    settled(watch, qtbot)
    filmed_twice.select("model", None)
    assert filmed_twice.suggestions("model") == ()
    filmed_twice.new_project()
    qtbot.waitUntil(lambda: not watch.is_due and not watch.is_working, timeout=10_000)
    assert filmed_twice.suggestions("athlete") == ()


def test_the_work_touches_nothing_of_the_window(pair):
    shares = []
    asked = Asked("athlete", pair.delivery("athlete"), pair.camera("athlete"))
    found = suggestion_work((asked,))(shares.append)
    assert shares == [1.0]
    assert found["athlete"].camera == "side"
    assert not any(each.is_found for each in found["athlete"].found)
