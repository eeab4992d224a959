from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import replace
from deliverylab.core.model.plan_changes import SetWalkthrough
from deliverylab.core.model.walkthrough import Stop, Walkthrough
from tests.shell.conftest import MARKS_A, camera_of, delivery_of


def test_a_project_opens_at_its_first_event(session, tmp_path):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A))
    session.save_as(tmp_path / "a.delivery")
    session.open_project(tmp_path / "a.delivery")
    assert session.event_at_frame("athlete") == "leg_lift"
    session.add_delivery(delivery_of("Kim 4"))
    assert session.state("model").frame == 0


def test_left_handers_are_mirrored_where_two_hands_meet(session):
    session.add_delivery(delivery_of("Kim 4", hand="left"))
    assert not session.is_mirrored
    session.add_delivery(delivery_of("Bo 1"))
    assert session.is_mirrored
    session.set_mirrored(False)
    assert not session.is_mirrored
    session.new_project()
    session.add_delivery(delivery_of("Kim 4", hand="left"))
    session.add_delivery(delivery_of("Lou 2", hand="left"))
    assert not session.is_mirrored
    session.set_mirrored(True)
    assert session.is_mirrored


def test_a_trim_keeps_what_is_shown_inside(session):
    session.add_delivery(delivery_of("Bo 1"))
    shown = []
    session.frame_changed.connect(lambda side, frame: shown.append((side, frame)))
    session.set_trim("athlete", 20, 100)
    assert shown == [("athlete", 20)]
    session.show_frame("athlete", 180)
    assert session.state("athlete").frame == 100
    session.set_trim("athlete", 20, 60)
    assert session.state("athlete").frame == 60
    assert session.undo_stack.undoText() == "Trim the clip"
    session.undo()
    session.undo()
    assert session.camera("athlete").last_frame is None
    for first, last in ((50, 50), (60, 20)):
        with pytest.raises(InputValueError):
            session.set_trim("athlete", first, last)


def test_a_delivery_keeps_its_last_camera(session):
    session.add_delivery(delivery_of("Bo 1"))
    with pytest.raises(InputValueError):
        session.remove_camera("Bo 1", "side")
    with pytest.raises(InputValueError):
        session.add_camera("Bo 1", camera_of())


def test_adding_a_partner_is_one_step(session):
    session.add_delivery(delivery_of("Bo 1"))
    session.add_delivery(delivery_of("Kim 4"))
    assert session.undo_stack.count() == 2
    session.undo()
    assert (session.record.pair, session.delivery_names()) == (None, ("Bo 1",))
    session.redo()
    assert session.record.pair == ("Bo 1", "Kim 4")


def test_a_pairs_script_follows_a_new_name_and_goes_with_its_delivery_in_one_step(pair):
    script = Walkthrough(pair=("Bo 1", "Kim model"), stops=(Stop(event="release"),))
    pair.project.apply(SetWalkthrough(pair=script.pair, walkthrough=script))
    pair.set_delivery("Bo 1", replace(pair.delivery("athlete"), name="Bo 2"))
    assert [each.pair for each in pair.record.walkthroughs] == [("Bo 2", "Kim model")]
    pair.undo()
    assert pair.record.walkthroughs == (script,)
    pair.remove_delivery("Kim model")
    assert pair.record.walkthroughs == ()
    pair.undo()
    assert pair.record.walkthroughs == (script,)
