from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.faces import (
    CELLS_ACROSS_HEAD,
    Disc,
    FaceFinder,
    blurred,
    blurred_all,
)


@pytest.fixture
def noise():
    return np.random.default_rng(3).integers(0, 256, (240, 320, 3), dtype=np.uint8)


def test_a_disc_is_coarse_inside_and_untouched_outside(noise):
    disc = Disc(150.0, 100.0, 40.0)
    result = blurred(noise, [disc])
    y, x = np.mgrid[:240, :320]
    inside = np.hypot(x - 150.0, y - 100.0) <= 40.0
    assert (result[~inside] == noise[~inside]).all()
    # neighbours differ by what a few patches leave, not by what the picture held
    steps = np.abs(np.diff(result[80:121, 130:171].astype(int), axis=1))
    assert steps.max() < 20
    assert np.abs(np.diff(noise[80:121, 130:171].astype(int), axis=1)).max() > 200


def test_little_is_left_of_a_disc(noise):
    """Two pictures that differ only in fine detail look the same under a disc."""
    fine = noise.copy()
    fine[60:140:2] = noise[61:141:2]
    fine[61:141:2] = noise[60:140:2]
    disc = Disc(150.0, 100.0, 40.0)
    a, b = blurred(noise, [disc]), blurred(fine, [disc])
    y, x = np.mgrid[:240, :320]
    inside = np.hypot(x - 150.0, y - 100.0) <= 39.0
    before = np.abs(noise[inside].astype(int) - fine[inside]).mean()
    after = np.abs(a[inside].astype(int) - b[inside]).mean()
    assert after < 0.05 * before
    assert CELLS_ACROSS_HEAD <= 6


def test_no_discs_leave_the_picture(noise):
    assert blurred(noise, []) is noise


def test_discs_beyond_the_edge_do_no_harm(noise):
    for disc in (Disc(-5.0, -5.0, 30.0), Disc(400.0, 100.0, 20.0), Disc(319.0, 239.0, 0.2)):
        assert blurred(noise, [disc]).shape == noise.shape


def test_a_picture_can_be_coarse_all_over(noise):
    result = blurred_all(noise)
    assert result.shape == noise.shape
    assert np.abs(np.diff(result.astype(int), axis=1)).max() < 25


def test_the_finder_sees_no_face_in_noise_and_plain_ground(noise):
    finder = FaceFinder()
    assert finder.find(np.full((240, 320, 3), 120, np.uint8)) == []
    assert len(finder.find(noise)) <= 1


def test_the_finder_sees_the_drawn_head_of_the_example():
    from deliverylab.core.video.index import build_index
    from deliverylab.core.video.reader import FrameReader
    from deliverylab.core.workflow.demo import examples_dir

    with FrameReader(build_index(examples_dir() / "clips" / "athlete-side.mp4")) as reader:
        picture = reader.read(50)
    discs = FaceFinder().find(picture)
    # by eye: the head's middle lies about there
    assert any(abs(disc.x_px - 461.0) < 15 and abs(disc.y_px - 200.0) < 15 for disc in discs)
