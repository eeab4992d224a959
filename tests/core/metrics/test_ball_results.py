"""Results of the ball: shown where they hold, questioned by the radar, absent with a remedy."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.ball_results import ball_result, radar_check
from deliverylab.core.metrics.ball_table import BALL_METRICS
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.track import Position, Track
from deliverylab.core.vocabulary.balls import ball
from tests.core.metrics.flown import even, flown, thrown_m

SPECS = {spec.key: spec for spec in BALL_METRICS}
K = ball("baseball").drag_per_m
FRAMES = 24 + np.arange(1, 15)


def _thrown(speed_m_s=38.0, timing=None, **settings):
    places = thrown_m((FRAMES - 24) / 240, speed_m_s=speed_m_s, drag_per_m=K)
    return flown(places, timing or even(60, 240), FRAMES, **settings)


def _result(delivery, key="ball_speed_measured"):
    return ball_result(SPECS[key], "", Sight(delivery, delivery.cameras[0]))


def test_the_speed_comes_with_its_budget():
    result = _result(_thrown())
    assert result.status == "measured"
    assert result.value == pytest.approx(38.0, abs=0.05)
    assert 0.3 < result.u < 1.25
    assert {"how far to the side the ball is", "scale points", "drag of the air"} <= {
        part.source for part in result.budget
    }
    assert result.cautions == ()


@pytest.mark.parametrize("arm_side_m", [0.3, 0.7])
@pytest.mark.parametrize("view", ["open-side", "closed-side"])
def test_a_ball_elsewhere_than_usual_stays_within_the_margin(arm_side_m, view):
    places = thrown_m((FRAMES - 24) / 240, arm_side_m=arm_side_m, drag_per_m=K)
    result = _result(flown(places, even(60, 240), FRAMES, view=view))
    assert abs(result.value - 38.0) < 2.0 * result.u


def test_the_margin_covers_what_varies():
    # 200 throws that vary as stated: scale points, length, yaw, level, side, aim, drag, placing
    rng = np.random.default_rng(5)
    n_within = 0
    for _ in range(200):
        side, aim = rng.normal(0.5, 0.2), rng.normal(0.0, 0.2)
        places = thrown_m((FRAMES - 24) / 240, arm_side_m=side, drag_per_m=K * rng.normal(1, 0.13))
        places[:, 1] += aim / 16.1 * (places[:, 0] - 0.2)
        delivery = flown(places, even(60, 240), FRAMES, u_px=1.0, yaw_deg=rng.normal(0.0, 2.0),
                         u_yaw_deg=2.0, vertical_deg=rng.normal(0.0, 0.3))  # fmt: skip
        camera = delivery.cameras[0]
        jolt = rng.normal(0.0, 1.0, (len(FRAMES), 2))
        track = Track.of(
            (frame, Position(p.x_px + dx, p.y_px + dy, 1.0))
            for (frame, p), (dx, dy) in zip(camera.track("ball"), jolt.tolist(), strict=True)
        )
        scale = replace(camera.scale, length_m=camera.scale.length_m + rng.normal(0.0, 0.005))
        camera = replace(camera, tracks={"ball": track}, scale=scale)
        result = _result(replace(delivery, cameras=(camera,)))
        n_within += abs(result.value - 38.0) <= result.expanded_u
    # binomial: 190 ± 9 at three standard deviations; more is allowed for u of the scale points,
    # which are not varied
    assert 181 <= n_within <= 200


def test_a_reading_of_the_radar_is_set_beside_it():
    delivery = _thrown(radar_m_s=37.6)
    result = _result(delivery)
    assert result.cautions == ()
    check = radar_check(result, delivery, delivery.cameras[0])
    assert check.is_agreeing


def test_half_the_capture_rate_is_told_by_the_radar():
    delivery = _thrown(timing=even(60, 120), release_s=0.2, radar_m_s=38.0)
    result = _result(delivery)
    assert result.value == pytest.approx(19.0, rel=0.02)
    assert "the capture rate is likely 240, not 120" in result.cautions[-1]


def test_what_no_arm_throws_questions_scale_and_rate():
    assert "hardest deliveries" in _result(_thrown(speed_m_s=50.0)).cautions[-1]


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"scale": None}, "no scale"),
        ({"marks": {}}, "release"),
        ({"tracks": {}}, "not placed in three frames"),
    ],
)
def test_what_is_missing_is_said_with_a_remedy(change, reason):
    delivery = _thrown()
    delivery = replace(delivery, cameras=(replace(delivery.cameras[0], **change),))
    result = _result(delivery)
    assert result.status == "not_shown"
    assert reason in result.reason
    assert result.remedy


def test_a_turned_camera_shows_no_speed():
    result = _result(_thrown(yaw_deg=25.0))
    assert result.status == "not_shown"
    assert "off square" in result.reason


def test_height_counts_from_the_drive_foot():
    delivery = _thrown(release_s=0.1)
    camera = delivery.cameras[0]
    assert _result(delivery, "ball_release_height").reason == (
        "the drive foot is not placed at leg lift"
    )
    from deliverylab.core.synthetic.camera import camera_for_view
    from tests.core.metrics.flown import DISTANCE_M, TARGET_M

    pinhole = camera_for_view("open-side", "right", distance_m=DISTANCE_M, target_m=TARGET_M)
    foot = pinhole.project(np.array([[0.0, 0.0, 0.0], [0.2, 0.0, 0.0]])).tolist()
    tracks = camera.tracks | {
        f"right_{part}": Track.of([(4, Position(*place))])
        for part, place in zip(("heel", "toe"), foot, strict=True)
    }
    marks = camera.marks | {"leg_lift": Mark(time_s=4 / 240)}
    camera = replace(camera, tracks=tracks, marks=marks)
    result = _result(replace(delivery, cameras=(camera,)), "ball_release_height")
    # 1.8 m at release; the ball is nearer than the foot, which costs it nothing once known
    assert result.value == pytest.approx(1.8, abs=0.01)


def test_the_launch_angle():
    result = _result(_thrown(), "ball_launch_angle")
    assert result.value == pytest.approx(np.degrees(np.arctan2(-1.0, 38.0)), abs=0.1)
