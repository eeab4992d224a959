"""The catalogue as a table: what holds for every metric."""

from __future__ import annotations

import inspect

import numpy as np
import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.metrics.catalogue import BY_KEY, METRICS, PHASES, metric, phase_of
from deliverylab.core.metrics.pose import Pose
from deliverylab.core.vocabulary.events import EVENT_KEYS
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS
from deliverylab.core.vocabulary.views import VIEW_KEYS

ids = {"ids": lambda spec: spec.key}


def test_keys_are_unique():
    assert len(BY_KEY) == len(METRICS)


def test_the_stable_keys_are_there():
    expected = {
        "lead_knee_height", "com_ahead_of_drive_ankle", "com_forward_speed",
        "max_com_forward_speed", "drive_knee_flexion", "trunk_forward_tilt", "trunk_lateral_tilt",
        "pelvis_rotation", "shoulder_line_rotation", "separation", "max_separation",
        "stride_length", "stride_offset", "lead_foot_direction", "lead_knee_flexion",
        "lead_knee_extension", "elbow_flexion", "max_elbow_flexion", "shoulder_abduction",
        "horizontal_abduction", "external_rotation", "max_external_rotation", "arm_slot",
        "glove_distance", "release_height", "release_extension", "lift_to_contact_time",
        "contact_to_release_time", "peak_pelvis_speed", "peak_shoulder_line_speed",
        "peak_elbow_extension_speed", "ball_speed",
    }  # fmt: skip
    assert expected <= BY_KEY.keys()


def test_metrics_come_in_the_order_of_the_delivery():
    places = [PHASES.index(spec.phase) for spec in METRICS]
    assert places == sorted(places)


@pytest.mark.parametrize("spec", METRICS, **ids)
def test_what_a_metric_names_exists(spec):
    assert set(spec.events) <= set(EVENT_KEYS)
    assert set(spec.landmarks) <= set(ROLE_KEYS)
    assert set(spec.start_landmarks) <= set(spec.landmarks)
    assert not spec.start_landmarks or spec.kind == "between_events"
    assert set(spec.views) <= set(VIEW_KEYS)
    assert spec.event_views.keys() <= set(spec.events)
    assert {role for pair in spec.segments for role in pair} <= set(spec.landmarks)
    assert spec.projection_u.keys() <= {*spec.events, ""}


@pytest.mark.parametrize("spec", METRICS, **ids)
def test_a_metric_explains_itself(spec):
    for text in (spec.name, spec.definition, spec.meaning, spec.limit, spec.source):
        assert text.strip()
    for text in (spec.more, spec.less):
        assert text.strip() == text
        assert text


@pytest.mark.parametrize("spec", [s for s in METRICS if s.measure], **ids)
def test_measure_needs_no_more_than_the_landmarks_named(spec):
    rng = np.random.default_rng(1)
    points = {role: rng.normal(size=(4, 3)) for role in spec.landmarks}
    pose = Pose(points, np.full(4, 1.8))
    n_poses = len(inspect.signature(spec.measure).parameters)
    assert n_poses == (2 if spec.kind == "between_events" else 1)
    values = spec.measure(*(pose,) * n_poses)
    assert values.shape == (4,)
    assert np.isfinite(values).all()


@pytest.mark.parametrize("spec", [s for s in METRICS if s.measure], **ids)
def test_a_missing_landmark_gives_nan(spec):
    points = {role: np.full((1, 3), np.nan) for role in spec.landmarks}
    pose = Pose(points, np.array([1.8]))
    n_poses = len(inspect.signature(spec.measure).parameters)
    assert np.isnan(spec.measure(*(pose,) * n_poses)).all()


def test_three_dimensional_metrics_are_not_shown_from_one_camera():
    # Errors of one camera in the published and simulated studies are 15-66 degrees.
    for key in ("separation", "elbow_flexion", "max_external_rotation", "horizontal_abduction"):
        assert BY_KEY[key].views == ()


def test_an_unknown_metric_is_refused_by_name():
    with pytest.raises(NotFoundError, match="spin_rate"):
        metric("spin_rate")


def test_a_result_is_listed_under_the_phase_of_its_event():
    assert phase_of(BY_KEY["trunk_forward_tilt"], "release") == "release"
    assert phase_of(BY_KEY["stride_length"], "") == "stride"
