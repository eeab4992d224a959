"""How a camera turned is found from the background, with a u that holds."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.tracking.camera_motion import background_motion
from tests.core.tracking.sliding import HEIGHT, WIDTH
from tests.core.tracking.turned import filmed, mapped, turning

PLACES = np.array([[x, y] for x in (60.0, 240.0, 420.0) for y in (60.0, 180.0, 300.0)])


def shaken(n, seed):
    """A hand that pans by 6 degrees and shakes by half a degree, still in the frame 0."""
    angles_deg = 0.5 * np.random.default_rng(seed).standard_normal((n, 3))
    angles_deg[:, 0] += np.linspace(0.0, 6.0, n)
    angles_deg[0] = 0.0
    return turning(angles_deg)


def across(n):
    return np.stack((np.linspace(60, 330, n), np.full(n, 130.0)), axis=-1)


def errors(motion, homographies, rows):
    """Errors, (rows, places, 2), and what the homographies add to u, (rows, places)."""
    carried = [motion.carried(row, PLACES) for row in rows]
    true = [mapped(homographies[row], PLACES) for row in rows]
    return np.array([xy for xy, _ in carried]) - true, np.array([u for _, u in carried])


def test_a_shaken_pan_is_taken_out_and_its_u_holds():
    ratios, off_px = [], []
    for seed in range(6):
        homographies = shaken(9, seed)
        picture = filmed(homographies, noise_levels=4.0, seed=seed + 1, patch_xy_px=across(9))
        motion = background_motion(picture, range(9), reference_frame=0)
        error_px, u_px = errors(motion, homographies, range(1, 9))
        off_px.append(error_px)
        ratios.append(np.mean(error_px**2, axis=-1) / u_px**2)
    rms_px = np.sqrt(np.mean(np.square(off_px)))
    assert rms_px < 0.05
    assert 0.7 < np.mean(ratios) < 1.3


def test_beyond_what_the_reference_shows_key_frames_carry_on():
    angles_deg = np.zeros((16, 3))
    angles_deg[:, 0] = np.linspace(-15.0, 15.0, 16)
    homographies = turning(angles_deg)
    to_first = np.linalg.inv(homographies[0]) @ homographies
    motion = background_motion(filmed(homographies), range(16), reference_frame=0)
    error_px, u_px = errors(motion, to_first, [15])
    assert motion.is_told.all()
    assert np.abs(error_px).max() < 1.0
    assert np.mean(np.mean(error_px**2, axis=-1) / u_px**2) < 6.0
    assert u_px.mean() > 2.0 * errors(motion, to_first, [2])[1].mean()


def test_a_camera_that_stands_is_said_to_stand():
    standing = filmed(turning(np.zeros((5, 3))), patch_xy_px=across(5))
    motion = background_motion(standing, range(5), reference_frame=2)
    assert motion.is_still
    assert motion.still_within_px < 0.3
    turned = background_motion(filmed(shaken(5, 1)), range(5), reference_frame=2)
    assert not turned.is_still
    assert turned.still_within_px > 5.0


def test_a_bare_background_tells_nothing():
    bare = filmed(shaken(3, 1), contrast=0.0, noise_levels=0.0)
    motion = background_motion(bare, range(3), reference_frame=0)
    assert not motion.is_told.any()
    assert not motion.is_still
    carried, u_px = motion.carried(1, PLACES)
    assert np.isnan(carried).all()
    assert np.isnan(u_px).all()


def test_the_athlete_is_left_out():
    n, homographies = 4, turning(np.zeros((4, 3)))
    homographies[1:, 0, 2] = [4.0, 8.0, 12.0]
    picture = filmed(homographies, patch_xy_px=across(n))
    flat = np.full((HEIGHT, WIDTH), 128, np.uint8)

    def mostly_athlete(frame):
        """Only a strip shows the background; the rest is one thing that stays in the picture."""
        shown = picture(0).copy()
        shown[:130] = picture(frame)[:130]
        return shown

    def where(_frame):
        return np.arange(HEIGHT)[:, None].repeat(WIDTH, 1) >= 120

    motion = background_motion(mostly_athlete, range(n), reference_frame=0, left_out=where)
    moved = motion.carried(3, np.array([[200.0, 60.0]]))[0][0]
    assert moved == pytest.approx([212.0, 60.0], abs=0.1)
    fooled = background_motion(mostly_athlete, range(n), reference_frame=0)
    assert fooled.carried(3, np.array([[200.0, 60.0]]))[0][0, 0] < 205.0
    assert not background_motion(lambda _: flat, range(n), reference_frame=0).is_told.any()


def test_frames_that_cannot_be_read_are_not_told_and_cancelling_ends_it():
    picture = filmed(shaken(12, 2)[:4])
    motion = background_motion(
        lambda frame: None if frame == 2 else picture(frame), range(4), reference_frame=0
    )
    assert motion.is_told.tolist() == [True, True, False, True]
    ended = background_motion(picture, range(4), reference_frame=0, is_cancelled=lambda: True)
    assert ended.is_told.tolist() == [True, False, False, False]
    with pytest.raises(InputValueError, match="reference frame"):
        background_motion(lambda _: None, range(4), reference_frame=0)
