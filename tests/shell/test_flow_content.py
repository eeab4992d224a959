from __future__ import annotations

from deliverylab.shell.flow_content import (
    ALL_DONE,
    PASSED_OVER,
    RESULTS_DONE,
    TRACKING_DONE,
    paused_text,
)
from tests.shell.conftest import SCALE, delivery_of, figure_tracks
from tests.shell.test_session_flow import ALL_MARKS, RESULTS_AT


def _said(session, tracks, **fields):
    session.add_delivery(delivery_of("Bo 1", scale=SCALE, tracks=tracks, **fields))
    return paused_text(session, "athlete")


def test_what_is_left_is_told_by_what_it_is_for(session):
    marks = {"marks": ALL_MARKS}
    for frames, said in (
        ([24], PASSED_OVER),
        (list(RESULTS_AT), RESULTS_DONE),
        (range(240), ALL_DONE),
    ):
        session.new_project()
        assert _said(session, figure_tracks(list(frames)), **marks)[0] == said


def test_the_rest_of_the_figure_comes_last(session):
    tracks = figure_tracks(list(range(240)))
    del tracks["left_toe"]
    assert _said(session, tracks, marks=ALL_MARKS) == (TRACKING_DONE, "Go on")


def test_without_events_nothing_is_said_of_results(session):
    assert _said(session, figure_tracks([0])) == (PASSED_OVER, "Go on")
