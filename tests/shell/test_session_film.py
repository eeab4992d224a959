"""Times and ball of a stage's clip, as answers in words and as edits."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import SetDelivery, replace
from deliverylab.core.model.timing import TimeDoubt
from deliverylab.core.tracking.ball import BallFlight
from tests.core.metrics.flown import even, flown, thrown_m
from tests.shell.conftest import MARKS_A, SCALE, camera_of, delivery_of

FRAMES = np.arange(7, 19)


def thrown(rate_hz, radar_m_s=38.0):
    """Return a delivery whose ball flies at 38 m/s, filmed at 240 and stored at 30."""
    places = thrown_m((FRAMES - 6) / 240.0)
    return flown(places, even(60, 30, rate_hz), FRAMES, release_s=6 / 30, radar_m_s=radar_m_s)


def fallen(rate_hz):
    """Return a delivery with a ball that falls for a quarter of a second."""
    frames = np.arange(10, 71, 6)
    since_s = (frames - 10) / 240.0
    places = np.tile([1.0, 0.0, 1.9], (len(frames), 1))
    places[:, 2] -= 0.5 * 9.80665 * since_s**2
    return flown(places, even(80, 30, rate_hz), frames)


@pytest.fixture
def show(session):
    def put(delivery):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
        session.select("athlete", delivery.name)
        return session

    return put


def test_a_clip_in_order_has_no_matters(show):
    assert show(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE)).time_matters("athlete") == ()


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
    assert session.place_ball("athlete", found) == "Found in 3 frames, 7 to 9."
    assert session.undo_stack.count() == n_steps + 1
    session.undo()
    assert len(session.camera("athlete").track("ball")) == 0
    missed = replace_reason(found, "nothing in these frames flies like a ball")
    assert session.place_ball("athlete", missed).startswith("Not found: nothing in these frames")
    assert session.undo_stack.count() == n_steps + 1


def replace_reason(found, reason):
    return BallFlight(
        rows=found.rows[:0], xy_px=found.xy_px[:0], u_px=found.u_px[:0], speed_px_s=np.nan,
        reason=reason,
    )  # fmt: skip


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


def test_the_read_out_is_kept_per_row_and_undone(show):
    session = show(delivery_of("Bo 1"))
    session.set_read_out("athlete", 0.0144, 0.0036)
    camera = session.camera("athlete")
    assert (camera.row_time_s, camera.u_row_time_s) == pytest.approx((2e-5, 5e-6))
    assert session.read_out_s("athlete") == pytest.approx((0.0144, 0.0036))
    session.undo()
    assert session.read_out_s("athlete") == (0.0, 0.0)
    with pytest.raises(InputValueError, match="so slowly"):
        session.set_read_out("athlete", 2.0, 0.0)


def test_looking_a_clip_over_again_brings_repair_and_doubts_back(session, clip):
    doubt = TimeDoubt(kind="ramp", frames=((3, 9),), reason="r", remedy="do")
    from deliverylab.core.store.clips import clip_reference

    camera = camera_of(clip=clip_reference(clip, None), n_frames=24)
    camera = replace(camera, timing=replace(camera.timing, doubts=(doubt,)))
    session.add_delivery(delivery_of("Bo 1", cameras=(camera,)))
    shares = []
    report = session.look_work("athlete")(shares.append)
    assert shares
    # nothing is wrong with the clip, so the doubt goes
    assert session.take_look("athlete", report)
    assert session.camera("athlete").timing.doubts == ()
    assert not session.take_look("athlete", report)
    session.undo()
    assert session.camera("athlete").timing.doubts == (doubt,)
