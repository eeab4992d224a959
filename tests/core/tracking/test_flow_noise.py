"""How unsure steps are: what grows with what."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.flow_noise import drift_px, guess_u_px, noise_px, turn_px

SPEEDS = np.array([0.0, 1.0, 4.0, 16.0])


def test_fast_steps_are_less_sure():
    for u_px in (
        noise_px(np.full(4, 0.1), SPEEDS, 130.0),
        guess_u_px(SPEEDS),
        drift_px(SPEEDS, 130.0, np.ones(4, dtype=bool)),
    ):
        assert np.all(np.diff(u_px) > 0.0)
    assert np.all(guess_u_px(SPEEDS) > noise_px(np.full(4, 0.1), SPEEDS, 130.0))


@pytest.mark.parametrize("factor", [0.5, 2.0])
def test_a_body_twice_as_large_is_as_sure_in_its_own_size(factor):
    size = 130.0 * factor
    assert noise_px(np.zeros(4), factor * SPEEDS, size) == pytest.approx(
        factor * noise_px(np.zeros(4), SPEEDS, 130.0)
    )
    seen = np.ones(4, dtype=bool)
    assert drift_px(factor * SPEEDS, size, seen) == pytest.approx(
        factor * drift_px(SPEEDS, 130.0, seen)
    )
    assert turn_px(factor * SPEEDS, size) == pytest.approx(factor * turn_px(SPEEDS, 130.0))


def test_a_fast_frame_lets_its_neighbours_turn():
    speeds = np.zeros(20)
    speeds[10] = 8.0
    turns = turn_px(speeds, 130.0)
    assert turns.shape == (19,)
    assert np.all(turns[7:12] > 2.0)
    assert np.all(turns[:7] < 0.1)
    assert np.all(turns[12:] < 0.1)
