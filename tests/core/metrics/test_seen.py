"""One landmark at an instant: interpolation, snapping, neighbours."""

from __future__ import annotations

import pytest

from deliverylab.core.metrics.seen import seen_at
from deliverylab.core.model.track import Position, Track


def track(*frames):
    return Track.of((frame, Position(10.0 * frame, 5.0)) for frame in frames)


def test_between_two_placed_frames_the_place_is_interpolated():
    seen = seen_at(track(10, 11), 10.25, 2.0)
    assert seen.x_px == pytest.approx(102.5)
    assert seen.off_frames == 0.0
    assert seen.u_px == 2.0


def test_on_a_frame_only_that_frame_counts():
    assert seen_at(track(10, 11), 10.0, 2.0).x_px == 100.0


def test_one_frame_away_stands_in_at_a_cost_in_time():
    seen = seen_at(track(10), 10.6, 2.0)
    assert seen.x_px == 100.0
    assert seen.off_frames == pytest.approx(0.6)
    assert seen_at(track(10), 11.2, 2.0) is None


def test_between_frames_u_is_no_smaller_than_in_either():
    both = Track.of([(10, Position(0.0, 0.0, 1.0)), (11, Position(1.0, 0.0, 3.0))])
    assert seen_at(both, 10.5, 9.0).u_px == pytest.approx(2.0)


def test_stated_u_goes_before_the_default():
    stated = Track.of([(3, Position(0.0, 0.0, 0.7))])
    assert seen_at(stated, 3.0, 2.0).u_px == 0.7


def test_neighbours_are_the_frames_beside():
    seen = seen_at(track(9, 10, 11), 10.0, 2.0)
    assert seen.before == (90.0, 5.0)
    assert seen.after == (110.0, 5.0)
    assert seen_at(track(10, 11), 10.0, 2.0).before is None
