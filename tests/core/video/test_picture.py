"""Colours follow the standards' equations, and pictures come upright."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import av
import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from deliverylab.core.video.index import build_index
from deliverylab.core.video.opening import Orientation
from deliverylab.core.video.picture import PictureConverter, source_colours, turn_upright
from deliverylab.core.video.reader import FrameReader
from tests.core.video.coded_clips import read_code

# Luma weights (red, blue) of ITU-R BT.709-6 and BT.601-7, by matrix code point.
LUMA = {1: (0.2126, 0.0722), 6: (0.299, 0.114)}
COLOURS = np.array(
    [[200, 40, 40], [40, 180, 60], [30, 60, 210], [128, 128, 128], [240, 230, 20], [5, 250, 240]]
)


def stored_patch(rgb: NDArray[np.int64], matrix: int, *, is_full: bool) -> tuple[int, int, int]:
    """Return Y, Cb, Cr of a colour by the equations of BT.709 and BT.601."""
    red, green, blue = rgb / 255
    weight_red, weight_blue = LUMA[matrix]
    luma = weight_red * red + (1 - weight_red - weight_blue) * green + weight_blue * blue
    blueness = (blue - luma) / (2 * (1 - weight_blue))
    redness = (red - luma) / (2 * (1 - weight_red))
    if is_full:
        values = (255 * luma, 128 + 255 * blueness, 128 + 255 * redness)
    else:
        values = (16 + 219 * luma, 128 + 224 * blueness, 128 + 224 * redness)
    return tuple(int(np.clip(round(value), 0, 255)) for value in values)  # type: ignore[return-value]


def frame_of(
    yuv: tuple[int, int, int], matrix: int, *, is_full: bool, height: int = 32
) -> av.VideoFrame:
    planes = np.empty((3, height, 32), np.uint8)
    planes[:] = np.array(yuv, np.uint8)[:, None, None]
    frame = av.VideoFrame.from_ndarray(planes, format="yuv444p")
    frame.colorspace = matrix
    frame.color_range = 2 if is_full else 1
    return frame


@pytest.mark.parametrize("is_full", [False, True])
@pytest.mark.parametrize("matrix", [1, 6])
def test_colours_by_the_equations(matrix: int, is_full: bool) -> None:
    converter = PictureConverter(Orientation(), 32, 32)
    for colour in COLOURS:
        yuv = stored_patch(colour, matrix, is_full=is_full)
        found = converter.convert(frame_of(yuv, matrix, is_full=is_full))[16, 16].astype(int)
        # rounding Y, Cb and Cr to whole numbers moves a colour by up to two levels
        assert np.abs(found - colour).max() <= 3, (colour, found)


@pytest.mark.parametrize(("height", "matrix"), [(480, 6), (720, 1)])
def test_untagged_pictures_go_by_their_height(height: int, matrix: int) -> None:
    colour = COLOURS[0]
    yuv = stored_patch(colour, matrix, is_full=False)
    frame = frame_of(yuv, 2, is_full=False, height=height)
    frame.color_range = 0
    assert source_colours(frame)[1] == 1
    found = PictureConverter(Orientation(), 32, height).convert(frame)[16, 16].astype(int)
    assert np.abs(found - colour).max() <= 3


def test_turns() -> None:
    picture = np.arange(2 * 3 * 3, dtype=np.uint8).reshape(2, 3, 3)
    clockwise = turn_upright(picture, Orientation(90))
    # the stored left column, read upwards, becomes the top row
    assert np.array_equal(clockwise[0], picture[::-1, 0])
    assert np.array_equal(turn_upright(picture, Orientation(180)), picture[::-1, ::-1])
    back = turn_upright(clockwise, Orientation(270))
    assert np.array_equal(back, picture)
    mirrored = turn_upright(picture, Orientation(0, is_mirrored=True))
    assert np.array_equal(mirrored, picture[:, ::-1])
    both = turn_upright(picture, Orientation(90, is_mirrored=True))
    assert np.array_equal(
        both, turn_upright(np.ascontiguousarray(picture[:, ::-1]), Orientation(90))
    )
    assert all(turned.flags.c_contiguous for turned in (clockwise, back, mirrored, both))


@pytest.mark.parametrize("kind", ["turned-90", "turned-180", "turned-270"])
def test_another_reader_turns_the_same_way(make_clip: Callable[[str], Path], kind: str) -> None:
    """OpenCV applies the display matrix by its own code; ours must look the same."""
    path = make_clip(kind)
    capture = cv2.VideoCapture(str(path))
    is_read, bgr = capture.read()
    capture.release()
    assert is_read
    with FrameReader(build_index(path)) as reader:
        ours = reader.read(0)
    assert read_code(ours) == read_code(np.ascontiguousarray(bgr[..., ::-1])) == 0
