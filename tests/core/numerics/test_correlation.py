"""Intraclass correlations against printed values, each with its source beside it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from deliverylab.core.numerics.agreement import mean_squares
from deliverylab.core.numerics.correlation import intraclass_correlations

# Shrout & Fleiss 1979, table 2: six targets, four judges.
JUDGED = np.array(
    [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
)
# Weir 2005, table 1, data sets A and B.
WEIR_A = np.array(
    [[146, 148, 170, 90, 157, 156, 176, 205], [140, 152, 152, 99, 145, 153, 167, 218]]
).T
WEIR_B = np.array(
    [[166, 168, 160, 150, 147, 146, 156, 155], [160, 172, 142, 159, 135, 143, 147, 168]]
).T


def test_the_six_correlations_of_shrout_and_fleiss():
    # Table 4 of the paper: .17, .29, .71, .44, .62, .91.
    found = intraclass_correlations(mean_squares(JUDGED))
    printed = {"1,1": 0.17, "2,1": 0.29, "3,1": 0.71, "1,k": 0.44, "2,k": 0.62, "3,k": 0.91}
    assert {form: each.value for form, each in found.items()} == pytest.approx(printed, abs=0.005)


def test_intervals_of_the_six_correlations():
    # From memory of the documentation of a statistics package on the same data, two digits.
    printed = {
        "1,1": (-0.13, 0.72), "2,1": (0.02, 0.76), "3,1": (0.34, 0.95),
        "1,k": (-0.88, 0.91), "2,k": (0.07, 0.93), "3,k": (0.68, 0.99),
    }  # fmt: skip
    found = intraclass_correlations(mean_squares(JUDGED))
    for form, ends in printed.items():
        assert (found[form].low, found[form].high) == pytest.approx(ends, abs=0.0051), form


def test_the_interval_of_a_correlation_holds_the_truth():
    # Targets of spread 2, judges of spread 1, error 1: ICC(2,1) 4/6, ICC(3,1) 4/5.
    random, n_inside, n_runs = np.random.default_rng(5), [0, 0], 400
    for _ in range(n_runs):
        parts = random.normal(0, 2, (15, 1)) + random.normal(0, 1, (1, 6))
        found = intraclass_correlations(mean_squares(parts + random.normal(0, 1, (15, 6))))
        n_inside[0] += found["2,1"].low <= 4 / 6 <= found["2,1"].high
        n_inside[1] += found["3,1"].low <= 4 / 5 <= found["3,1"].high
    # Binomial standard deviation of 0.95 in 400 runs: 1.1 %.  (2,1) rests on an approximation.
    assert n_inside[0] / n_runs == pytest.approx(0.95, abs=0.035)
    assert n_inside[1] / n_runs == pytest.approx(0.95, abs=0.033)


def test_the_same_error_gives_another_correlation_among_targets_that_are_alike():
    # Weir's data set B, from memory; that its error mean square is A's, 57.1, bears it out.
    squares = mean_squares(WEIR_B)
    assert squares.error == pytest.approx(mean_squares(WEIR_A).error)
    # Weir 2005, table 4: .55
    assert intraclass_correlations(squares)["2,1"].value == pytest.approx(0.55, abs=0.005)


def test_moving_and_scaling_all_values():
    squares, moved = mean_squares(JUDGED), mean_squares(3.0 * JUDGED + 100.0)
    assert moved.error == pytest.approx(9.0 * squares.error)
    before, after = map(intraclass_correlations, (squares, moved))
    for form in before:
        assert after[form] == pytest.approx(before[form])


def test_targets_that_do_not_differ_have_no_correlation():
    found = intraclass_correlations(mean_squares(np.ones((3, 2))))
    assert all(math.isnan(each.value) for each in found.values())
    perfect = intraclass_correlations(mean_squares(np.array([[1.0, 1.0], [2.0, 2.0]])))
    assert all(each.value == 1.0 for each in perfect.values())


def test_weirs_correlations():
    # Weir 2005, table 4: ICC(2,1) and (3,1) of A are .95.
    found = intraclass_correlations(mean_squares(WEIR_A))
    assert (found["2,1"].value, found["3,1"].value) == pytest.approx((0.95, 0.95), abs=0.005)
