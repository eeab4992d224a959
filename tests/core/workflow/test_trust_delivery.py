"""Deliveries of known truth, recorded as a person would."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.metrics.shutter import seen_track
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.filming import FilmingSetUp, film_positions
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.workflow.trust_delivery import Care, simulated_delivery


@pytest.fixture(scope="module")
def figure():
    return build_delivery(DeliverySpec(), 240.0)


def test_with_everything_exact_the_positions_are_those_of_a_perfect_hand(figure):
    delivery = simulated_delivery(figure, care=Care(is_exact=True)).delivery
    exact = film_positions(figure, FilmingSetUp())
    for column, key in enumerate(LANDMARK_KEYS[:-1]):
        np.testing.assert_allclose(delivery.cameras[0].tracks[key].xy_px, exact[:, column])


def test_placing_scatters_by_its_u(figure):
    delivery = simulated_delivery(figure, care=Care(placing_px=3.0)).delivery
    calm = simulated_delivery(figure, care=Care(placing_px=0.0)).delivery
    errors = np.concatenate(
        [
            delivery.cameras[0].tracks[key].xy_px - calm.cameras[0].tracks[key].xy_px
            for key in LANDMARK_KEYS[:-1]
        ]
    )
    # same seed, same camera; some 14,000 draws
    assert np.std(errors) == pytest.approx(3.0, rel=0.03)


def test_what_is_stated_lies_around_the_truth_by_its_u(figure):
    small = build_delivery(DeliverySpec(), 30.0)
    rng = np.random.default_rng(4)
    care = Care(u_height_m=0.02, u_vertical_deg=0.5)
    drawn = [
        simulated_delivery(small, FilmingSetUp(rate_hz=30.0), care, rng).delivery
        for _ in range(200)
    ]
    heights = [each.athlete.height_m for each in drawn]
    levels = [each.cameras[0].scale.vertical_deg for each in drawn]
    assert np.std(heights) == pytest.approx(0.02, rel=0.2)  # 4 standard errors of 200 draws
    assert np.std(levels) == pytest.approx(0.5, rel=0.2)


def test_marks_lie_on_the_frame_nearest_to_the_event():
    figure = varied_delivery(np.random.default_rng(9), rate_hz=60.0)
    marks = simulated_delivery(figure, FilmingSetUp(rate_hz=60.0)).delivery.cameras[0].marks
    for event, time_s in figure.events.items():
        assert abs(marks[event].time_s - time_s) <= 0.5 / 60.0
        assert marks[event].time_s * 60.0 == pytest.approx(round(marks[event].time_s * 60.0))


def test_only_some_frames_can_be_placed(figure):
    delivery = simulated_delivery(figure, frames={3, 5}).delivery
    assert delivery.cameras[0].tracks["left_knee"].frames.tolist() == [3, 5]


def test_a_row_time_that_is_entered_is_corrected_for(figure):
    set_up = FilmingSetUp(row_time_s=15e-6)
    exact = Care(is_exact=True)
    frame = round(figure.events["release"] * 240.0)
    straight, rolled, corrected = (
        seen_track(simulated_delivery(figure, *how).delivery.cameras[0], "right_hand").at(frame)
        for how in (
            (FilmingSetUp(), exact),
            (set_up, exact),
            (set_up, Care(is_exact=True, is_row_time_entered=True)),
        )
    )
    off = np.hypot(rolled.x_px - straight.x_px, rolled.y_px - straight.y_px)
    left = np.hypot(corrected.x_px - straight.x_px, corrected.y_px - straight.y_px)
    assert off > 3.0
    assert left < 0.2 * off
