"""A falling ball on drawn pictures: found where it is, at any frame rate, and nothing else."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.fall import find_fall

DIAMETER_PX = 9.0
PX_PER_M = DIAMETER_PX / 0.0738
SIZE = (240, 320)


def _drawn(paths, *, seed=3):
    """Draw bright discs at the places of each path, shape (n, 2), on a dim noisy ground."""
    rng = np.random.default_rng(seed)
    ground = 60.0 + 20.0 * rng.random((SIZE[0] // 8, SIZE[1] // 8)).repeat(8, 0).repeat(8, 1)
    y, x = np.mgrid[0 : SIZE[0], 0 : SIZE[1]]
    drawn = []
    for places in np.stack(paths, axis=1):
        picture = ground + rng.normal(0.0, 2.0, SIZE)
        for place in places:
            cover = np.clip(0.5 * DIAMETER_PX + 0.5 - np.hypot(x - place[0], y - place[1]), 0, 1)
            picture = np.where(cover > 0, picture + cover * (210.0 - picture), picture)
        drawn.append(np.clip(np.rint(picture), 0, 255).astype(np.uint8))
    return drawn


def _tossed(times_s, up_m_s=1.5, level_m_s=0.4, x_px=120.0, y_px=110.0):
    way = np.stack((level_m_s * times_s, -up_m_s * times_s + 0.5 * 9.80665 * times_s**2), axis=-1)
    return way * PX_PER_M + (x_px, y_px)


@pytest.mark.parametrize("up_m_s", [0.0, 1.5])
@pytest.mark.parametrize("stated", [1.0, 0.125])
def test_a_toss_and_a_drop_are_found_whatever_the_rate_is_said_to_be(up_m_s, stated):
    times_s = np.linspace(0.0, 0.42, 24)
    truth = _tossed(times_s, up_m_s, y_px=110.0 if up_m_s else 30.0)
    found = find_fall(_drawn([truth]), times_s / stated, DIAMETER_PX)
    assert found.is_found
    assert len(found.rows) >= 12
    # drawn sharp: a fifth of a pixel where nothing is behind it but noise
    assert np.abs(found.xy_px - truth[found.rows]).max() < 0.5
    bend = np.polyfit(times_s[found.rows], found.xy_px[:, 1], 2)[0]
    assert 2.0 * bend / PX_PER_M == pytest.approx(9.80665, rel=0.01)


def test_what_goes_straight_or_swings_is_no_fall():
    times_s = np.linspace(0.0, 0.42, 24)
    straight = np.stack((60.0 + 400.0 * times_s, 80.0 + 100.0 * times_s), axis=-1)
    swung = np.stack((150 + 60 * np.sin(9 * times_s), 120 + 40 * np.cos(14 * times_s)), axis=-1)
    for path in (straight, swung):
        found = find_fall(_drawn([path]), times_s, DIAMETER_PX)
        assert found.reason == "nothing in these frames falls like a ball"


def test_a_swinging_hand_beside_it_does_not_matter_and_a_second_ball_does():
    times_s = np.linspace(0.0, 0.42, 24)
    truth = _tossed(times_s)
    swung = np.stack((230 + 40 * np.sin(9 * times_s), 150 + 40 * np.cos(14 * times_s)), axis=-1)
    found = find_fall(_drawn([truth, swung]), times_s, DIAMETER_PX)
    assert found.is_found
    assert np.abs(found.xy_px - truth[found.rows]).max() < 0.5
    other = _tossed(times_s, level_m_s=-0.3, x_px=240.0)
    assert find_fall(_drawn([truth, other]), times_s, DIAMETER_PX).reason == (
        "more than one thing falls like a ball"
    )


def test_too_little_to_look_at_is_said():
    times_s = np.linspace(0.0, 0.42, 24)
    drawn = _drawn([_tossed(times_s)])
    assert "too few frames" in find_fall(drawn[:4], times_s[:4], DIAMETER_PX).reason
    assert "too few frames" in find_fall([drawn[0]] * 24, times_s, DIAMETER_PX).reason
    assert "two pixels" in find_fall(drawn, times_s, 1.5).reason
