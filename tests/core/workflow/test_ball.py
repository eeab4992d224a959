"""The ball in a project's clip: where it is looked for, and what the change keeps."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.metrics.ball_fall import fall_check
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.video.writer import write_clip
from deliverylab.core.workflow.ball import (
    ball_change,
    ball_frames,
    ball_search,
    look_for_ball,
    look_for_fall,
)
from tests.core.metrics.flown import discs, even, flown, thrown_m

N_FRAMES, RELEASE_FRAME, RATE_HZ = 30, 6, 240


def _delivery():
    """Return a thrown ball, placed where it truly is, of which some frames are looked at."""
    frames = np.arange(RELEASE_FRAME + 1, N_FRAMES)
    places = thrown_m((frames - RELEASE_FRAME) / RATE_HZ)
    timing = even(N_FRAMES, RATE_HZ)
    return flown(places, timing, frames, release_s=RELEASE_FRAME / RATE_HZ)


def _without_ball(delivery):
    return replace(delivery, cameras=(replace(delivery.cameras[0], tracks={}),))


@pytest.fixture(scope="module")
def filmed(tmp_path_factory):
    """Write a clip of a bright disc where the ball is; return the delivery without positions."""
    folder = tmp_path_factory.mktemp("ball")
    delivery = _delivery()
    camera = delivery.cameras[0]
    pictures = discs(delivery, N_FRAMES)
    write_clip(folder / "side.mp4", pictures, rate=RATE_HZ)
    clip = clip_reference(folder / "side.mp4", folder / "a.delivery")
    camera = replace(camera, clip=clip, tracks={})
    return replace(delivery, cameras=(camera,)), folder / "a.delivery"


def test_the_ball_is_found_in_the_clip_and_gives_its_speed(filmed):
    from deliverylab.core.metrics.ball_results import ball_flight

    delivery, path = filmed
    found = look_for_ball(delivery, delivery.cameras[0], path)
    assert found.is_found
    truth = _delivery().cameras[0].track("ball")
    for frame, place in zip(found.rows.tolist(), found.xy_px.tolist(), strict=True):
        # a third of a pixel and the coder
        assert np.hypot(place[0] - truth.at(frame).x_px, place[1] - truth.at(frame).y_px) < 0.7
    project = Project(ProjectRecord(deliveries=(delivery,)))
    project.apply(ball_change(delivery, delivery.cameras[0], found))
    changed = project.delivery("Ana 1")
    assert {p.origin for _, p in changed.cameras[0].track("ball")} == {"detected"}
    # thrown without drag, which the model then gives back: 0.7 % over the metre that is used
    assert ball_flight(changed, changed.cameras[0]).filmed_speed_m_s == pytest.approx(
        38.0, rel=0.01
    )


def test_the_change_keeps_what_a_person_placed_and_can_be_undone(filmed):
    delivery, path = filmed
    found = look_for_ball(delivery, delivery.cameras[0], path)
    by_hand = int(found.rows[2])
    before = Track.of(
        [(by_hand, Position(1.0, 2.0, 0.5)), (1, Position(3.0, 4.0, 0.5, "detected"))]
    )
    delivery = replace(delivery, cameras=(replace(delivery.cameras[0], tracks={"ball": before}),))
    project = Project(ProjectRecord(deliveries=(delivery,)))
    inverse = project.apply(ball_change(delivery, delivery.cameras[0], found))
    track = project.delivery("Ana 1").cameras[0].track("ball")
    assert track.at(by_hand) == Position(1.0, 2.0, 0.5)
    assert track.at(1) is None
    assert len(track) == len(found.rows)
    project.apply(inverse)
    assert project.delivery("Ana 1").cameras[0].track("ball") == before


def test_a_search_tells_how_far_it_is_and_can_be_stopped(filmed):
    delivery, path = filmed
    shares = []
    look_for_ball(delivery, delivery.cameras[0], path, progress=shares.append)
    assert shares == sorted(shares)
    assert shares[0] == 0.0
    assert shares[-1] > 0.5

    def stop(_share):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        look_for_ball(delivery, delivery.cameras[0], path, progress=stop)


def test_a_falling_ball_is_found_in_the_clip_and_gives_g(tmp_path):
    frames = np.arange(100)
    since_s = frames / RATE_HZ
    places = np.tile([0.6, 0.0, 1.0], (len(frames), 1))
    places[:, 2] += 1.2 * since_s - 0.5 * 9.80665 * since_s**2
    places[:, 0] += 0.5 * since_s
    delivery = flown(places, even(100, RATE_HZ), frames)
    camera = delivery.cameras[0]
    pictures = discs(delivery, 100)
    write_clip(tmp_path / "toss.mp4", pictures, rate=RATE_HZ)
    clip = clip_reference(tmp_path / "toss.mp4", tmp_path / "a.delivery")
    bare = replace(delivery, cameras=(replace(camera, clip=clip, tracks={}),))
    found = look_for_fall(bare, bare.cameras[0], tmp_path / "a.delivery", (0, 99))
    assert found.is_found
    project = Project(ProjectRecord(deliveries=(bare,)))
    project.apply(ball_change(bare, bare.cameras[0], found))
    check = fall_check(project.delivery(bare.name), project.delivery(bare.name).cameras[0])
    assert check.is_agreeing
    assert check.g_m_s2 == pytest.approx(9.81, abs=0.3)
    with pytest.raises(InputValueError, match="how large the ball is"):
        look_for_fall(bare, replace(bare.cameras[0], scale=None), None, (0, 99))


def test_where_to_look_is_about_release():
    delivery = _delivery()
    first, last = ball_frames(delivery, delivery.cameras[0])
    assert first < RELEASE_FRAME < last < N_FRAMES


def test_the_search_knows_size_way_and_start():
    delivery = _delivery()
    camera = delivery.cameras[0]
    search = ball_search(delivery, camera)
    scale = camera.scale
    px_per_m = np.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px) / scale.length_m
    # 9 1/8 in around is 73.8 mm
    assert search.diameter_px == pytest.approx(0.0738 * px_per_m, rel=0.01)
    assert search.toward == 1
    assert search.near_px is None
    hand = Track.of([(RELEASE_FRAME, Position(400.0, 300.0))])
    placed = replace(camera, tracks={"right_hand": hand})
    assert ball_search(delivery, placed).near_px == (400.0, 300.0)
    assert ball_search(delivery, placed, (1.0, 2.0)).near_px == (1.0, 2.0)


def test_what_is_missing_is_said():
    delivery = _without_ball(_delivery())
    camera = delivery.cameras[0]
    with pytest.raises(InputValueError, match="release is not marked"):
        ball_frames(delivery, replace(camera, marks={}))
    with pytest.raises(InputValueError, match="how large the ball is"):
        ball_search(delivery, replace(camera, scale=None))
    with pytest.raises(InputValueError, match="flies away"):
        ball_search(delivery, replace(camera, view="rear"))
    with pytest.raises(ClipError, match="cannot be looked for"):
        look_for_ball(delivery, camera, None)
