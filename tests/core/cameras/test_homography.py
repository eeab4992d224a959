from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.homography import fit_homography, map_plane
from deliverylab.core.errors import InputValueError

SQUARE = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
SEEN = np.array([[100.0, 500.0], [500.0, 480.0], [420.0, 180.0], [140.0, 200.0]])


def test_square_of_four_corners_worked_out_on_paper():
    # solved by hand: eight linear equations; the middle is where the picture's diagonals cross
    found = fit_homography(SQUARE, SEEN)
    paper = [
        [385.981308, 98.878505, 100.0],
        [-33.457944, -215.887850, 500.0],
        [-0.028037, 0.420561, 1.0],
    ]
    assert found == pytest.approx(np.array(paper), abs=1e-6)
    assert map_plane(found, np.array([[0.5, 0.5]])) == pytest.approx(np.array([[286.25, 313.75]]))


def test_the_way_back_is_the_inverse():
    found = fit_homography(SQUARE, SEEN)
    assert map_plane(np.linalg.inv(found), SEEN) == pytest.approx(SQUARE, abs=1e-12)


def test_cross_ratio_of_four_points_on_a_line_is_kept():
    along = np.array([0.0, 0.2, 0.5, 1.0])
    line = map_plane(fit_homography(SQUARE, SEEN), np.stack([along, 0.3 * along], axis=1))
    d = np.linalg.norm(line - line[0], axis=1)

    def ratio(a, b, c, e):
        return (c - a) * (e - b) / ((c - b) * (e - a))

    assert ratio(*d) == pytest.approx(ratio(*along))


def test_too_few_points_and_points_on_a_line_are_refused():
    with pytest.raises(InputValueError, match="four points"):
        fit_homography(SQUARE[:3], SEEN[:3])
    with pytest.raises(InputValueError, match="one line"):
        fit_homography(np.array([[0, 0], [1, 0], [2, 0], [3, 0]], float), SEEN)
