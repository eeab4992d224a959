from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.workflow.review import to_look_at
from tests.benchmarks.bench_review import filmed, listed, with_tracks
from tests.core.workflow.reviewed import as_found, without


@pytest.fixture(scope="module")
def clean():
    return filmed(7001, 240.0, 0.7)[0]


def test_what_a_tracker_lost_at_an_event_is_listed_and_what_is_hidden_is_not(clean):
    camera = clean.cameras[0]
    at = camera.timing.frame_at(camera.marks["foot_contact"].time_s)
    key = "left_knee" if clean.athlete.hand == "right" else "right_knee"
    track = without(as_found(camera.track(key)), range(at - 4, at + 5))
    lost = with_tracks(clean, {key: track})
    (look,) = [each for each in listed(lost) if each.reason == "lost"]
    assert (look.landmark, look.frame) == (key, at)
    assert "no position at foot contact" in look.text
    hidden = msgspec.structs.replace(lost.cameras[0], occluded={key: (at,)})
    looks = listed(msgspec.structs.replace(lost, cameras=(hidden,)))
    assert all(each.reason != "lost" for each in looks)


def test_an_unsure_position_that_costs_a_result_is_listed(clean):
    camera = clean.cameras[0]
    key = "left_knee" if clean.athlete.hand == "right" else "right_knee"
    delivery = with_tracks(clean, {key: as_found(camera.track(key), u_px=9.0)})
    record = ProjectRecord(deliveries=(delivery,))
    looks = [e for e in to_look_at(record, delivery, evaluate(delivery)) if e.reason == "unsure"]
    assert looks
    assert {each.landmark for each in looks} == {key}
    assert "times a hand's" in looks[0].text
    assert all(each.reason != "unsure" for each in to_look_at(record, clean, evaluate(clean)))


def test_what_was_bridged_at_an_event_is_to_be_placed_there(clean):
    camera = clean.cameras[0]
    at = camera.timing.frame_at(camera.marks["release"].time_s)
    key = f"{clean.athlete.hand}_elbow"
    looks = listed(with_tracks(clean, {key: as_found(camera.track(key), origin="filled")}))
    (look,) = [each for each in looks if each.reason == "bridged" and each.frame == at]
    assert look.landmark == key
    assert look.text.startswith("bridged, not seen, at release, and ")
    tracked = listed(with_tracks(clean, {key: as_found(camera.track(key))}))
    assert all(each.reason != "bridged" for each in tracked)
