from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.store.projectfile import open_project_file
from deliverylab.core.workflow.placing_left import Need, nearest_text, needed
from deliverylab.core.workflow.placing_plan import Ask, placing_plan

EXAMPLE = Path(__file__).parents[3] / "examples" / "demo.delivery"
replace = msgspec.structs.replace


def _filmed_by(delivery, number, **parts):
    camera = replace(delivery.cameras[number], **parts)
    return replace(delivery, cameras=(camera,), space=None)


@pytest.fixture(scope="module")
def deliveries():
    return open_project_file(EXAMPLE).record.deliveries


def _with(delivery, asks, truth):
    """Return the delivery with these asks placed where they really are."""
    camera = delivery.cameras[0]
    tracks = dict(camera.tracks)
    for frame, key in asks:
        position = truth.track(key).at(frame)
        assert position is not None
        tracks[key] = camera.track(key).replaced(frame, position)
        camera = replace(camera, tracks=tracks)
    return replace(delivery, cameras=(camera,))


def _result(delivery, need):
    return next(
        one for one in evaluate(delivery) if (one.metric, one.event) == (need.metric, need.event)
    )


@pytest.mark.parametrize("number", [0, 1])
@pytest.mark.parametrize("who", [0, 1])
@pytest.mark.parametrize("n_before", [0, 7, 20, 40])
def test_after_placing_what_it_says_the_result_is_there(deliveries, who, number, n_before):
    truth = deliveries[who].cameras[number]
    bare = _filmed_by(deliveries[who], number, tracks={}, occluded={})
    asks = [
        ask
        for ask in placing_plan(bare, bare.cameras[0]).asks
        if truth.track(ask.landmark).at(ask.frame) is not None
    ]
    begun = _with(bare, asks[:n_before], truth)
    needs = needed(begun, begun.cameras[0])
    n_asked = 0
    for need in needs:
        if any(truth.track(key).at(frame) is None for frame, key in need.missing):
            continue
        n_asked += 1
        assert need.otherwise or "not placed at" in _result(begun, need).reason
        after = _result(_with(begun, need.missing, truth), need)
        # shown, or absent for another reason: turned out of the picture, too unsure
        assert after.is_shown or "not placed" not in after.reason
    assert n_asked or not needs
    # and nothing that lacks a point is left out
    named = {(need.metric, need.event) for need in needs}
    for result in evaluate(begun):
        if "not placed at" in result.reason:
            assert (result.metric, result.event) in named


def test_the_fewest_points_come_first(deliveries):
    bare = _filmed_by(deliveries[0], 0, tracks={}, occluded={})
    needs = needed(bare, bare.cameras[0])
    able = [len(need.missing) for need in needs if not need.otherwise]
    assert able == sorted(able)
    assert able[0] == 2
    assert nearest_text(needs).startswith("2 more points give stride")


def test_what_points_alone_do_not_give_comes_last_and_is_not_promised(deliveries):
    bare = _filmed_by(deliveries[0], 0, tracks={}, occluded={}, scale=None)
    needs = needed(bare, bare.cameras[0])
    assert all(need.otherwise for need in needs)
    assert nearest_text(needs) == ""
    unmarked = {key: mark for key, mark in bare.cameras[0].marks.items() if key != "leg_lift"}
    camera = replace(deliveries[0].cameras[0], tracks={}, occluded={}, marks=unmarked)
    needs = needed(replace(bare, cameras=(camera,)), camera)
    stride = next(need for need in needs if need.metric == "stride_length")
    assert stride.otherwise == "leg lift not marked"
    assert needs.index(stride) > max(needs.index(one) for one in needs if not one.otherwise)


def test_a_hidden_landmark_is_not_asked_for(deliveries):
    camera = deliveries[0].cameras[0]
    frame = camera.timing.frame_at(camera.marks["release"].time_s)
    bare = _filmed_by(deliveries[0], 0, tracks={}, occluded={"left_knee": (frame,)})
    knee = next(
        need
        for need in needed(bare, bare.cameras[0])
        if (need.metric, need.event) == ("lead_knee_flexion", "release")
    )
    assert knee.otherwise == "lead knee hidden at release"


def test_it_is_said_in_plain_words():
    def need(name, event, *missing, otherwise=""):
        asks = tuple(Ask(5, key) for key in missing)
        return Need(metric=name, name=name, event=event, missing=asks, otherwise=otherwise)

    tilt = need("Trunk forward tilt", "release", "neck")
    assert nearest_text([tilt]) == "1 more point gives trunk forward tilt at release"
    both = need("Stride length", "foot_plant", "left_ankle", "right_ankle")
    again = need("Stride", "foot_plant", "left_ankle")
    assert nearest_text([both, again]) == (
        "2 more points give stride length at foot plant and 1 more result"
    )
    assert nearest_text([]) == ""
    assert nearest_text([need("Stride", "", "neck", otherwise="no scale")]) == ""
