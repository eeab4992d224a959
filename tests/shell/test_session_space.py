from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import SetDelivery, replace
from deliverylab.core.model.field import CameraStand
from tests.core.workflow.two_phones import left_in_place, solved_two_phones, two_phone_delivery
from tests.shell.conftest import delivery_of


@pytest.fixture
def put(session):
    def put_all(*deliveries):
        for delivery in deliveries:
            session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
        session.select("athlete", deliveries[0].name)
        return session

    return put_all


def test_without_a_delivery_nothing_is_told(session):
    assert session.field_source("athlete") is None
    assert len(session.field("athlete").points) == 6
    assert session.left_in_place_since("athlete") == ()
    assert session.solved_stands("athlete") == ()
    assert session.space_freshness("athlete") == ""
    assert session.cameras_are_solved("athlete")
    assert session.looks_along_deg("athlete") is None


def test_where_the_phone_looks_follows_view_hand_and_turn(put):
    session = put(delivery_of("Bo 1", view="open-side"))
    assert session.looks_along_deg("athlete") == 90.0
    session.set_stand("athlete", CameraStand(turn_deg=-45.0))
    assert session.looks_along_deg("athlete") == 45.0
    session.set_view("athlete", "top")
    assert session.looks_along_deg("athlete") is None
    left = put(delivery_of("Kim 1", hand="left", view="open-side"))
    assert left.looks_along_deg("athlete") == -90.0


def test_cameras_are_taken_only_from_who_was_clicked_with_the_same_cameras(put):
    first, second = two_phone_delivery(1), two_phone_delivery(2, name="Ana 2")
    session = put(left_in_place(second, ""), first.delivery, delivery_of("Bo 1"))
    assert session.left_in_place_since("athlete") == ("Ana 1",)
    session.leave_cameras_in_place("athlete", "Ana 1")
    assert session.field_source("athlete").name == "Ana 1"
    assert session.field("athlete") == first.delivery.field
    with pytest.raises(InputValueError):
        session.leave_cameras_in_place("athlete", "Bo 1")
    session.leave_cameras_in_place("athlete", "")
    assert session.field_source("athlete").name == "Ana 2"


def test_cameras_of_a_delivery_that_is_gone_hold_no_more(put):
    gone = replace(solved_two_phones().delivery, name="Ana 2", cameras_from="Ana 9")
    session = put(gone)
    assert session.field_source("athlete").name == "Ana 2"
    assert session.space_freshness("athlete") == "field"
    assert not session.cameras_are_solved("athlete")


def test_a_solve_works_on_a_copy_and_is_kept_in_one_step(put):
    filmed = two_phone_delivery(1).delivery
    session = put(filmed)
    assert not session.cameras_are_solved("athlete")
    shares = []
    outcome = session.solve_work("athlete")(shares.append)
    assert session.delivery("athlete") == filmed
    assert shares
    session.take_solution(outcome)
    assert session.cameras_are_solved("athlete")
    assert session.space_freshness("athlete") == ""
    assert len(session.solved_stands("athlete")) == 2
    clocks = session.clock_work("athlete")(shares.append)
    assert clocks.pdf.startswith(b"%PDF")
    assert clocks.curves[0].e_n is not None
    session.undo()
    assert session.delivery("athlete") == filmed
