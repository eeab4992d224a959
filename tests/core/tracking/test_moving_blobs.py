"""Blobs that were not there before, on drawn pictures."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from deliverylab.core.tracking.moving_blobs import grey, moving_blobs, repeated


def _pictures(places, *, radius_px=6.0, noise=2.0, seed=3):
    """Draw a bright disc on a dim, noisy ground at each place (None: no disc)."""
    rng = np.random.default_rng(seed)
    y, x = np.mgrid[0:160, 0:320]
    drawn = []
    for place in places:
        picture = 70.0 + rng.normal(0.0, noise, x.shape)
        if place is not None:
            cover = np.clip(radius_px + 0.5 - np.hypot(x - place[0], y - place[1]), 0.0, 1.0)
            picture += 150.0 * cover
        drawn.append(np.clip(np.rint(picture), 0, 255).astype(np.uint8))
    return drawn


def test_a_disc_is_found_at_its_middle_with_its_size():
    places = [(40 + 30 * n, 60.3 + 4 * n) for n in range(8)]
    blobs = moving_blobs(_pictures(places), 4, stride=1, diameter_px=12.0)
    assert len(blobs) == 1
    # a tenth of a pixel: the weights hold some 110 pixels of noise 2 against 150
    assert blobs.xy_px[0] == pytest.approx(places[4], abs=0.1)
    assert blobs.length_px[0] == pytest.approx(12.0, abs=0.8)
    assert blobs.width_px[0] == pytest.approx(12.0, abs=0.8)


def test_a_streak_lies_along_its_motion():
    pictures = _pictures([None] * 7)
    cv2.line(pictures[3], (100, 60), (140, 80), 230, 8, cv2.LINE_AA)
    blobs = moving_blobs(pictures, 3, stride=1, diameter_px=8.0)
    assert blobs.xy_px[0] == pytest.approx((120.0, 70.0), abs=0.5)
    assert blobs.length_px[0] > 2.5 * blobs.width_px[0]
    assert abs(blobs.along[0] @ (np.array([2.0, 1.0]) / np.sqrt(5.0))) == pytest.approx(
        1.0, abs=0.01
    )


def test_what_stands_still_is_background():
    assert len(moving_blobs(_pictures([(100, 80)] * 7), 3, stride=1, diameter_px=12.0)) == 0


def test_the_first_and_the_last_picture_have_a_background_too():
    pictures = _pictures([(40 + 30 * n, 60) for n in range(8)])
    for number in (0, 7):
        assert len(moving_blobs(pictures, number, stride=1, diameter_px=12.0)) == 1


def test_repeats_are_told_from_noise():
    one, two = _pictures([(40, 40), (70, 40)])
    assert repeated([one, one.copy(), two]).tolist() == [False, True, False]


def test_grey_takes_colour_and_grey():
    assert grey(np.full((4, 5, 3), 90, dtype=np.uint8)).shape == (4, 5)
    assert grey(np.full((4, 5), 90, dtype=np.uint8))[0, 0] == 90
