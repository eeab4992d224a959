from __future__ import annotations

from collections import deque
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtWidgets import QApplication, QWidget

from deliverylab.core.errors import ClipError
from deliverylab.core.video.cache import ServedFrame
from deliverylab.core.video.writer import write_clip
from deliverylab.shell.clip_feed import REST_MS, ClipFeed

N_FRAMES = 24


class FakeServer:
    """Answers as told: at once, late, or with an error; its descriptor is one end of a pipe."""

    def __init__(self, tmp_path: Path, *, is_late=False, error=None) -> None:
        self.is_late, self.error = is_late, error
        self.warm_fraction = 1.0
        self.is_closed = False
        self.asked: list[tuple[int, bool]] = []
        self.ready: deque[ServedFrame] = deque()
        self._file = (tmp_path / "pipe").open("w+b")

    def fileno(self) -> int:
        if self.is_closed:
            raise ClipError("the frame server is not running")
        return self._file.fileno()

    def _served(self, frame: int, *, exact: bool) -> ServedFrame:
        return ServedFrame(frame, exact, np.full((4, 6, 3), frame, np.uint8))

    def request(self, frame: int, *, exact: bool = False) -> None:
        self.fileno()
        self.asked.append((frame, exact))
        self.ready.append(self._served(frame, exact=exact))

    def fetch(self, frame, _timeout_s, *, exact=False):
        if self.error is not None:
            raise self.error
        if self.is_late:
            return None
        if self.asked[-1:] != [(frame, exact)]:
            self.request(frame, exact=exact)
        return self.ready.pop()

    def poll(self):
        return self.ready.popleft() if self.ready else None

    def close(self) -> None:
        if not self.is_closed:
            self.is_closed = True
            self._file.close()


@pytest.fixture
def feed_of(qapp, tmp_path):
    """Return a function that makes a feed over a fake server."""
    feeds = []

    def make(**answers) -> tuple[ClipFeed, FakeServer, list]:
        feed, server, arrived = ClipFeed(), FakeServer(tmp_path, **answers), []
        feed.picture_arrived.connect(lambda served: arrived.append((served.frame, served.is_exact)))
        feed._adopt(server)
        # a regular file is always readable: the notifier would spin
        feed._notifier.setEnabled(False)
        feeds.append(feed)
        return feed, server, arrived

    yield make
    for feed in feeds:
        feed.close()


def test_a_warm_picture_is_there_before_anything_is_painted(feed_of, qtbot):
    feed, _, arrived = feed_of()
    seen_at_paint = []

    class Painted(QWidget):
        def paintEvent(self, _event):  # noqa: N802 - Qt's name
            seen_at_paint.append(list(arrived))

    widget = Painted()
    qtbot.addWidget(widget)
    widget.show()
    qtbot.waitExposed(widget)
    seen_at_paint.clear()
    widget.update()
    feed.show(7)
    qtbot.waitUntil(lambda: bool(seen_at_paint))
    assert seen_at_paint[0] == [(7, False)]


def test_the_exact_picture_follows_when_the_hand_rests(feed_of, qtbot):
    feed, server, arrived = feed_of()
    for frame in (7, 8, 9):
        feed.show(frame)
    assert server.asked == [(7, False), (8, False), (9, False)]
    QApplication.processEvents()
    assert arrived == [(9, False)], "what the hand has passed is not waited for"
    qtbot.waitUntil(lambda: server.asked[-1] == (9, True), timeout=10 * REST_MS)
    while server.ready:
        feed._on_readable()
    assert arrived[-1] == (9, True)
    assert feed.is_exact


def test_exact_at_once_where_a_place_is_about_to_be_taken(feed_of):
    feed, server, arrived = feed_of()
    feed.show(7)
    feed.show_exact()
    assert arrived[-1] == (7, True)
    feed.show_exact()
    assert server.asked.count((7, True)) == 1, "it is exact already"


def test_a_late_picture_of_another_frame_is_not_shown(feed_of):
    feed, server, arrived = feed_of(is_late=True)
    feed.show(7)
    feed.show(8)
    feed._on_readable()
    assert arrived == []
    feed._on_readable()
    assert arrived == [(8, False)]
    assert not server.ready


def test_a_light_picture_never_replaces_the_exact_one(feed_of):
    feed, server, arrived = feed_of()
    feed.show(7)
    QApplication.processEvents()
    feed.show_exact()
    server.ready.append(ServedFrame(7, False, np.zeros((4, 6, 3), np.uint8)))
    feed._on_readable()
    assert arrived == [(7, False), (7, True)]


def test_a_frame_that_cannot_be_decoded_is_told(feed_of):
    error = ClipError("frame 7 cannot be decoded", where="a.mp4")
    feed, server, arrived = feed_of(error=error)
    said = []
    feed.failed.connect(said.append)
    feed.show(7)
    QApplication.processEvents()
    assert (said, arrived) == ([error], [])
    assert feed.is_open, "other frames may be fine"
    server.close()
    feed.show(8)
    assert not feed.is_open, "the process is gone"


def test_a_missing_file_is_told(qapp, tmp_path):
    feed, said = ClipFeed(), []
    feed.failed.connect(said.append)
    feed.open(tmp_path / "none.mp4")
    assert len(said) == 1
    assert not feed.is_open
    feed.show(3)
    feed.show_exact()
    feed.close()


def test_a_real_clip_is_shown_exactly(qtbot, tmp_path):
    pictures = [np.full((48, 64, 3), 8 * frame, np.uint8) for frame in range(N_FRAMES)]
    path = write_clip(tmp_path / "a.mp4", pictures, 60)
    feed, levels, warm = ClipFeed(), {}, []
    feed.picture_arrived.connect(
        lambda served: levels.update({(served.frame, served.is_exact): served.picture.mean()})
    )
    feed.warmed.connect(warm.append)
    feed.open(path)
    try:
        for frame in (17, 3):
            feed.show(frame)
            qtbot.waitUntil(lambda: (frame, True) in levels, timeout=20_000)  # noqa: B023
            # 8-bit colour conversion there and back costs a level or two
            assert levels[frame, True] == pytest.approx(8 * frame, abs=3)
        qtbot.waitUntil(lambda: warm[-1:] == [1.0], timeout=20_000)
    finally:
        feed.close()


def test_a_closed_clip_is_asked_for_nothing(qapp):
    feed = ClipFeed()
    feed.show(3)
    feed.show_exact()
    feed._fetch(3, 0.0, is_exact=True)  # as when it is closed while a picture is due
    assert not feed.is_open
    assert not feed.is_exact
