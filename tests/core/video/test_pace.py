from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.video.pace import PaceMeter, leaps, slow_stretches, true_changes


def changes_of(n=80, steps=(), spread=0.1, n_spots=400):
    changes = np.tile([-spread, 0.0, spread, n_spots], (n, 1))
    for at, step in steps:
        changes[at, :3] += step
    return changes


def test_a_part_that_slows_at_once_and_speeds_up_again_is_found():
    assert slow_stretches(changes_of(steps=((20, -1.4), (60, 1.4)))) == ((20, 59),)
    # the change falls between two pictures
    parted = changes_of(steps=((20, -0.7), (21, -0.7), (60, 1.4)))
    assert slow_stretches(parted) == ((20, 59),)


def test_one_end_parts_that_disagree_and_a_gradual_change_are_none():
    assert slow_stretches(changes_of(steps=((20, -1.4),))) == ()
    assert slow_stretches(changes_of(steps=((20, -1.4), (60, 1.4)), spread=1.2)) == ()
    gradual = [(at, -0.4) for at in range(20, 26)] + [(at, 0.4) for at in range(50, 56)]
    assert slow_stretches(changes_of(steps=gradual)) == ()
    assert slow_stretches(changes_of(steps=((20, -1.4), (60, 1.4)), n_spots=30)) == ()


def test_there_and_back_is_a_leap_and_a_lasting_change_is_none():
    assert leaps(changes_of(steps=((30, 0.7), (31, -0.7)))) == (30,)
    assert leaps(changes_of(steps=((30, 0.7),))) == ()
    assert leaps(changes_of(steps=((30, 0.7), (31, -0.7)), spread=0.8)) == ()


def test_stamps_explain_what_they_explain():
    times_s = np.cumsum(np.concatenate(([0.0], np.full(29, 4.0), np.full(50, 1.0))))
    told = true_changes(changes_of(steps=((30, -np.log(4.0)),)), times_s, ())
    assert told[:, 1] == pytest.approx(0.0, abs=1e-12)
    told = true_changes(changes_of(), np.arange(80.0), (40,))
    assert np.flatnonzero(np.isnan(told[:, 1])).tolist() == [40, 41]


def test_a_patch_that_goes_twice_as_far_has_twice_the_pace():
    rng = np.random.default_rng(0)
    patch = rng.integers(0, 255, (10, 12)).astype(np.float32).repeat(3, 0).repeat(3, 1)
    at, pictures = 10, []
    for step in (0, 2, 2, 4, 4):
        at += step
        picture = np.full((90, 160), 120.0, np.float32)
        picture[30:60, at : at + 36] = patch
        pictures.append(picture)
    meter = PaceMeter(5)
    for frame in range(1, 5):
        before, after = pictures[frame - 1 : frame + 1]
        meter.add(frame, before, after, np.abs(after - before) > 7.0)
    assert np.isnan(meter.changes[:2]).all()
    assert meter.changes[2:, 1] == pytest.approx([0.0, np.log(2.0), 0.0], abs=0.15)
    meter.forget()
    meter.add(4, pictures[3], pictures[4], np.ones((90, 160), bool))
    assert meter.changes[4, 1] == pytest.approx(0.0, abs=0.15)
