from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.compare.published import PUBLISHED, context, spreads_of
from deliverylab.core.metrics.catalogue import BY_KEY
from tests.core.compare.results import difference

replace = msgspec.structs.replace


def _result(value, u=1.0, metric="lead_knee_flexion", event="foot_contact", status="measured"):
    spec = BY_KEY[metric]
    return replace(
        difference().a, metric=metric, event=event, unit=spec.unit, value=value, u=u, status=status
    )


def test_every_row_belongs_to_a_result_of_the_catalogue():
    for row in PUBLISHED:
        assert row.event in BY_KEY[row.metric].result_events
        assert row.spread > 0.0
        assert row.n >= 10
        assert row.source
    keys = [(row.metric, row.event, row.source, row.level) for row in PUBLISHED]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize(
    ("metric", "event", "college", "youth"),
    [
        # Kageyama et al. 2015, J Sports Sci Med 14:246-255, tables 2-4: collegiate, adolescent
        ("stride_length", "", (84.6, 4.2), (82.9, 6.1)),
        ("lead_knee_flexion", "foot_contact", (46.8, 8.5), (40.0, 8.2)),
        ("lead_knee_flexion", "full_layback", (44.2, 10.9), (39.0, 12.1)),
        ("lead_knee_flexion", "release", (38.0, 13.7), (31.4, 15.6)),
        ("trunk_forward_tilt", "release", (25.4, 7.6), (29.3, 7.6)),
        ("drive_knee_flexion", "foot_contact", (28.1, 10.2), (30.8, 13.1)),
        ("pelvis_rotation", "foot_contact", (14.8, 9.7), (16.7, 10.4)),
    ],
)
def test_rows_against_their_source(metric, event, college, youth):
    found = [(row.mean, row.spread) for row in spreads_of(metric, event)[:2]]
    assert found == [college, youth]


@pytest.mark.parametrize("level", ["college", "youth"])
def test_twist_is_upper_torso_less_pelvis_in_both_groups(level):
    # the paper's own identity, which its separate columns keep to 0.1 degree
    def mean(metric):
        rows = spreads_of(metric, "foot_contact", level)
        return rows[0].mean

    separation = mean("pelvis_rotation") - mean("shoulder_line_rotation")
    assert mean("separation") == pytest.approx(separation, abs=0.11)


def test_context_names_group_source_and_what_differs():
    found = context(_result(50.0))
    assert found.text == (
        "published: 46.8° ± 8.5 (30 college pitchers, Kageyama et al. 2015; theirs is an angle in space)"
    )
    assert found.question == ""
    assert context(_result(50.0), "youth").text.startswith("published: 40.0° ± 8.2 (32 youth")
    imperial = context(_result(36.0, metric="ball_speed", event=""), system="imperial")
    assert imperial.text.startswith("published: 79 ± 4 mph (30 college")


def test_no_digit_is_shown_that_was_not_printed():
    found = context(_result(50.0, metric="separation", event="foot_contact"), "high school")
    # Orishimo et al. 2023, abstract: separation at contact 50 ± 12 degrees
    assert found.text.startswith("published: 50° ± 12 (29 high school")


def test_a_value_far_outside_every_group_asks_about_marks_and_landmarks():
    # 3 spreads above the farther mean, 46.8 + 25.5 = 72.3, and U = 2
    assert context(_result(74.0)).question == ""
    asked = context(_result(75.0)).question
    assert "is foot contact marked in the right frame" in asked
    assert "lead hip, lead knee, lead ankle" in asked
    # a value that is itself unsure is not questioned for it
    assert context(_result(75.0, u=5.0)).question == ""
    # 3 spreads below the farther mean, 40.0 − 24.6 = 15.4, and U = 2
    assert context(_result(14.0)).question == ""
    assert context(_result(13.0)).question


def test_no_question_speaks_of_the_athlete():
    for row in PUBLISHED:
        asked = context(_result(1e3, metric=row.metric, event=row.event)).question
        assert asked.endswith("?")
        for word in ("athlete", "pitcher", "should have", "danger", "wrong", "poor"):
            assert word not in asked


def test_without_a_published_range_or_a_value_there_is_no_context():
    assert context(_result(1.9, metric="release_height", event="release")) is None
    assert context(_result(None, None, status="not_shown")) is None
