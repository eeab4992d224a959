"""Courses through positions and steps, against closed forms and simulation."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.course_fusion import CourseInputs, fused_course


def inputs(n, rows, places, *, moved=None, u_placed=0.001, u_moved=0.1, u_drift=1e-6, u_turn=1e3):
    """Return a problem in which the drift and the evenness of speed hold nothing unless they are set."""
    rows = np.asarray(rows)
    return CourseInputs(
        rows=rows,
        placed_px=np.asarray(places, dtype=float),
        u_placed_px=np.full(len(rows), u_placed),
        moved_px=np.zeros((n - 1, 2)) if moved is None else np.asarray(moved, dtype=float),
        u_moved_px=np.full(n - 1, u_moved),
        u_drift_px=np.full(n - 1, u_drift),
        u_turn_px=np.full(n - 2, u_turn),
        drift_keeps=0.95,
    )


def test_between_two_places_u_is_that_of_a_brownian_bridge():
    # Karatzas I, Shreve SE (1991). Brownian Motion and Stochastic Calculus, 5.6.B: variance
    # t (T - t) / T of the bridge from 0 to T
    n, u_step = 41, 0.3
    places, u_px = fused_course(inputs(n, [0, n - 1], [[0, 0], [0, 0]], u_moved=u_step))
    t = np.arange(n)
    assert u_px[1:-1] == pytest.approx(u_step * np.sqrt(t * (40 - t) / 40.0)[1:-1], rel=0.002)
    assert places == pytest.approx(np.zeros((n, 2)), abs=1e-6)


def test_after_the_last_place_u_grows_with_the_root_of_the_frames():
    _, u_px = fused_course(inputs(30, [0], [[5.0, 7.0]], u_moved=0.2))
    assert u_px[1:] == pytest.approx(0.2 * np.sqrt(np.arange(1, 30)), rel=0.002)


def test_a_gap_that_does_not_close_is_shared_out_evenly():
    n = 21
    moved = np.tile([1.0, 0.0], (n - 1, 1))
    places, _ = fused_course(inputs(n, [0, n - 1], [[0, 0], [24.0, 0]], moved=moved, u_moved=1.0))
    assert places[:, 0] == pytest.approx(1.2 * np.arange(n), abs=1e-3)


def test_one_wild_step_hardly_moves_the_course():
    n = 31
    moved = np.tile([2.0, -1.0], (n - 1, 1))
    moved[12] = [60.0, 0.0]
    ends = [[0, 0], [60.0, -30.0]]
    places, _ = fused_course(
        inputs(n, [0, n - 1], ends, moved=moved, u_moved=0.1, u_turn=0.3, u_placed=1.0)
    )
    true = np.arange(n)[:, None] * [2.0, -1.0]
    assert np.abs(places - true).max() < 1.5


def test_u_is_what_simulation_finds():
    rng = np.random.default_rng(11)
    n, rows, keeps = 60, [0, 25, 59], 0.95
    u_moved, u_drift, u_placed = 0.15, 0.2, 1.0
    squares = np.zeros(n)
    for _ in range(300):
        true = np.cumsum(rng.normal(0.0, 1.0, (n, 2)).cumsum(axis=0) * 0.05, axis=0)
        drift = np.empty((n - 1, 2))
        drift[0] = rng.normal(0.0, u_drift, 2)
        for row in range(1, n - 1):
            drift[row] = keeps * drift[row - 1] + np.sqrt(1 - keeps**2) * rng.normal(0, u_drift, 2)
        # a step is seen with the body's motion, less what slides
        moved = np.diff(true, axis=0) - drift + rng.normal(0.0, u_moved, (n - 1, 2))
        placed = true[rows] + rng.normal(0.0, u_placed, (3, 2))
        places, u_px = fused_course(
            inputs(n, rows, placed, moved=moved, u_placed=u_placed, u_moved=u_moved,
                   u_drift=u_drift, u_turn=1e3)
        )  # fmt: skip
        squares += np.mean((places - true) ** 2, axis=1) / u_px**2
    assert squares.mean() / 300 == pytest.approx(1.0, abs=0.12)


@pytest.mark.parametrize("n", [2, 3, 300])
def test_any_number_of_frames_is_solved(n):
    made = inputs(n, [0], [[1.0, 2.0]])
    places, u_px = fused_course(made)
    assert places.shape == (n, 2)
    assert u_px.shape == (n,)
    assert np.all(np.diff(u_px) > 0.0)
