"""Asking the network both ways round; the real one where somebody has fetched it."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from fractions import Fraction

import cv2
import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.store.detector_files import detector_weights
from deliverylab.core.synthetic.scenario import demo_scenario
from deliverylab.core.tracking.pose import (
    MIRRORED,
    N_POINTS,
    BodyPoints,
    PoseNetwork,
    ask,
    peaks_near,
)
from deliverylab.core.tracking.pose_landmarks import KEYS, landmarks_of
from deliverylab.core.tracking.pose_region import INPUT_PX, Region, region_of_box
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from tests.core.tracking.posed import SIZE_PX, RedBoxNetwork, body, drawn


def test_mirroring_twice_is_nothing_and_changes_the_sides():
    assert np.array_equal(MIRRORED[MIRRORED], np.arange(N_POINTS))
    assert MIRRORED[0] == 0
    assert (MIRRORED[11], MIRRORED[12], MIRRORED[31], MIRRORED[32]) == (12, 11, 32, 31)


def test_both_answers_lie_on_the_person_with_the_same_sides():
    picture = drawn((150, 120, 30))
    answer = ask(RedBoxNetwork(), picture, Region(x_px=155.0, y_px=118.0, side_px=170.0))
    assert answer.is_found(SIZE_PX)
    # the box's edges are known to a pixel of the picture
    assert np.abs(answer.points_px - body(150, 120, 30)).max() < 1.5
    assert np.abs(answer.mirrored_px - answer.points_px).max() < 1.0
    assert answer.next_region.x_px == pytest.approx(150, abs=1)
    assert answer.next_region.side_px == pytest.approx(5 * 30, rel=0.05)


class _LeftSeer:
    """Say that everything is on the left of its input, and poorly seen when mirrored."""

    def __init__(self):
        self.answers = iter(
            (
                BodyPoints(np.full((35, 2), 64.0), np.full(N_POINTS, 0.9), 0.9),
                BodyPoints(np.full((35, 2), 64.0), np.linspace(0.1, 0.8, N_POINTS), 0.6),
            )
        )

    def run(self, _cut):
        return next(self.answers)


def test_a_network_that_leans_to_a_side_is_found_out_by_the_mirror():
    region = Region(x_px=127.5, y_px=127.5, side_px=INPUT_PX)
    answer = ask(_LeftSeer(), np.zeros((256, 256, 3), dtype=np.uint8), region)
    assert np.allclose(answer.mirrored_px - answer.points_px, [128.0, 0.0])
    assert answer.score == 0.6
    assert np.allclose(answer.peaks, np.linspace(0.1, 0.8, N_POINTS)[MIRRORED])


def test_both_answers_are_the_same_from_two_threads():
    picture, region = drawn((150, 120, 30)), Region(x_px=155.0, y_px=118.0, side_px=170.0)
    alone, network = ask(RedBoxNetwork(), picture, region), RedBoxNetwork()
    with ThreadPoolExecutor(1) as beside:
        together = ask(network, picture, region, beside)
    assert network.n_runs == 2
    assert np.array_equal(together.points_px, alone.points_px)
    assert np.array_equal(together.mirrored_px, alone.mirrored_px)


def test_the_middle_of_a_peak_and_its_height_are_read_from_the_map():
    cells = np.arange(64)
    maps = np.full((3, 64, 64), -20.0, dtype=np.float32)
    # at (20.5, 30.25) in cells' own numbers; then one in the corner; then none
    for number, (x, y) in enumerate([(20.5, 30.25), (0.0, 0.0)]):
        away = (cells[None, :] - x) ** 2 + (cells[:, None] - y) ** 2
        shown = 0.9 * np.exp(-away / 2.0) + 1e-9
        maps[number] = np.log(shown / (1.0 - shown))
    near = np.array([[80.0, 120.0], [3.0, 3.0], [100.0, 100.0]])
    middles, heights = peaks_near(maps, near)
    # four pixels a cell, the first cell's middle is at 2
    assert middles[0] == pytest.approx([84.0, 123.0], abs=0.3)
    assert heights[:2] == pytest.approx([0.77, 0.9], abs=0.01)
    assert middles[1] == pytest.approx([2.0, 2.0], abs=2.5)
    assert heights[2] < 1e-6


def test_nobody_in_the_region_is_said():
    answer = ask(RedBoxNetwork(), drawn(), Region(x_px=100.0, y_px=100.0, side_px=150.0))
    assert not answer.is_found(SIZE_PX)


def test_what_is_no_network_is_refused_in_words():
    with pytest.raises(InputValueError, match="cannot be loaded"):
        PoseNetwork(b"not a network")


@pytest.mark.parametrize("version", ["4.10.0", "5.0.0-pre"])
def test_an_opencv_that_does_not_fit_is_refused_before_it_gives_wrong_answers(monkeypatch, version):
    monkeypatch.setattr(cv2, "__version__", version)
    with pytest.raises(InputValueError, match=f"OpenCV {version}"):
        PoseNetwork(b"")


@pytest.mark.slow
def test_the_real_network_finds_a_rendered_body():
    weights = detector_weights()
    if weights is None:
        pytest.skip("the landmark detector is not installed: deliverylab get-detector")
    full = demo_scenario()["athlete-side"]
    clip = replace(
        full, size_px=(640, 360), focal_px=full.focal_px / 2, rate_hz=Fraction(60)
    )  # renders faster
    delivery = clip.delivery()
    # in the stride: at foot contact itself it may take one side for the other
    frame = int((delivery.events["foot_contact"] - 0.15) * float(clip.rate_hz))
    truth = clip.camera().project(delivery.stacked_m())[frame]
    truth = truth[[LANDMARK_KEYS.index(key) for key in KEYS]]
    low, high = truth.min(axis=0), truth.max(axis=0)
    region = region_of_box((*low.tolist(), *(high - low).tolist()))
    picture, network = clip.film().picture(frame), PoseNetwork(weights)
    answer = ask(network, picture, region)
    region = answer.next_region
    answer = ask(network, picture, region)
    with ThreadPoolExecutor(1) as beside:
        together = ask(network, picture, region, beside)
    assert np.array_equal(together.points_px, answer.points_px)
    assert np.array_equal(together.mirrored_px, answer.mirrored_px)
    assert answer.score > 0.8
    off = np.hypot(*(landmarks_of(answer.points_px) - truth).T)
    # a tenth of a torso length, 6.5 px: more than twice what the benchmark shows
    assert np.median(off) < 6.5
