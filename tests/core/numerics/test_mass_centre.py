from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from deliverylab.core.numerics.mass_centre import combined_mass_centre, segment_mass_centre


def test_ratio_counts_from_the_proximal_end():
    proximal, distal = np.array([0.0, 1.0]), np.array([0.0, 0.0])
    assert segment_mass_centre(proximal, distal, 0.0) == pytest.approx(proximal)
    assert segment_mass_centre(proximal, distal, 1.0) == pytest.approx(distal)
    # Winter (Dempster), thigh: .433 from the hip is .567 from the knee
    assert segment_mass_centre(proximal, distal, 0.433) == pytest.approx([0.0, 0.567])
    assert segment_mass_centre(distal, proximal, 0.567) == pytest.approx([0.0, 0.567])


def test_lever_rule():
    # 3 kg at 0 and 1 kg at 4 m balance at 1 m
    centre = combined_mass_centre(np.array([[0.0, 0.0], [4.0, 8.0]]), np.array([3.0, 1.0]))
    assert centre == pytest.approx([1.0, 2.0])


def test_unit_of_mass_does_not_matter():
    centres = np.random.default_rng(1).normal(size=(6, 3))
    shares = np.array([0.1, 0.2, 0.05, 0.25, 0.3, 0.1])
    assert combined_mass_centre(centres, shares) == pytest.approx(
        combined_mass_centre(centres, 83.0 * shares)
    )


def test_shares_that_do_not_add_up_are_made_to():
    # de Leva's female column adds up to 99.99 %: a body far from the origin shows a missing divide
    centres = np.full((3, 2), 1000.0)
    assert combined_mass_centre(centres, np.array([0.5, 0.3, 0.1999])) == pytest.approx(
        [1000.0, 1000.0]
    )


@given(st.floats(-180.0, 180.0), st.floats(0.1, 10.0), st.floats(-50.0, 50.0))
def test_mass_centre_moves_with_the_body(turn_deg, size, shift):
    rng = np.random.default_rng(2)
    centres, masses = rng.normal(size=(5, 3)), rng.uniform(0.1, 1.0, 5)
    turn = Rotation.from_euler("xyz", (turn_deg, 0.3 * turn_deg, -turn_deg), degrees=True)
    moved = size * turn.apply(centres) + shift
    expected = size * turn.apply(combined_mass_centre(centres, masses)) + shift
    # fifteen digits of numbers up to a hundred
    assert combined_mass_centre(moved, masses) == pytest.approx(expected, abs=1e-11)


def test_bodies_may_be_combined_in_steps():
    rng = np.random.default_rng(3)
    centres, masses = rng.normal(size=(5, 2)), rng.uniform(0.1, 1.0, 5)
    first, second = (
        combined_mass_centre(centres[part], masses[part]) for part in (slice(2), slice(2, 5))
    )
    both = combined_mass_centre(
        np.stack((first, second)), np.array([masses[:2].sum(), masses[2:].sum()])
    )
    assert both == pytest.approx(combined_mass_centre(centres, masses))


def test_a_batch_is_its_rows():
    rng = np.random.default_rng(4)
    centres, masses = rng.normal(size=(7, 5, 3)), rng.uniform(0.1, 1.0, 5)
    batch = combined_mass_centre(centres, masses)
    assert batch.shape == (7, 3)
    assert batch[3] == pytest.approx(np.average(centres[3], axis=0, weights=masses))


def test_a_body_with_a_hole_has_no_mass_centre():
    centres = np.random.default_rng(5).normal(size=(4, 3, 2))
    centres[1, 2, 0] = np.nan
    centre = combined_mass_centre(centres, np.array([0.5, 0.3, 0.0]))
    # not even where the missing part weighs nothing: it was said to be there
    assert np.isnan(centre[1, 0])
    assert np.all(np.isfinite(centre[[0, 2, 3]]))


def test_a_missing_end_gives_nan():
    there, gone = np.zeros((2, 2)), np.array([[1.0, 1.0], [np.nan, np.nan]])
    centre = segment_mass_centre(there, gone, 0.4)
    assert centre[0] == pytest.approx([0.4, 0.4])
    assert np.all(np.isnan(centre[1]))
