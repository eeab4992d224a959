"""Whether a place looks like itself: with what moves with it, and with something in front of it."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.flow import LOST_REASONS, Anchors, follow
from deliverylab.core.tracking.flow_noise import LEAST_ALIKE, unlike_factor
from deliverylab.core.tracking.likeness import likeness
from deliverylab.core.tracking.picture_steps import GreyPictures
from tests.core.tracking.sliding import HEIGHT, SIZE_PX, WIDTH, curved, printed, sliding

N = 30
PATH = curved(N)
NUMBERS = np.arange(N)
COVERED = range(12, 17)
SHOWN = sliding(PATH)


def covered(frame):
    """Return a picture in which a board stands in front of the patch for some frames."""
    picture = SHOWN(frame).copy()
    if frame in COVERED:
        board = np.clip(printed((HEIGHT, WIDTH), 99), 0, 255).astype(np.uint8)
        picture[150:230, 180:260] = board[150:230, 180:260]
    return picture


def alike(pictures, placed=(0, N - 1), places=PATH):
    is_placed = np.isin(NUMBERS, placed)[:, None]
    kept = GreyPictures(pictures, np.zeros(2), np.array([WIDTH, HEIGHT], dtype=float))
    return likeness(kept, NUMBERS, is_placed, places[:, None], SIZE_PX)[:, 0]


def test_a_place_that_moves_with_its_print_looks_like_itself():
    assert alike(sliding(PATH)).min() > 0.95
    assert alike(sliding(PATH, noise_levels=8.0)).min() > 0.9


def test_a_place_beside_itself_or_behind_a_board_does_not():
    beside = PATH.copy()
    beside[10] += (25.0, 5.0)
    found = alike(sliding(PATH), places=beside)
    assert found[10] < LEAST_ALIKE
    assert found[[9, 11]].min() > 0.95
    hidden = alike(covered)
    assert hidden[list(COVERED)].max() < LEAST_ALIKE
    assert hidden[[*range(12), *range(17, N)]].min() > 0.95


def test_without_a_picture_or_print_nothing_is_told():
    shown = sliding(PATH)
    missing = alike(lambda frame: None if frame == 7 else shown(frame))
    assert np.flatnonzero(np.isnan(missing)).tolist() == [7]
    assert np.isnan(alike(lambda _frame: np.full((HEIGHT, WIDTH), 90, np.uint8))).all()
    assert np.isnan(alike(shown, placed=())).all()


def test_what_is_covered_is_lost_while_it_is():
    anchors = Anchors(frames=NUMBERS[[0, N - 1]], xy_px=PATH[[0, -1]], u_px=np.full(2, 0.5))
    course = follow(covered, {"a": anchors}, range(N), size_px=SIZE_PX)["a"]
    assert {LOST_REASONS[course.lost[frame]] for frame in COVERED} == {"covered"}
    assert np.isfinite(course.u_likely_px[list(COVERED)]).all()


def test_u_grows_the_less_a_place_looks_like_itself():
    factors = unlike_factor(np.array([np.nan, 1.0, 0.9, 0.7, 0.5]))
    assert factors[:3] == pytest.approx([1.0, 1.0, 1.0])
    assert np.all(np.diff(factors[2:]) > 0.0)
