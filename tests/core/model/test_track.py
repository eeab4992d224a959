from __future__ import annotations

import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from deliverylab.core.model.track import EMPTY_TRACK, ORIGINS, Position, Track
from tests.core.model.records import N_FRAMES, frames, positions, tracks


def test_positions_stand_in_frame_order_and_the_later_one_counts():
    track = Track.of([(5, Position(1.0, 2.0)), (2, Position(3.0, 4.0)), (5, Position(5.0, 6.0))])
    assert list(track) == [(2, Position(3.0, 4.0)), (5, Position(5.0, 6.0))]
    assert track.frames.tolist() == [2, 5]
    assert track.xy_px.shape == (2, 2)
    assert "2 frames" in repr(track)


def test_a_default_uncertainty_is_nan_in_the_array_and_none_outside():
    track = Track.of([(0, Position(1.0, 2.0)), (1, Position(1.0, 2.0, 0.5, "tracked"))])
    assert np.isnan(track.u_px[0])
    assert track.at(0).u_px is None
    assert track.at(1) == Position(1.0, 2.0, 0.5, "tracked")
    assert ORIGINS[track.origins[1]] == "tracked"
    assert track.at(2) is None


@given(track=tracks)
def test_arrays_cannot_be_written_into(track):
    for array in (track.frames, track.xy_px, track.u_px, track.origins):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1


@given(track=tracks, frame=frames, position=positions)
def test_replacing_and_putting_back_gives_the_same_track(track, frame, position):
    before = track.at(frame)
    changed = track.replaced(frame, position)
    assert changed.at(frame) == position
    assert changed.replaced(frame, before) == track
    others = [number for number in range(N_FRAMES) if number != frame]
    assert [changed.at(number) for number in others] == [track.at(number) for number in others]


@given(track=tracks, frame=frames)
def test_removing_what_is_not_there_changes_nothing(track, frame):
    removed = track.replaced(frame, None)
    assert removed.at(frame) is None
    assert removed.replaced(frame, None) is removed


@given(track=tracks, table=st.dictionaries(frames, st.none() | positions, max_size=4))
def test_many_at_once_are_the_same_as_one_by_one(track, table):
    one_by_one = track
    for frame, position in table.items():
        one_by_one = one_by_one.replaced(frame, position)
    assert track.updated(table) == one_by_one


@given(track=tracks)
def test_equal_tracks_have_equal_hashes_and_survive_a_process_border(track):
    twin = Track.of(track)
    assert twin == track
    assert hash(twin) == hash(track)
    assert pickle.loads(pickle.dumps(track)) == track


def test_tracks_differ_by_place_uncertainty_origin_and_frame():
    track = Track.of([(0, Position(1.0, 2.0))])
    for other in (
        [(0, Position(1.0, 2.5))],
        [(0, Position(1.0, 2.0, 1.0))],
        [(0, Position(1.0, 2.0, None, "filled"))],
        [(1, Position(1.0, 2.0))],
        [],
    ):
        assert Track.of(other) != track
    assert track != "track"


def test_the_empty_track_has_arrays_of_the_right_shape():
    assert len(EMPTY_TRACK) == 0
    assert EMPTY_TRACK.xy_px.shape == (0, 2)
    assert not EMPTY_TRACK
