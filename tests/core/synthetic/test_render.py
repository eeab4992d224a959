from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.render import Film, Filming
from deliverylab.core.synthetic.scene import LaidCone, lying_stick
from deliverylab.core.synthetic.spec import DeliverySpec

CAMERA = camera_for_view(
    "open-side", "right", distance_m=8.0, focal_px=540.0, size_px=(320, 180), target_m=(0.85, 0.0)
)
STICK = lying_stick((2.05, 0.0), (1.0, 0.0))
CONES = (LaidCone(key="cone_left", x_m=2.0, y_m=0.8), LaidCone(key="cone_right", x_m=1.8, y_m=-0.6))
QUIET = Filming(noise_levels=0.0)


@pytest.fixture(scope="module")
def film():
    delivery = build_delivery(DeliverySpec(lead_in_s=0.0), 60.0)
    return Film(delivery, CAMERA, QUIET, stick=STICK, cones=CONES, target_m=(0.85, 0.0))


def test_ball_is_drawn_where_the_truth_says(film):
    # a slow instant, so that the ball is round; white against the screen behind
    frame = 2
    picture = film.picture(frame).astype(float)
    where = CAMERA.project(film.delivery.positions_m["ball"][frame])
    frame_late = int(np.ceil(film.delivery.events["release"] * 60)) + 1
    late = film.picture(frame_late).astype(float)
    at = CAMERA.project(film.delivery.positions_m["ball"][frame_late])
    x, y = np.rint(at).astype(int)
    around = late[y - 8 : y + 9, x - 12 : x + 13].min(axis=-1)
    rows, columns = np.nonzero(around > 0.5 * (around.max() + np.median(around)))
    found = np.array([x - 12 + columns.mean(), y - 8 + rows.mean()])
    # a ball of 2.5 px radius, smeared over 3 px: its centre to a pixel
    assert found == pytest.approx(at, abs=1.0)
    assert picture.shape == (180, 320, 3)
    assert np.all(np.isfinite(where))


def test_ends_of_the_stick_are_where_they_project(film):
    picture = film.picture(0).astype(float)
    redness = picture[..., 0] - picture[..., 2]
    for end, inward in zip(STICK.ends_m, (0.05, -0.05), strict=True):
        inside = CAMERA.project(end + np.array([inward, 0.0, 0.0]))
        outside = CAMERA.project(end - np.array([3 * inward, 0.0, 0.0]))
        (x1, y1), (x0, y0) = (np.rint(p).astype(int) for p in (inside, outside))
        assert redness[y1 - 1 : y1 + 2, x1].max() > redness[y0 - 1 : y0 + 2, x0].max() + 15


def test_cones_stand_where_their_feet_project(film):
    bare = Film(film.delivery, CAMERA, QUIET, stick=STICK, target_m=(0.85, 0.0))
    pictures = [each.picture(0).astype(float) for each in (film, bare)]
    warmth = [each[..., 0] / (each[..., 2] + 10.0) for each in pictures]  # of a shadow's ground too
    orange = warmth[0] > 1.3 * warmth[1]
    for cone in CONES:
        x, y = np.rint(CAMERA.project(cone.foot_m)).astype(int)
        rows, columns = np.nonzero(orange[y - 9 : y + 7, x - 9 : x + 10])
        assert columns.mean() - 9 == pytest.approx(0.0, abs=1.0)
        # a foot of 85 mm is 5 to 6 px to either side here, and its near edge, thin, 1 px below
        assert np.ptp(columns) == pytest.approx(11.0, abs=2.0)
        assert rows.max() - 9 == pytest.approx(0.0, abs=1.5)


def test_figure_covers_its_joints(film):
    frame = 20
    picture = film.picture(frame).astype(float)
    still = film._still
    changed = np.abs(picture - still).max(axis=-1) > 12
    for key in ("left_knee", "right_knee", "left_hip", "neck", "right_ankle", "left_elbow"):
        x, y = np.rint(CAMERA.project(film.delivery.positions_m[key][frame])).astype(int)
        assert changed[y - 1 : y + 2, x - 1 : x + 2].any(), key
    # one athlete, not a flood: a few percent of the picture
    assert 0.01 < changed.mean() < 0.12


def test_noise_has_its_size_and_is_the_same_for_the_same_seed(film):
    # a quarter of the picture, because drawing what stands behind takes the time
    small = camera_for_view(
        "open-side", "right", distance_m=8.0, focal_px=270.0, size_px=(160, 90), target_m=(0.85, 0)
    )
    noisy = Film(film.delivery, small, replace(QUIET, noise_levels=3.0), stick=STICK)
    a, b = noisy.picture(5), noisy.picture(5)
    assert np.array_equal(a, b)
    assert not np.array_equal(a, noisy.picture(6))
    other = Film(film.delivery, small, replace(QUIET, noise_levels=3.0, seed=2), stick=STICK)
    corner = (slice(0, 15), slice(0, 140))
    assert not np.array_equal(a[corner], other.picture(5)[corner])
    clean = Film(film.delivery, small, QUIET, stick=STICK).picture(5)
    spread = np.std(a[corner].astype(float) - clean[corner])
    assert spread == pytest.approx(3.0, rel=0.1)


def test_longer_exposure_smears_the_fast_hand(film):
    frame = round(film.delivery.events["release"] * 60) - 1
    sharp = Film(film.delivery, CAMERA, replace(QUIET, exposure_s=1e-4), stick=STICK)
    smeared = Film(film.delivery, CAMERA, replace(QUIET, exposure_s=1 / 120), stick=STICK)
    x, y = np.rint(CAMERA.project(film.delivery.positions_m["ball"][frame])).astype(int)
    near = (slice(y - 10, y + 11), slice(x - 10, x + 11))
    assert sharp.picture(frame)[near].max() > smeared.picture(frame)[near].max() + 15


def test_pictures_come_in_order(film):
    first, second = (picture for picture, _ in zip(film.pictures(), range(2), strict=False))
    assert np.array_equal(first, film.picture(0))
    assert np.array_equal(second, film.picture(1))
