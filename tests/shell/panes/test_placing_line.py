from __future__ import annotations

import pytest

from deliverylab.shell.panes.placing_line import PlacingLinePane
from tests.shell.conftest import MARKS_A, SCALE, delivery_of, figure_tracks


@pytest.fixture
def line(session, qtbot):
    made = PlacingLinePane(session, [])
    qtbot.addWidget(made)
    made.resize(900, 30)
    made.show()
    return made


def _said(line):
    line.refresh()
    return line._label.text()


def test_nothing_is_said_without_a_delivery_or_while_places_are_hidden(line, session):
    assert _said(line) == ""
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE))
    assert _said(line)
    session.hide_places("athlete", True)
    assert _said(line) == ""


def test_it_says_what_is_here_what_comes_next_and_how_far_it_is(line, session):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE))
    assert _said(line).startswith("0 of 16 here for results · 2 more points give ")
    assert _said(line).endswith(" · 0 of 45 in all")
    session.add_delivery(delivery_of("Kim 1", marks=MARKS_A, tracks=figure_tracks([24, 144, 180])))
    session.select("athlete", "Kim 1")
    session.activate("athlete")
    assert "results have all their points" in _said(line)


def test_without_events_it_counts_for_the_tracker(line, session):
    session.add_delivery(delivery_of("Bo 1", scale=SCALE))
    assert _said(line) == "0 of 20 here for tracking · 0 of 200 for tracking"


def test_where_there_is_little_room_what_comes_next_is_said_alone(line, session):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE))
    line.resize(240, 30)
    assert _said(line).startswith("2 more points give")
    assert line.text.startswith("0 of 16 here")
