from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from deliverylab.core.errors import InputValueError
from deliverylab.core.numerics.rigid_fit import fit_rigid

SQUARE = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [1.0, 1.0, 0.0]])


def test_printed_quarter_turn():
    # docstring of svdt in the BMC notebooks: A (0,0,0)(1,0,0)(0,1,0)(1,1,0) to B
    b = np.array([[0.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [-1.0, 1.0, 0.0]])
    fit = fit_rigid(SQUARE, b)
    assert fit.rotation == pytest.approx(np.array([[0, -1, 0], [1, 0, 0], [0, 0, 1]]), abs=1e-12)
    assert fit.shift == pytest.approx(np.zeros(3), abs=1e-12)
    assert fit.rms == pytest.approx(0.0, abs=1e-12)


def test_agrees_with_an_independent_library_on_noisy_points():
    rng = np.random.default_rng(3)
    a = rng.normal(size=(7, 3))
    b = Rotation.from_rotvec([0.4, -1.1, 0.3]).apply(a) + np.array([1.0, 2.0, 3.0])
    b += rng.normal(scale=0.05, size=b.shape)
    other, _ = Rotation.align_vectors(b - b.mean(axis=0), a - a.mean(axis=0))
    assert fit_rigid(a, b).rotation == pytest.approx(other.as_matrix(), abs=1e-9)


def test_a_mirror_image_is_not_turned_into_a_mirror():
    a = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    fit = fit_rigid(a, a * [1.0, 1.0, -1.0])
    assert np.linalg.det(fit.rotation) == pytest.approx(1.0)
    assert fit.rms > 0.1


def test_missing_points_are_left_out_and_lines_refused():
    b = SQUARE + np.array([1.0, 0.0, 0.0])
    with_gap = np.vstack([b, [np.nan] * 3])
    assert fit_rigid(np.vstack([SQUARE, [5.0] * 3]), with_gap).shift == pytest.approx([1, 0, 0])
    with pytest.raises(InputValueError, match="one line"):
        fit_rigid(np.outer(np.arange(4.0), [1, 2, 3]), np.outer(np.arange(4.0), [1, 2, 3]))
    with pytest.raises(InputValueError):
        fit_rigid(SQUARE[:2], SQUARE[:2])
