"""The picture of a stop, drawn beside the window."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.shell.walk_preview import WalkPreview

SIZE = (854, 480)


@pytest.fixture
def preview(placed_pair):
    made = WalkPreview(placed_pair)
    yield made
    made.close()


def test_the_picture_of_a_stop_comes_in_the_size_asked_for(preview, qtbot):
    with qtbot.waitSignal(preview.drawn, timeout=20_000) as caught:
        preview.ask(1, SIZE)
    index, picture = caught.args
    assert index == 1
    assert picture.shape == (480, 854, 3)
    assert len(np.unique(picture)) > 20


def test_of_many_stops_asked_for_the_last_one_counts(preview, qtbot):
    drawn = []
    preview.drawn.connect(lambda index, _picture: drawn.append(index))
    for index in (0, 1, 2):
        preview.ask(index, SIZE)
    qtbot.waitUntil(lambda: bool(drawn), timeout=20_000)
    assert drawn == [2]


def test_why_there_is_no_picture_is_told(preview, placed_pair, qtbot):
    placed_pair.set_pause(1, 5.0)
    placed_pair.remove_mark("athlete", "foot_contact")
    with qtbot.waitSignal(preview.failed, timeout=20_000) as caught:
        preview.ask(1, SIZE)
    assert "not marked" in caught.args[0].what


def test_a_stop_that_is_gone_is_not_drawn(preview, placed_pair, qtbot):
    with qtbot.assertNotEmitted(preview.drawn, wait=50), qtbot.assertNotEmitted(preview.failed):
        preview.ask(7, SIZE)


def test_closed_it_draws_nothing_more(preview, qtbot):
    with qtbot.assertNotEmitted(preview.drawn, wait=300):
        preview.ask(1, SIZE)
        preview.close()
    qtbot.waitUntil(lambda: preview._job is None, timeout=20_000)
    assert preview._frames is None
