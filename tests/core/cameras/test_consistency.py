from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.consistency import limb_constancy, misplaced
from deliverylab.core.cameras.triangulate import triangulate
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

CAMERAS = (
    camera_for_view("open-side", "right", distance_m=6.0, focal_px=1500.0),
    camera_for_view("rear", "right", distance_m=7.0, focal_px=1400.0, yaw_deg=5.0),
    camera_for_view("open-side", "right", distance_m=7.0, focal_px=1400.0, yaw_deg=-45.0),
)
DELIVERY = build_delivery(DeliverySpec(), rate_hz=30.0)
POINTS = DELIVERY.stacked_m()
ELBOW = LANDMARK_KEYS.index("right_elbow")


def seen(n_views, noise_px=0.0):
    rng = np.random.default_rng(0)
    exact = np.stack([camera.project(POINTS) for camera in CAMERAS[:n_views]])
    return exact + noise_px * rng.normal(size=exact.shape)


def test_exact_limbs_keep_their_length_and_noisy_ones_show_it():
    exact = limb_constancy(triangulate(CAMERAS[:2], seen(2), np.array(1.0)))
    assert len(exact) == 8
    assert max(limb.spread_m for limb in exact) < 1e-6
    noisy = limb_constancy(triangulate(CAMERAS[:2], seen(2, 2.0), np.array(2.0)))
    # 2 px at some 230 px a metre, in two ends and two views
    assert 0.003 < np.median([limb.spread_m for limb in noisy]) < 0.02
    assert {limb.n for limb in noisy} == {len(POINTS)}


def test_limbs_that_are_not_known_are_left_out():
    places = seen(2)
    places[0, 1:, ELBOW] = np.nan
    limbs = limb_constancy(triangulate(CAMERAS[:2], places, np.array(1.0)))
    assert not any("right_elbow" in {limb.start, limb.end} for limb in limbs)


@pytest.mark.parametrize("n_views", [2, 3])
def test_a_wrong_place_heads_the_list(n_views):
    places = seen(n_views, 1.0)
    places[1, 10, ELBOW] += [0.0, 40.0]
    found = misplaced(triangulate(CAMERAS[:n_views], places, np.array(1.0)))
    assert (found[0].instant, found[0].landmark) == (10, "right_elbow")
    assert found[0].misfit > 10.0
    if n_views == 3:
        assert found[0].camera == 1
    # chance alone passes the limit once in a thousand
    assert len(found) < 1 + 0.006 * POINTS.shape[0] * POINTS.shape[1]


def test_nothing_is_listed_where_all_fits():
    assert misplaced(triangulate(CAMERAS, seen(3), np.array(1.0))) == ()
