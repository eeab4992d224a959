"""Times of a stage's clip, as answers in words and as edits."""

from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import SetDelivery, replace
from deliverylab.core.model.timing import TimeDoubt
from tests.shell.conftest import MARKS_A, SCALE, camera_of, delivery_of


@pytest.fixture
def show(session):
    def put(delivery):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
        session.select("athlete", delivery.name)
        return session

    return put


def test_a_clip_in_order_has_no_matters(show):
    assert show(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE)).time_matters("athlete") == ()


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
