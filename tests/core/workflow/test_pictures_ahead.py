"""Pictures read ahead: each once, in any order asked, and from one thread."""

from __future__ import annotations

import threading

import numpy as np
import pytest

from deliverylab.core.workflow.pictures_ahead import N_AHEAD, PicturesAhead


def reading(asked, threads):
    def read(frame):
        asked.append(frame)
        threads.add(threading.get_ident())
        return np.full((2, 2), frame, np.uint8)

    return read


def test_frames_in_order_are_each_read_once_beside_the_caller():
    asked, threads = [], set()
    with PicturesAhead(reading(asked, threads), list(range(20))) as ahead:
        given = [int(ahead(frame)[0, 0]) for frame in range(20)]
    assert given == asked == list(range(20))
    assert len(threads) == 1
    assert threading.get_ident() not in threads


def test_no_more_is_read_ahead_than_said():
    asked = []
    with PicturesAhead(reading(asked, set()), list(range(50))) as ahead:
        ahead(0)
    assert max(asked) <= N_AHEAD


def test_going_elsewhere_gives_what_is_asked_for():
    asked = []
    with PicturesAhead(reading(asked, set()), [0, 2, 4, 6, 8, 30, 31]) as ahead:
        assert [int(ahead(frame)[0, 0]) for frame in (4, 30, 31, 0, 17)] == [4, 30, 31, 0, 17]


def test_what_goes_wrong_is_raised_where_it_is_asked_for():
    def read(frame):
        raise ValueError(frame)

    with PicturesAhead(read, [3, 4]) as ahead, pytest.raises(ValueError, match="3"):
        ahead(3)
