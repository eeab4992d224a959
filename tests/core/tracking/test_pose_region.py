"""The region that the network looks at: exact places both ways, and where it goes next."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.tracking.pose_region import (
    INPUT_PX,
    MARGIN,
    Region,
    is_usable,
    region_of_box,
    region_of_points,
)


def _dots(size_px, places):
    picture = np.zeros((size_px[1], size_px[0], 3), dtype=np.uint8)
    for (x, y), colour in places.items():
        picture[y, x] = colour
    return picture


def test_a_region_of_the_inputs_size_hands_the_pixels_over_unchanged():
    rng = np.random.default_rng(3)
    picture = rng.integers(0, 256, (300, 400, 3), dtype=np.uint8)
    # the square from pixel (20, 10) on: its middle lies between two pixel centres
    region = Region(x_px=20 + 127.5, y_px=10 + 127.5, side_px=INPUT_PX)
    assert np.array_equal(region.cut_out(picture), picture[10:266, 20:276])
    # the centre of the input's first pixel is the centre of that pixel of the picture
    assert region.placed(np.array([0.5, 0.5])) == pytest.approx([20.0, 10.0])


@pytest.mark.parametrize("turn_rad", [0.0, 0.3, -1.2, math.pi / 2])
@pytest.mark.parametrize("side_px", [180.0, 400.0])
def test_what_is_cut_out_lies_where_it_is_placed_back(turn_rad, side_px):
    # a smooth blob: its middle survives any resampling
    x0, y0 = 171.3, 140.8
    y, x = np.mgrid[0:320, 0:360]
    blob = np.exp(-((x - x0) ** 2 + (y - y0) ** 2) / (2 * 6.0**2))
    picture = np.repeat((200 * blob).astype(np.uint8)[..., None], 3, axis=2)
    region = Region(x_px=180.0, y_px=150.0, side_px=side_px, turn_rad=turn_rad)
    cut = region.cut_out(picture)[..., 0].astype(float)
    rows, columns = np.mgrid[0:INPUT_PX, 0:INPUT_PX]
    middle = np.array([(cut * columns).sum(), (cut * rows).sum()]) / cut.sum() + 0.5
    # a twentieth of a pixel: the picture's levels are whole numbers
    assert region.placed(middle) == pytest.approx([x0, y0], abs=0.05)


def test_the_colours_keep_their_order_and_what_lies_beyond_is_black():
    picture = _dots((60, 60), {(30, 30): (250, 120, 10)})
    cut = Region(x_px=30.0, y_px=30.0, side_px=64.0).cut_out(picture)
    red, green, blue = cut[INPUT_PX // 2, INPUT_PX // 2].tolist()
    assert red > green > blue
    assert not cut[0].any()


def test_a_box_is_taken_with_its_margin_and_given_back():
    region = region_of_box((100.0, 40.0, 60.0, 160.0))
    assert region.side_px == MARGIN * 160.0
    # from the left edge of pixel 100 to the right edge of pixel 159
    assert (region.x_px, region.y_px) == (129.5, 119.5)
    left, top, width, height = region.box
    assert (left, top, width, height) == pytest.approx((49.5, 39.5, 160.0, 160.0))


@pytest.mark.parametrize("box", [(10.0, 10.0, 0.0, 50.0), (1.0, 1.0, 8.0, 12.0)])
def test_a_box_that_holds_nobody_is_refused(box):
    with pytest.raises(InputValueError, match="too small"):
        region_of_box(box)


def test_the_next_region_stands_on_the_hips_and_turns_with_the_body():
    upright = region_of_points(np.array([50.0, 80.0]), np.array([50.0, 20.0]))
    assert (upright.side_px, upright.turn_rad) == (2.0 * MARGIN * 60.0, 0.0)
    leaning = region_of_points(np.array([50.0, 80.0]), np.array([110.0, 80.0]))
    assert leaning.turn_rad == pytest.approx(math.pi / 2)
    # the point above the hips lies above the middle in the input too
    above = np.array([INPUT_PX / 2, INPUT_PX / 2 - 60.0 / leaning.pixel_px])
    assert leaning.placed(above) - leaning.placed(np.full(2, INPUT_PX / 2)) == pytest.approx(
        [60.0, 0.0], abs=1e-9
    )


def test_a_region_off_the_picture_or_out_of_all_size_is_of_no_use():
    fine = Region(x_px=100.0, y_px=100.0, side_px=150.0)
    assert is_usable(fine, (320, 240))
    for wrong in (
        replace(fine, side_px=15.0),
        replace(fine, side_px=1500.0),
        Region(x_px=-5.0, y_px=100.0, side_px=150.0),
        Region(x_px=math.nan, y_px=100.0, side_px=150.0),
    ):
        assert not is_usable(wrong, (320, 240))
