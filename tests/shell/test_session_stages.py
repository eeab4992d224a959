"""How the two deliveries are shown."""

from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import SetDelivery
from tests.shell.conftest import MARKS_A, SCALE, camera_of, delivery_of, figure_tracks


@pytest.fixture
def mixed(session):
    """The athlete from the open side, the model from behind."""
    tracks = figure_tracks([24, 144, 180])
    for name, view in (("Bo 1", "open-side"), ("Kim", "rear")):
        camera = camera_of(marks=MARKS_A, scale=SCALE, tracks=tracks, view=view)
        delivery = delivery_of(name, cameras=(camera,))
        session.project.apply(SetDelivery(name=name, delivery=delivery))
    session.set_pair("Bo 1", "Kim")
    return session


def test_one_is_laid_over_the_other_and_taken_off_again(placed_pair):
    heard = []
    placed_pair.display_changed.connect(lambda: heard.append(placed_pair.arrangement))
    placed_pair.lay_over(True)
    placed_pair.lay_over(False)
    placed_pair.show_curves(True)
    placed_pair.show_curves(False)
    assert heard == ["over", "beside", "curves", "beside"]


def test_two_planes_are_not_laid_over_each_other_and_the_reason_is_said(mixed):
    with pytest.raises(InputValueError, match="open side, the other from the rear") as raised:
        mixed.lay_over(True)
    assert "same view" in raised.value.remedy
    assert mixed.arrangement == "beside"


def test_what_was_laid_over_stands_beside_while_nothing_can_be_laid_over(placed_pair):
    placed_pair.lay_over(True)
    model = placed_pair.state("model").delivery
    placed_pair.select("model", None)
    assert placed_pair.arrangement == "beside"
    placed_pair.select("model", model)
    assert placed_pair.arrangement == "over"
    placed_pair.select("model", None)
    with pytest.raises(InputValueError, match="no model"):
        placed_pair.lay_over(True)


def test_of_different_views_only_some_readings_are_compared(mixed):
    found = mixed.differences()
    metrics = {one.metric for one in found}
    comparable = {one.metric for one in found if one.verdict != "not_comparable"}
    assert 0 < len(comparable) < len(metrics)
    # times need no view in common, angles do, and each of the rest says why
    assert {"lift_to_contact_time", "contact_to_release_time"} <= comparable
    assert "trunk_forward_tilt" not in comparable
    assert all(one.reason for one in found if one.verdict == "not_comparable")


def test_the_note_counts_them(mixed):
    assert mixed.views_note().startswith("Different views, open side and rear: ")
    n_comparable = len(
        {one.metric for one in mixed.differences() if one.verdict != "not_comparable"}
    )
    assert f": {n_comparable} of " in mixed.views_note()


def test_one_view_needs_no_note(placed_pair):
    assert placed_pair.views_note() == ""
