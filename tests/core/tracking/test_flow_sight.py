"""What pictures show of points between their anchors."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.flow_sight import Anchors, PictureSight, known_places
from tests.core.tracking.sliding import SIZE_PX, curved, sliding

N = 12
PATH = curved(N, x_px=(150.0, 200.0), rise_px=10.0)


def sight(anchor_rows, **hooks):
    """Return what looks at a sliding patch, and what is known of it."""
    numbers = np.arange(N) * 2
    rows = np.array(anchor_rows)
    anchors = Anchors(frames=numbers[rows], xy_px=PATH[rows], u_px=np.ones(len(rows)))
    known = known_places(numbers, [anchors])
    pictures = sliding(np.repeat(PATH, 2, axis=0))
    hooks = {"progress": None, "is_cancelled": None} | hooks
    return PictureSight(pictures, numbers, known, SIZE_PX, **hooks), known


def test_anchors_stand_in_their_rows_and_a_curve_lies_between_them():
    _, known = sight([0, 6, 11])
    assert np.flatnonzero(known.is_placed[:, 0]).tolist() == [0, 6, 11]
    assert known.guess_px[[0, 6, 11], 0] == pytest.approx(PATH[[0, 6, 11]])
    assert np.all(np.diff(known.guess_px[:, 0, 0]) > 0.0)
    _, alone = sight([4])
    assert alone.guess_px[:, 0] == pytest.approx(np.repeat(PATH[[4]], N, axis=0))


def test_steps_are_seen_from_both_sides_and_once_more_along_a_course():
    looking, _ = sight([0, 11])
    seen = looking.from_both_sides()
    assert seen.moved_px[:, 0] == pytest.approx(np.diff(PATH, axis=0), abs=0.1)
    again = looking.along(PATH[:, None])
    assert again.moved_px[:, 0] == pytest.approx(np.diff(PATH, axis=0), abs=0.05)
    assert np.all(again.u_px <= seen.u_px + 1e-9)


def test_before_the_first_anchor_only_the_way_back_sees():
    looking, _ = sight([6])
    seen = looking.from_both_sides()
    assert seen.moved_px[:, 0] == pytest.approx(np.diff(PATH, axis=0), abs=0.1)
    # a step ages with its distance from the anchor
    assert np.all(np.diff(seen.u_px[6:, 0]) > 0.0)
    assert np.all(np.diff(seen.u_px[:6, 0]) < 0.0)


def test_it_tells_how_far_it_is_and_stops_when_told():
    shares = []
    looking, _ = sight([0, 11], progress=shares.append)
    looking.from_both_sides()
    looking.along(PATH[:, None])
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1.0)
    stopped, _ = sight([0, 11], is_cancelled=lambda: True)
    assert stopped.from_both_sides() is None
    assert stopped.along(PATH[:, None]) is None
