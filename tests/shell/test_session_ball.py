"""The ball in a stage's clip, as answers in words and as edits."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.tracking.ball import BallFlight
from tests.shell.conftest import MARKS_A, SCALE, delivery_of
from tests.shell.thrown import fallen, thrown


@pytest.fixture
def show(session):
    def put(delivery):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
        session.select("athlete", delivery.name)
        return session

    return put


def test_ball_and_radar_that_agree_say_so(show):
    said = show(thrown(240.0)).ball_said("athlete")
    assert said.places == "Placed in 12 frames, 7 to 18."
    assert said.speed.startswith("38")
    assert said.radar.startswith("38.0")
    assert (said.level, said.offer) == ("good", None)
    assert "agree" in said.verdict


def test_a_wrong_rate_is_mended_by_the_offer_and_undone(show):
    session = show(thrown(30.0))
    said = session.ball_said("athlete")
    assert said.offer.capture_rate_hz == 240.0
    session.accept(said.offer)
    assert session.ball_said("athlete").level == "good"
    session.undo()
    assert session.camera("athlete").timing.capture_rate_hz == 30.0


def test_without_a_radar_reading_and_without_a_ball_that_is_said(show):
    assert "radar reading" in show(thrown(240.0, None)).ball_said("athlete").verdict
    assert show(delivery_of("Bo 1")).ball_said("athlete").places == "Not placed yet."


def test_what_the_search_needs_is_said_before_it_starts(show):
    with pytest.raises(InputValueError, match="release is not marked"):
        show(delivery_of("Bo 1", scale=SCALE)).ball_work("athlete")
    with pytest.raises(InputValueError, match="how large the ball is"):
        show(delivery_of("Kim 1", marks=MARKS_A)).ball_work("athlete")


def test_a_found_ball_is_one_step_and_one_that_is_not_found_is_none(show):
    session = show(thrown(240.0))
    session.take_ball_away("athlete")
    assert len(session.camera("athlete").track("ball")) == 0
    n_steps = session.undo_stack.count()
    found = BallFlight(
        rows=np.array([7, 8, 9]), xy_px=np.array([[1.0, 2.0], [3.0, 4.0], [5.0, 6.0]]),
        u_px=np.full(3, 0.4), speed_px_s=1.0,
    )  # fmt: skip
    assert session.place_ball("athlete", found) == (True, "Found in 3 frames, 7 to 9.")
    assert session.undo_stack.count() == n_steps + 1
    session.undo()
    assert len(session.camera("athlete").track("ball")) == 0
    missed = BallFlight(
        rows=found.rows[:0], xy_px=found.xy_px[:0], u_px=found.u_px[:0], speed_px_s=np.nan,
        reason="nothing in these frames flies like a ball",
    )  # fmt: skip
    is_found, said = session.place_ball("athlete", missed)
    assert not is_found
    assert said == "Not found: nothing in these frames flies like a ball."
    assert session.undo_stack.count() == n_steps + 1


def test_a_falling_ball_gives_g_and_an_offer_where_the_rate_is_wrong(show):
    session = show(fallen(240.0))
    said = session.fall_said("athlete", 0, 79)
    assert said.verdict.startswith("Your g is 9.8")
    assert (said.level, said.offer) == ("good", None)
    session = show(fallen(120.0))
    said = session.fall_said("athlete", 0, 79)
    assert said.level == "caution"
    assert said.offer.capture_rate_hz == 240.0
    session.accept(said.offer)
    assert session.fall_said("athlete", 0, 79).level == "good"
    # stored at 30 and taken at 240: a ± that is small too keeps its digits
    said = show(fallen(30.0)).fall_said("athlete", 0, 79)
    assert not said.verdict.endswith("± 0.00 m/s²")
    with pytest.raises(InputValueError, match="positions of the ball"):
        session.fall_said("athlete", 0, 12)
