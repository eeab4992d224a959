"""The ball on rendered deliveries: found where it is, and nothing where there is none."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from deliverylab.core.synthetic.scenario import demo_scenario
from deliverylab.core.tracking.ball import find_ball
from deliverylab.core.tracking.flights import BallSearch
from deliverylab.core.vocabulary.balls import ball
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

DIAMETER_M = ball("baseball").diameter_m
N_FRAMES = 13
CRISP_S, BLURRED_S = 1 / 800, 1 / 300


def _clip(exposure_s):
    """Return the scenario's side clip in a quarter of its size, which renders as much faster."""
    clip = demo_scenario()["athlete-side"]
    n_samples = 3 if exposure_s == CRISP_S else 7
    filming = replace(clip.filming, exposure_s=exposure_s, noise_levels=3.0, n_samples=n_samples)
    return replace(clip, filming=filming, size_px=(640, 360), focal_px=clip.focal_px / 2)


@cache
def _filmed(exposure_s):
    """Return pictures about release, their times, the ball's true places, and its diameter."""
    clip = _clip(exposure_s)
    delivery, film = clip.delivery(), clip.film()
    first = int(delivery.events["release"] * float(clip.rate_hz)) - 3
    frames = np.arange(first, first + N_FRAMES)
    truth = clip.camera().project(delivery.stacked_m())[frames, LANDMARK_KEYS.index("ball")]
    pictures = [film.picture(frame) for frame in frames.tolist()]
    return pictures, delivery.times_s[frames], truth, DIAMETER_M * clip.focal_px / clip.distance_m


@pytest.mark.parametrize("exposure_s", [CRISP_S, BLURRED_S])
def test_the_rendered_ball_is_found(exposure_s):
    pictures, times_s, truth, diameter_px = _filmed(exposure_s)
    search = BallSearch(diameter_px=diameter_px, diameter_m=DIAMETER_M, toward=1)
    found = find_ball(pictures, times_s, search)
    assert found.is_found
    assert len(found.rows) >= 7
    off = found.xy_px - truth[found.rows]
    # the shaded underside is not seen, so the middle is off the same way in all frames
    assert np.all(np.abs(off.mean(axis=0)) < 0.25 * diameter_px)
    scatter = (off - off.mean(axis=0)) / found.u_px[:, None]
    assert np.sqrt(np.mean(scatter**2)) < 1.5
    true_px_s = np.hypot(*(truth[found.rows[-1]] - truth[found.rows[0]])) / (
        times_s[found.rows[-1]] - times_s[found.rows[0]]
    )
    assert found.speed_px_s == pytest.approx(true_px_s, rel=0.02)


def test_a_longer_streak_has_a_larger_u():
    short, long = (
        find_ball(p, t, BallSearch(diameter_px=d, diameter_m=DIAMETER_M))
        for p, t, _, d in (_filmed(CRISP_S), _filmed(BLURRED_S))
    )
    assert long.u_px.mean() > short.u_px.mean()


def test_a_repeated_frame_is_passed_over():
    pictures, times_s, truth, diameter_px = _filmed(CRISP_S)
    doubled = [*pictures[:8], pictures[7], *pictures[9:]]
    found = find_ball(doubled, times_s, BallSearch(diameter_px=diameter_px, diameter_m=DIAMETER_M))
    assert found.is_found
    assert 8 not in found.rows
    assert np.all(np.abs(found.xy_px - truth[found.rows]) < 0.5 * diameter_px)


def test_nothing_is_found_before_release_where_only_the_body_moves():
    clip = _clip(CRISP_S)
    delivery, film = clip.delivery(), clip.film()
    first = int(delivery.events["release"] * 240.0) - 13
    frames = list(range(first, first + 12))
    search = BallSearch(
        diameter_px=DIAMETER_M * clip.focal_px / clip.distance_m, diameter_m=DIAMETER_M
    )
    found = find_ball([film.picture(f) for f in frames], delivery.times_s[frames], search)
    assert not found.is_found
    assert found.reason
    assert len(found.rows) == 0


def test_the_wrong_way_is_not_taken():
    pictures, times_s, _, diameter_px = _filmed(CRISP_S)
    search = BallSearch(diameter_px=diameter_px, diameter_m=DIAMETER_M, toward=-1)
    assert not find_ball(pictures, times_s, search).is_found


def _discs(rows, n=8):
    """Draw discs of 10 px that fly evenly: (x, y, step) each."""
    y, x = np.mgrid[0:200, 0:900]
    rng = np.random.default_rng(1)
    pictures = []
    for number in range(n):
        picture = 60.0 + rng.normal(0.0, 2.0, x.shape)
        for left, top, step in rows:
            picture += 150.0 * np.clip(5.5 - np.hypot(x - left - step * number, y - top), 0.0, 1.0)
        pictures.append(np.clip(picture, 0, 255).astype(np.uint8))
    return pictures


def test_two_balls_are_one_too_many():
    search = BallSearch(diameter_px=10.0, diameter_m=DIAMETER_M)
    # 60 px in 1/60 s of 10 px balls are 26 m/s, level: the fall of 1.7 m/s² a frame stays below
    one, two = _discs([(40, 60, 60)]), _discs([(40, 60, 60), (40, 150, 60)])
    times_s = np.arange(8) / 60.0
    assert not find_ball(two, times_s, search).is_found
    assert "more than one" in find_ball(two, times_s, search).reason
    assert find_ball(one, times_s, search).is_found
    # a start tells which
    near = replace(search, near_px=(10.0, 152.0))
    found = find_ball(two, times_s, near)
    assert not found.is_found or abs(found.xy_px[0, 1] - 150.0) < 3.0


@pytest.mark.parametrize(
    ("diameter_px", "n", "word"), [(1.0, 8, "smaller than two pixels"), (10.0, 3, "too few frames")]
)
def test_a_search_that_cannot_be_made_says_why(diameter_px, n, word):
    search = BallSearch(diameter_px=diameter_px, diameter_m=DIAMETER_M)
    found = find_ball(_discs([(40, 60, 60)], n), np.arange(n) / 60.0, search)
    assert word in found.reason
