"""Filming a figure into positions."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.filming import (
    FilmingSetUp,
    clothing_offsets_m,
    film_positions,
    ruler_m,
)
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

HAND = LANDMARK_KEYS.index("right_hand")


@pytest.fixture(scope="module")
def figure():
    return build_delivery(DeliverySpec(), 240.0)


def test_without_a_lens_the_picture_is_as_wide_as_a_delivery():
    near, far = FilmingSetUp(distance_m=5.0), FilmingSetUp(distance_m=12.0)
    assert near.metres_per_px == pytest.approx(far.metres_per_px)
    assert near.metres_per_px * near.width_px == pytest.approx(16.0 / 3.0)


def test_a_field_of_view_gives_the_focal_length():
    # 90 degrees: half the width is one focal length away
    assert FilmingSetUp(width_px=1920, field_of_view_deg=90.0).lens_px == pytest.approx(960.0)
    assert FilmingSetUp(focal_px=1500.0).lens_px == 1500.0


@pytest.mark.parametrize(
    "wrong",
    [
        {"distance_m": 0.2}, {"yaw_deg": 60.0}, {"rate_hz": 1.0}, {"focal_px": -1.0},
        {"field_of_view_deg": 180.0}, {"row_time_s": 1.0}, {"view": "top"}, {"width_px": 3},
    ],
)  # fmt: skip
def test_a_set_up_that_cannot_be_is_refused(wrong):
    with pytest.raises(InputValueError):
        FilmingSetUp(**wrong)


def test_positions_are_the_projection_of_the_truth(figure):
    set_up = FilmingSetUp(yaw_deg=7.0)
    expected = set_up.camera("right").project(figure.stacked_m())
    np.testing.assert_allclose(film_positions(figure, set_up), expected)


def test_a_rolling_shutter_draws_a_fast_hand_along(figure):
    still = film_positions(figure, FilmingSetUp())
    rolled = film_positions(figure, FilmingSetUp(row_time_s=20e-6))
    frame = round(figure.events["release"] * 240.0)
    speed_px_s = (still[frame + 1, HAND] - still[frame - 1, HAND]) * 120.0
    late_s = 20e-6 * (rolled[frame, HAND, 1] - 359.5)
    # first order; what is left is the acceleration within a few milliseconds
    shift = rolled[frame, HAND] - still[frame, HAND]
    assert np.linalg.norm(shift - speed_px_s * late_s) < 0.2 * np.linalg.norm(shift)
    assert np.linalg.norm(shift) > 3.0


def test_clothing_shifts_a_landmark_by_the_same_length_throughout(figure):
    offsets_m = clothing_offsets_m(np.random.default_rng(2), 0.02)
    set_up = FilmingSetUp(distance_m=100.0)  # so far away that depth changes nothing
    shift_px = film_positions(figure, set_up, offsets_m=offsets_m) - film_positions(figure, set_up)
    shift_m = np.nanmean(shift_px, axis=0) * set_up.metres_per_px
    np.testing.assert_allclose(shift_m[:, 0], offsets_m[:, 0], atol=1e-3)
    np.testing.assert_allclose(shift_m[:, 1], -offsets_m[:, 2], atol=1e-3)


def test_the_ruler_lies_in_the_plane_or_beside_it():
    assert ruler_m(FilmingSetUp(), 0.05)[:, 1].tolist() == [0.05, 0.05]
    assert ruler_m(FilmingSetUp(view="rear"), 0.05)[:, 0].tolist() == [0.05, 0.05]
    assert np.linalg.norm(np.diff(ruler_m(FilmingSetUp()), axis=0)) == pytest.approx(2.5)
