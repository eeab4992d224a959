"""Steps between two pictures against shifts that were put in."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import ndimage

from deliverylab.core.tracking.picture_steps import GreyPictures, steps, window_px
from tests.core.tracking.sliding import HEIGHT, SIZE_PX, WIDTH, printed

ALL = (np.zeros(2), np.array([WIDTH, HEIGHT], dtype=float))
PLACES = np.array([[200.0, 150.0], [260.5, 200.25], [150.0, 220.0]])


def shifted(dx, dy):
    """Return a picture, and the same moved."""
    first = printed((HEIGHT, WIDTH), 5)
    # OpenCV moves by whole 32nds of a pixel
    moved = ndimage.shift(first, (dy, dx), order=3, mode="nearest")
    return [np.clip(one, 0, 255).astype(np.uint8) for one in (first, moved)]


@pytest.mark.parametrize("by", [(0.0, 0.0), (0.4, -0.3), (3.7, 2.2), (-11.3, 6.5)])
def test_a_shift_is_seen_to_a_twentieth_of_a_pixel(by):
    kept = GreyPictures(shifted(*by).__getitem__, *ALL)
    found = steps(kept, 0, 1, PLACES, np.zeros_like(PLACES), SIZE_PX)
    assert found.moved_px == pytest.approx(np.tile(by, (3, 1)), abs=0.05)
    assert found.back_px.max() < 0.05
    back = steps(kept, 1, 0, PLACES + by, np.tile(by, (3, 1)) * -1.0, SIZE_PX)
    assert back.moved_px == pytest.approx(np.tile(by, (3, 1)) * -1.0, abs=0.05)


def test_the_part_that_is_kept_and_colour_change_nothing():
    grey = shifted(2.5, 1.5)
    whole = steps(GreyPictures(grey.__getitem__, *ALL), 0, 1, PLACES, np.zeros((3, 2)), SIZE_PX)
    colour = [np.repeat(one[..., None], 3, axis=2) for one in grey]
    low, high = np.array([40.3, 30.7]), np.array([400.0, 330.0])
    part = steps(
        GreyPictures(colour.__getitem__, low, high), 0, 1, PLACES, np.zeros((3, 2)), SIZE_PX
    )
    assert part.moved_px == pytest.approx(whole.moved_px, abs=0.02)


def test_what_cannot_be_seen_has_no_step():
    first, moved = shifted(1.0, 0.0)
    places = np.array([[np.nan, 20.0], [900.0, 20.0], [200.0, 150.0]])
    flat = np.full_like(first, 90)
    for pair, is_seen in (((first, moved), True), ((flat, flat), False), ((first, None), False)):
        found = steps(GreyPictures(pair.__getitem__, *ALL), 0, 1, places, np.zeros((3, 2)), SIZE_PX)
        assert np.isnan(found.moved_px[:2]).all()
        assert np.isinf(found.back_px[:2]).all()
        assert bool(np.isfinite(found.moved_px[2]).all()) == is_seen
    # another picture altogether: there and back does not come out where it began
    other = np.clip(printed((HEIGHT, WIDTH), 78), 0, 255).astype(np.uint8)
    gone = steps(
        GreyPictures([first, other].__getitem__, *ALL), 0, 1, places, np.zeros((3, 2)), SIZE_PX
    )
    assert np.isnan(gone.moved_px).all()


def test_a_picture_is_read_once_and_can_be_dropped():
    asked = []

    def read(frame):
        asked.append(frame)
        return np.zeros((HEIGHT, WIDTH), np.uint8)

    kept = GreyPictures(read, np.array([10.5, -5.0]), np.array([60.2, 40.0]))
    assert kept.read(3).shape == (40, 51)
    assert kept.origin_px.tolist() == [10.0, 0.0]
    kept.read(3)
    assert asked == [3]
    kept.forget(3)
    kept.forget(4)
    kept.read(3)
    assert asked == [3, 3]


def test_the_window_is_odd_and_never_tiny():
    assert window_px(130.0) == 27
    assert window_px(5.0) == 7
    assert all(window_px(size) % 2 for size in np.linspace(10, 400, 40))
