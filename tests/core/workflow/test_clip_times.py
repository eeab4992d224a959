from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.timing import TimeDoubt, TimeRepair, Timing
from deliverylab.core.workflow.clip_times import rate_by_ball_hz, stepped_rate_hz, time_offers
from deliverylab.core.workflow.health import project_health
from deliverylab.core.workflow.intake import camera_from_clip
from tests.core.metrics.flown import even, flown, thrown_m
from tests.core.video.doctored import doctored_clip


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


@pytest.mark.parametrize("span_s", [0.145 / 2, 0.145 / 4])
def test_too_quick_a_throw_is_offered_a_lower_rate_and_the_stored_one_is_none(span_s):
    delivery = delivery_of(span_s * 2, capture_rate_hz=60.0)
    (offer,) = time_offers(delivery)
    if span_s == 0.145 / 2:
        assert offer.change.timing.capture_rate_hz is None
        assert "as fast as life" in offer.text
    else:
        assert offer.factor == 0.5
        assert "2 times faster than life" in offer.text


@pytest.mark.parametrize(("stated_hz", "factor"), [(30.0, 8.0), (120.0, 2.0), (480.0, 0.5)])
def test_the_rate_is_told_by_the_ball_where_the_radar_contradicts(stated_hz, factor):
    # filmed at 240 and stored at 30: real time comes out too long, or too short, by the factor
    frames = np.arange(7, 19)
    places = thrown_m((frames - 6) / 240.0)
    told = {
        rate_hz: flown(places, even(30, 30, rate_hz), frames, release_s=6 / 30, radar_m_s=38.0)
        for rate_hz in (stated_hz, 240.0)
    }
    wrong, right = told[stated_hz], told[240.0]
    assert rate_by_ball_hz(wrong, wrong.cameras[0]) == pytest.approx(stated_hz * factor)
    assert rate_by_ball_hz(right, right.cameras[0]) is None
    without = replace(wrong, ball_speed_m_s=None)
    assert rate_by_ball_hz(without, without.cameras[0]) is None


def test_no_rate_beyond_any_camera_is_offered():
    camera = delivery_of(capture_rate_hz=4000.0).cameras[0]
    assert stepped_rate_hz(camera, 4.0) is None
    assert stepped_rate_hz(camera, 2.0) == 8000.0
    assert stepped_rate_hz(camera, None) is None


def test_lost_pictures_under_even_stamps_are_a_doubt_that_the_check_repeats(tmp_path):
    path = doctored_clip(tmp_path / "c.mp4", "lost-even-stamps", np.random.default_rng(2))
    camera, _ = camera_from_clip(path, project_path=None, view="open-side")
    (doubt,) = camera.timing.doubts
    assert doubt.kind == "dropped"
    delivery = Delivery(name="a", athlete=Athlete(name="Ana"), cameras=(camera,))
    found = project_health(ProjectRecord(deliveries=(delivery,)), tmp_path / "p.delivery")
    assert any(doubt.reason in each.what and "withheld" in each.what for each in found)
