from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.metrics.space_places import SpacePlaces, pinhole
from deliverylab.core.metrics.space_sight import STEP_S, SpaceSight
from deliverylab.core.model.track import Position
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from tests.core.metrics.solved import solved_delivery


@pytest.fixture(scope="module")
def solved():
    return solved_delivery(6)


def test_only_what_is_asked_for_is_found(solved):
    sight = SpaceSight(solved.delivery)
    times_s = np.array([0.4, 0.5])
    some = sight.places(times_s, 12.0, ["left_hip", "right_hip"])
    everything = sight.places(times_s, 12.0)
    columns = [INDEX["left_hip"], INDEX["right_hip"]]
    np.testing.assert_array_equal(
        some.points.points_m[:, columns], everything.points.points_m[:, columns]
    )
    assert np.isfinite(some.points.points_m).all(axis=-1).sum() == 4
    assert some.points.residuals_px.shape == (2, 2, len(LANDMARK_KEYS), 2)


def test_the_middle_row_at_an_event_is_the_event(solved):
    sight = SpaceSight(solved.delivery)
    instant = sight.instant("release")
    found = sight.at(instant, 20.0)
    alone = sight.places(instant.time_s + STEP_S * np.array([-1.0, 0.0, 1.0]), 20.0)
    np.testing.assert_allclose(found.points.points_m, alone.points.points_m)
    np.testing.assert_array_equal(found.n_views, alone.n_views)


def test_a_solved_camera_keeps_its_numbers(solved):
    for each in solved.delivery.space.cameras:
        camera = pinhole(each)
        np.testing.assert_allclose(camera.parameters, each.numbers, rtol=1e-12)
        assert camera.size_px == (each.width_px, each.height_px)
        assert camera.radial == each.radial


def test_a_moved_point_moves_its_own_landmark_only(solved):
    times_s = np.array([0.45, 0.5, 0.55])
    side, rear = solved.delivery.cameras
    track = side.tracks["left_elbow"]
    place = track.at(120)
    moved_track = track.replaced(120, Position(place.x_px + 30.0, place.y_px, place.u_px))
    moved = replace(
        solved.delivery,
        cameras=(replace(side, tracks={**side.tracks, "left_elbow": moved_track}), rear),
    )
    before = SpaceSight(solved.delivery).places(times_s, 20.0).points.points_m
    after = SpaceSight(moved).places(times_s, 20.0).points.points_m
    others = [column for key, column in INDEX.items() if key != "left_elbow"]
    np.testing.assert_array_equal(before[:, others], after[:, others])
    assert np.nanmax(np.abs(before - after)) > 0.001


def test_landmarks_that_are_not_seen_are_nan():
    places = SpacePlaces.of([None] * 3, 4, 15)
    assert places.points.points_m.shape == (4, 3, 3)
    assert np.isnan(places.points.points_m).all()
    assert not places.n_views.any()
    assert places.rows(slice(1, 3)).points.by_calibration.shape == (2, 3, 3, 15)
