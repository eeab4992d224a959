"""The clip while it is made."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from deliverylab.core.errors import OutputError
from deliverylab.shell.session_walkthrough import MadeWalk
from deliverylab.shell.walk_making import WalkMaking

CLIP = MadeWalk(Path("clip.mp4"))


@pytest.fixture
def making(qapp):
    return WalkMaking()


def test_one_clip_at_a_time_tells_its_share_and_its_path(making, qtbot):
    may_go_on, shares = threading.Event(), []
    making.changed.connect(lambda: shares.append(making.share))

    def work(report):
        report(0.5)
        may_go_on.wait(10.0)
        return CLIP

    making.begin(work)
    qtbot.waitUntil(lambda: 0.5 in shares)
    making.begin(lambda _report: MadeWalk(Path("other.mp4")))
    with qtbot.waitSignal(making.finished) as caught:
        may_go_on.set()
    assert caught.args == [CLIP]
    qtbot.waitUntil(lambda: not making.is_busy)
    assert making.made == CLIP.path


def test_stopped_it_says_so_and_nothing_is_made(making, qtbot):
    begun = threading.Event()

    def work(report):
        while True:
            begun.set()
            report(0.1)

    making.begin(work)
    begun.wait(10.0)
    with qtbot.waitSignal(making.stopped), qtbot.assertNotEmitted(making.finished):
        making.cancel()
    assert making.made is None
    assert not making.is_busy


def test_what_went_wrong_is_told(making, qtbot):
    def work(_report):
        raise OutputError("the walkthrough cannot be written", where="there")

    with qtbot.waitSignal(making.failed) as caught:
        making.begin(work)
    assert isinstance(caught.args[0], OutputError)
