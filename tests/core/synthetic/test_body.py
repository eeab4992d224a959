from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.synthetic.body import BALL, LEATHER, Uniform, clothe
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.raster import Limb
from deliverylab.core.synthetic.spec import DeliverySpec


def _parts(hand, time_s):
    motion = build_delivery(DeliverySpec(hand=hand), 30.0).motion
    points = {k: v[0] for k, v in motion.positions_at([time_s]).items()}
    return points, clothe(points, motion.gaze_at([time_s])[0], hand=hand, height_m=1.78)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_glove_is_on_the_other_hand(hand):
    points, parts = _parts(hand, 1.15)
    glove = "left" if hand == "right" else "right"
    middles = [
        0.5 * (part.start_m + part.end_m) if isinstance(part, Limb) else part.centre_m
        for part in parts
        if part.paint == LEATHER
    ]
    assert middles
    for middle in middles:
        assert np.linalg.norm(middle - points[f"{glove}_hand"]) < 0.2


def test_thighs_run_from_hip_to_knee_and_the_ball_is_at_its_place():
    points, parts = _parts("right", 1.15)
    limbs = [part for part in parts if isinstance(part, Limb)]
    for side in ("left", "right"):
        assert any(
            np.array_equal(limb.start_m, points[f"{side}_hip"])
            and np.array_equal(limb.end_m, points[f"{side}_knee"])
            for limb in limbs
        )
    balls = [limb for limb in limbs if limb.paint == BALL]
    assert [limb.start_m == pytest.approx(points["ball"]) for limb in balls] == [True]


def test_no_ball_is_drawn_once_it_is_gone():
    assert not [part for part in _parts("right", 3.0)[1] if part.paint == BALL]


def test_every_paint_has_its_colour():
    used = {part.paint for part in _parts("left", 0.5)[1]}
    colours = Uniform().colours()
    assert max(used) < len(colours)
    assert colours.min() >= 0
    assert colours.max() <= 255
