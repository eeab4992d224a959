from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.video.cadence import (
    Cadence,
    hides_lost_pictures,
    in_between_period,
    jump_after_repeats,
    jumps,
    repeat_cadence,
)


def changes_of(n=90, repeats=()):
    changes = 3.0 + np.sin(np.arange(n) / 9)
    changes[0] = np.nan
    changes[list(repeats)] = 0.05
    return changes


def test_a_regular_cadence_is_found_and_an_odd_one_is_none():
    regular = tuple(range(5, 90, 6))
    assert repeat_cadence(regular, changes_of(repeats=regular)) == Cadence(6, (5,))
    odd = (5, 11, 20, 26, 40, 61)
    assert repeat_cadence(odd, changes_of(repeats=odd)) is None


def test_the_cadence_goes_on_where_the_scene_stands():
    regular = tuple(range(5, 60, 6))
    changes = changes_of(repeats=regular)
    changes[60:] = 0.01
    cadence = repeat_cadence(regular, changes)
    assert cadence == Cadence(6, (5,))
    assert np.flatnonzero(cadence.repeats(90)).tolist() == list(range(5, 90, 6))


def test_a_jump_after_repeats_tells_lost_pictures_from_put_in_ones():
    repeats = (20, 40, 60)
    changes = changes_of(repeats=repeats)
    wide = 1.4 * changes_of()
    assert jump_after_repeats(repeats, changes, wide) == pytest.approx(1.0, abs=0.15)
    changes[np.array(repeats) + 1] *= 1.4
    assert jump_after_repeats(repeats, changes, wide) == pytest.approx(2.0, abs=0.3)
    assert np.isnan(jump_after_repeats(repeats, changes, changes_of()))
    assert [hides_lost_pictures(each) for each in (1.0, 1.45, 2.0, np.nan)] == [
        False, None, True, None,
    ]  # fmt: skip


def test_every_second_picture_between_its_neighbours_is_made_up():
    rng = np.random.default_rng(1)
    nothing = np.full(80, np.nan)
    blends = rng.uniform(0.4, 0.5, 80)
    assert in_between_period(blends, nothing) is None
    blends[::2] = rng.uniform(0.02, 0.05, 40)
    assert in_between_period(blends, nothing) == 2
    soft = rng.normal(0.0, 0.03, 80)
    assert in_between_period(nothing, soft) is None
    assert in_between_period(nothing, soft + np.tile([0.0, 0.0, 0.3, -0.3], 20)) == 4


def test_a_lost_picture_is_a_jump_as_far_as_two_ways():
    changes, wide, ways_px = np.full(40, 1.0), np.full(40, 1.5), np.full(40, 2.0)
    changes[17], ways_px[17] = 1.5, 3.5
    assert jumps(changes, wide, ways_px) == (17,)
    # a key frame changes the picture, and nothing moves farther
    assert jumps(changes, wide, np.full(40, 2.0)) == ()
    changes[17] = 1.1
    assert jumps(changes, wide, ways_px) == ()
