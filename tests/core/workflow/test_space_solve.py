"""Solves through the project, against the truth that was filmed."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.cameras.control import rubber
from deliverylab.core.cameras.pinhole import camera_from
from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.space_sight import space_sight
from deliverylab.core.model.field import CameraStand
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.synthetic.field_filming import Phone
from deliverylab.core.vocabulary.field import BY_KEY
from deliverylab.core.workflow.space_solve import solve
from tests.core.workflow.two_phones import left_in_place, solved_two_phones, two_phone_delivery

replace = msgspec.structs.replace
RATES = (60.0, 60.0)


def project_of(*deliveries):
    return Project(ProjectRecord(deliveries=deliveries))


def cameras_changed(delivery, **values):
    return replace(
        delivery, cameras=tuple(replace(camera, **values) for camera in delivery.cameras)
    )


def test_clocks_and_cameras_come_out_within_what_is_stated():
    solved = solved_two_phones()
    space = solved.delivery.space
    assert space.trust == "good"
    assert space.findings == ()
    assert space.has_body
    assert (space.n_agreeing, solved.outcome.messages) == (space.n_starts, ())
    truth = solved.phones.true_offsets_s[1]
    # 60 frames a second in the second clip: frames are 17 ms apart; u is 0.17 ms
    assert space.camera("rear").offset_s == pytest.approx(truth, abs=0.5e-3)
    assert abs(space.camera("rear").offset_s - truth) < 3.0 * space.u_offset_s("rear")
    u = np.sqrt(np.diag(np.array(space.covariance)))
    for number, (found, true) in enumerate(zip(space.cameras, solved.phones.cameras, strict=True)):
        apart = np.array(found.numbers) - true.parameters
        assert np.all(np.abs(apart) < 3.0 * u[7 * number : 7 * number + 7])


def test_undo_gives_back_what_was_there():
    solved = solved_two_phones()
    project = Project(solved.before)
    inverse = project.apply(solved.outcome.changes)
    assert project.record == solved.record
    project.apply(inverse)
    assert project.record == solved.before


def test_cameras_without_a_scale_get_the_one_that_follows_and_own_scales_stay():
    solved = solved_two_phones()
    assert all(camera.scale.is_solved for camera in solved.delivery.cameras)
    own = PlanarScale(a=Point(0.0, 0.0), b=Point(100.0, 0.0), length_m=1.0)
    first, second = solved.delivery.cameras
    kept = replace(solved.delivery, cameras=(replace(first, scale=own), second))
    project = project_of(kept)
    project.apply(solve(project, kept.name).changes)
    assert project.camera(kept.name, first.name).scale == own
    # solved again from the same: the same
    assert project.camera(kept.name, second.name).scale == second.scale


def test_a_tripod_moved_within_a_session_is_named_and_the_others_are_solved_together():
    first = two_phone_delivery(1, RATES)
    side, rear = first.cameras
    turned = rear.parameters + np.array([np.radians(2.0), 0, 0, 0, 0, 0, 0])
    moved = (side, camera_from(turned, rear.size_px))
    others = (
        left_in_place(two_phone_delivery(2, RATES, name="Ana 2", cameras=first.cameras), "Ana 1"),
        left_in_place(two_phone_delivery(3, RATES, name="Ana 3", cameras=moved), "Ana 1"),
    )
    project = project_of(first.delivery, *others)
    project.apply(solve(project, "Ana 2").changes)
    one, two, three = (delivery.space for delivery in project.record.deliveries)
    assert one.deliveries == two.deliveries == ("Ana 1", "Ana 2")
    assert one.cameras[1].numbers == two.cameras[1].numbers
    assert one.cameras[1].offset_s != two.cameras[1].offset_s
    assert not one.is_refused
    assert not two.is_refused
    truth = two_phone_delivery(2, RATES, cameras=first.cameras).true_offsets_s[1]
    assert abs(two.cameras[1].offset_s - truth) < 3.0 * two.u_offset_s("rear")
    assert three.is_refused
    assert [(found.key, found.where) for found in three.findings] == [("moved_camera", "Ana 3")]
    assert "Ana 1" in three.findings[0].what
    assert project.delivery("Ana 3").cameras[0].scale is None


def test_exchanged_cones_are_named_and_the_solve_is_kept_with_its_residuals():
    # landmarks at the events alone: nothing slow is to be solved
    project = project_of(two_phone_delivery(5, only_events=True).delivery)
    project.apply(solve(project, "Ana 1").changes)
    delivery = project.delivery("Ana 1")
    assert all(camera.scale.is_solved for camera in delivery.cameras)
    side, rear = delivery.cameras
    control = dict(rear.control)
    control["cone_left"], control["cone_right"] = control["cone_right"], control["cone_left"]
    wrong = replace(delivery, cameras=(side, replace(rear, control=control)))
    project = project_of(wrong)
    outcome = solve(project, wrong.name)
    project.apply(outcome.changes)
    space = project.delivery(wrong.name).space
    assert space.is_refused
    (swapped,) = [found for found in space.findings if found.key == "swapped"]
    assert (swapped.what, swapped.where) == ("cone left and cone right are exchanged", "rear")
    assert max(each.gap_px for each in space.residuals) > 5.0
    # a scale that came from the last solve goes with it
    assert [camera.scale for camera in project.delivery(wrong.name).cameras] == [None, None]
    assert space_sight(project.delivery(wrong.name)).absence is not None


def test_landmarks_at_the_events_alone_are_joined_by_the_marks():
    phones = two_phone_delivery(5, only_events=True)
    outcome = solve(project_of(phones.delivery), "Ana 1")
    space = outcome.solution
    assert not space.has_body
    assert not space.is_refused
    assert "clicks alone" in outcome.messages[0]
    # seven events, each in the nearest of frames 17 ms apart: 4.8 ms / √7
    assert space.u_offset_s("rear") == pytest.approx(1.9e-3, rel=0.1)
    apart = space.camera("rear").offset_s - phones.true_offsets_s[1]
    assert abs(apart) < 3.0 * space.u_offset_s("rear")
    # clocks are not mixed with cameras
    assert np.all(np.array(space.covariance)[-1, :-1] == 0.0)


def test_without_movement_or_a_shared_mark_it_says_what_is_missing():
    delivery = two_phone_delivery(5, only_events=True, is_marked=False).delivery
    with pytest.raises(InputValueError, match="clocks") as caught:
        solve(project_of(delivery), "Ana 1")
    assert "open-side and rear" in caught.value.where
    assert "mark the same event" in caught.value.remedy


def test_without_marks_the_movement_finds_the_clock():
    phones = two_phone_delivery(4, is_marked=False)
    space = solve(project_of(phones.delivery), "Ana 1").solution
    assert space.camera("rear").offset_s == pytest.approx(phones.true_offsets_s[1], abs=0.5e-3)


def test_marks_that_are_wrong_by_a_second_are_named_and_do_no_harm():
    phones = two_phone_delivery(4)
    side, rear = phones.delivery.cameras
    marks = {
        event: replace(mark, time_s=mark.time_s + (1.0 if event == "release" else 0.0))
        for event, mark in rear.marks.items()
        if event in {"release", "leg_lift"}
    }
    wrong = replace(phones.delivery, cameras=(side, replace(rear, marks=marks)))
    outcome = solve(project_of(wrong), "Ana 1")
    found_s = outcome.solution.camera("rear").offset_s
    assert found_s == pytest.approx(phones.true_offsets_s[1], abs=0.5e-3)
    assert outcome.messages == (
        "release is marked at different instants in open-side and rear: check both marks",
    )


def test_a_body_that_is_wrong_as_a_whole_is_not_laid_on_a_cone():
    delivery = two_phone_delivery(12, (60.0, 60.0)).delivery
    side, rear = delivery.cameras
    other = {"left": "right", "right": "left"}
    tracks = {
        f"{other[key.partition('_')[0]]}_{key.partition('_')[2]}"
        if key.partition("_")[0] in other
        else key: track
        for key, track in rear.tracks.items()
    }
    wrong = replace(delivery, cameras=(side, replace(rear, tracks=tracks)))
    space = solve(project_of(wrong), "Ana 1").solution
    refused = [found for found in space.findings if found.severity == "refused"]
    assert [found.key for found in refused] == ["wrong_minimum"]
    assert "left and right exchanged" in refused[0].remedy


def test_a_camera_that_stands_elsewhere_than_said_is_told():
    delivery = two_phone_delivery(11, (60.0, 60.0)).delivery
    side, rear = delivery.cameras
    front = replace(delivery, cameras=(side, replace(rear, view="front")))
    outcome = solve(project_of(front), "Ana 1")
    (said,) = outcome.messages
    assert said.startswith("rear stands 17")
    assert said.endswith("from the view it is said to show: set its view")


def test_a_third_camera_takes_part():
    phones = tuple(
        Phone(view=view, rate_hz=rate)
        for view, rate in (("open-side", 120.0), ("rear", 60.0), ("front", 60.0))
    )
    filmed = two_phone_delivery(6, phones=phones)
    space = solve(project_of(filmed.delivery), "Ana 1").solution
    assert [camera.name for camera in space.cameras] == ["open-side", "rear", "front"]
    assert not space.is_refused
    for number in (1, 2):
        solved = space.cameras[number]
        apart_s = solved.offset_s - filmed.true_offsets_s[number]
        assert abs(apart_s) < 3.0 * space.u_offset_s(solved.name)


def test_the_rubber_alone_needs_level_phones_and_the_body():
    delivery = two_phone_delivery(7, points=rubber(BY_KEY["baseball"])).delivery
    tilted = cameras_changed(delivery, stand=CameraStand(u_level_deg=None))
    space = solve(project_of(tilted), "Ana 1").solution
    assert {"rubber_only", "no_vertical"} <= {found.key for found in space.findings}
    assert space.is_refused


def test_two_pictures_are_needed():
    delivery = solved_two_phones().phones.delivery
    side, rear = delivery.cameras
    one = replace(delivery, cameras=(side, replace(rear, control={})))
    with pytest.raises(InputValueError, match="one picture only"):
        solve(project_of(one), one.name)
    with pytest.raises(InputValueError, match="no picture"):
        solve(project_of(cameras_changed(delivery, control={})), delivery.name)
