from __future__ import annotations

import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.shell.session import Session
from tests.shell.several import fill_several


@pytest.fixture
def several(session):
    return fill_several(session)


def _names(session):
    return tuple(side.name for side in session.sides() if side is not None)


def test_the_pair_stands_on_either_side_at_first(several):
    assert _names(several) == ("Bo 1", "Kim")


def test_own_deliveries_can_stand_together_and_apart_again(several):
    offered = [choice.text for choice in several.own_choices()]
    assert offered == ["Bo 1", "Bo on 2026-05-01", "all of Bo"]
    for text, n in (("Bo on 2026-05-01", 3), ("all of Bo", 4), ("Bo 1 + Bo 3", 2)):
        several.choose_own(text)
        assert several.record.own_set == text
        assert len(several.sides()[0].deliveries) == n
        counted = {one.n_a for one in several.differences() if one.d is not None}
        assert counted == {n}
    several.choose_own("Bo 1")
    assert several.record.own_set == ""


def test_it_can_be_undone(several):
    several.choose_own("all of Bo")
    several.undo()
    assert _names(several) == ("Bo 1", "Kim")


def test_partners_are_clips_earlier_days_and_published_groups(several):
    offered = {choice.text: choice.group for choice in several.partner_choices()}
    assert offered == {
        "Kim": "together",
        "Bo on 2026-04-01": "earlier",
        "Bo 2": "others",
        "Bo 3": "others",
        "Bo 4": "others",
        "published youth": "published",
        "published high school": "published",
        "published college": "published",
    }


def test_a_published_group_needs_no_second_clip(several):
    several.select("model", None)
    assert several.sides()[1] is None
    assert several.differences() == ()
    several.choose_partner("published college")
    assert _names(several) == ("Bo 1", "published college")
    stride = next(d for d in several.differences() if d.metric == "stride_length")
    assert (stride.n_b, stride.verdict) != (1, "not_comparable")


def test_who_picks_a_clip_does_not_want_published_means_any_more(several):
    several.choose_partner("published college")
    several.select("model", "Kim")
    assert _names(several) == ("Bo 1", "published college")
    several.select("model", "Bo 2")
    assert _names(several) == ("Bo 1", "Bo 2")


def test_an_earlier_day_comes_onto_the_second_stage(several):
    several.choose_partner("Bo on 2026-04-01")
    assert several.delivery("model").name == "Bo 4"
    assert _names(several) == ("Bo 1", "Bo 4")
    several.choose_partner("Bo 2 + Bo 3")
    assert several.delivery("model").name == "Bo 2"
    assert _names(several) == ("Bo 1", "Bo 2 + Bo 3")


def test_a_set_goes_with_its_pair(several):
    several.choose_own("Bo 1 + Bo 2")
    several.select("athlete", "Bo 3")
    assert _names(several) == ("Bo 3", "Kim")


def test_nobody_is_refused_and_nothing_changes(several):
    for choose in (several.choose_own, several.choose_partner):
        with pytest.raises(NotFoundError):
            choose("all of Cy")
    assert _names(several) == ("Bo 1", "Kim")


def test_those_that_may_be_picked_are_of_one_athlete(several):
    assert several.may_be_together("athlete") == ("Bo 1", "Bo 2", "Bo 3", "Bo 4")
    assert several.may_be_together("model") == ("Kim",)
    several.select("model", "Bo 2")
    assert several.may_be_together("model") == ("Bo 2", "Bo 3", "Bo 4")


def test_differences_are_made_once_until_somebody_is_edited(several):
    before = several.differences()
    assert several.differences() is before
    several.show_frame("athlete", 30)
    assert several.differences() is before
    several.mark_event("athlete", "release", 0.76)
    assert several.differences() is not before


def test_progress_is_read_beside_the_projects_file(several, tmp_path):
    assert several.athlete_findings() is None
    several.save_as(tmp_path / "a.delivery")
    several.set_pair("Bo 1", "Bo 2")  # not saved: what is in the window counts
    found = several.athlete_findings()
    assert len(found.kept) == 5
    assert found.athletes[0] == "Bo"


def test_an_empty_session_has_nobody(qapp):
    session = Session()
    assert session.sides() == (None, None)
    assert session.own_choices() == session.partner_choices() == ()
    assert session.may_be_together("athlete") == session.may_be_together("model") == ()
