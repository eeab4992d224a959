from __future__ import annotations

import pytest
from msgspec.structs import replace

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.timing import TimeDoubt, TimeRepair, Timing
from deliverylab.core.workflow.clip_times import time_offers


def delivery_of(span_s=0.145, **facts):
    camera = Camera(
        name="main", view="rear", width_px=640, height_px=480,
        timing=Timing(n_frames=300, stored_rate="30", **facts),
        marks={"foot_contact": Mark(time_s=1.0), "release": Mark(time_s=1.0 + span_s)},
    )  # fmt: skip
    return Delivery(name="a", athlete=Athlete(name="Ana"), cameras=(camera,))


def test_a_believable_clip_is_offered_nothing():
    assert time_offers(delivery_of()) == ()


@pytest.mark.parametrize("factor", [2, 4, 8, 16])
def test_the_factor_that_makes_it_believable_is_offered_and_accepted(factor):
    delivery = delivery_of(0.145 * factor)
    (offer,) = time_offers(delivery)
    assert (offer.capture_rate_hz, offer.factor) == (30.0 * factor, factor)
    project = Project(ProjectRecord(deliveries=(delivery,)))
    before = project.record
    inverse = project.apply(offer.change)
    assert time_offers(project.delivery("a")) == ()
    project.apply(inverse)
    assert project.record == before


def test_a_hint_by_the_ball_is_offered_too():
    (offer,) = time_offers(delivery_of(), rate_by_ball_hz=120.0)
    assert (offer.kind, offer.factor) == ("capture rate by ball", 4.0)


def test_repair_and_doubt_can_be_taken_back():
    doubt = TimeDoubt(kind="ramp", frames=((3, 9),), reason="r", remedy="do")
    repair = TimeRepair(times_s=tuple(k / 30 for k in range(300)), note="n")
    stored, trusted = time_offers(delivery_of(repair=repair, doubts=(doubt,)))
    timing = delivery_of(repair=repair, doubts=(doubt,)).cameras[0].timing
    assert stored.change.timing == replace(timing, repair=None)
    assert trusted.change.timing == replace(timing, doubts=())
