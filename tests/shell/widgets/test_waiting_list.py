from __future__ import annotations

import pytest

from deliverylab.shell.session_detecting import Queue, WaitingPlace
from deliverylab.shell.widgets.look_card import LookCard
from deliverylab.shell.widgets.waiting_list import N_SHOWN, NO_MARKS, NONE_NEEDED, WaitingList


def queue_of(frames, **fields):
    return Queue(
        places=tuple(
            WaitingPlace(landmark="left_wrist", frame=n, what=f"Wrist, frame {n}", why="faint")
            for n in frames
        ),
        **fields,
    )


@pytest.fixture
def waiting(pair, monkeypatch):
    """What waits: a test changes it."""
    now = {"queue": queue_of((10, 20, 30))}
    monkeypatch.setattr(pair, "waiting", lambda _side: now["queue"])
    return now


@pytest.fixture
def listed(pair, waiting, qtbot):
    made = WaitingList(pair, "athlete", LookCard)
    qtbot.addWidget(made)
    return made


def test_steps_go_round_and_say_where_they_are(listed, pair):
    shown = []
    assert listed.head == "Left to you: 3"
    for direction in (1, 1, 1, 1, -1):
        listed.step(direction)
        shown.append(pair.state("athlete").frame)
    assert shown == [10, 20, 30, 10, 30]
    assert listed.head == "Left to you: 3 of 3"


def test_once_one_is_done_the_next_is_shown_unless_unwanted(listed, pair, waiting):
    listed.step(1)
    waiting["queue"] = queue_of((20, 30))
    listed.refresh()
    assert pair.state("athlete").frame == 20
    listed.set_going_on(False)
    waiting["queue"] = queue_of((30,))
    listed.refresh()
    assert pair.state("athlete").frame == 20


def test_a_long_list_is_cut_and_the_rest_is_counted(listed, waiting):
    waiting["queue"] = queue_of(range(N_SHOWN + 5), n_others=7, has_marks=False)
    listed.refresh()
    assert len(listed.cards) == N_SHOWN
    assert listed.head == f"Left to you: {N_SHOWN + 5}"
    assert listed.note.startswith(NO_MARKS)
    assert "7 more" in listed.note


def test_where_nothing_waits_nothing_is_shown(listed, waiting):
    waiting["queue"] = queue_of((), n_others=2)
    listed.refresh()
    assert listed.head == NONE_NEEDED
    waiting["queue"] = Queue()
    listed.refresh()
    assert listed.isHidden()
