"""Agreement and repeatability against printed values, each with its source beside it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.numerics.agreement import (
    NORMAL_95,
    Spread,
    detectable_change,
    limits_of_agreement,
    mean_squares,
    pooled,
    technical_error,
)

# Shrout & Fleiss 1979, table 2: six targets, four judges.
JUDGED = np.array(
    [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
)
# Weir 2005, table 1, data set A.
WEIR_A = np.array(
    [[146, 148, 170, 90, 157, 156, 176, 205], [140, 152, 152, 99, 145, 153, 167, 218]]
).T
# Bland & Altman 1986, table 1: peak expiratory flow, l/min; Wright and mini meter, twice each.
WRIGHT = np.array(
    [
        [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427],
        [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421],
    ]
).T
MINI = np.array(
    [
        [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451],
        [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443],
    ]
).T


def test_mean_squares_of_shrout_and_fleiss():
    # Table 3 of the paper: BMS 11.24, WMS 6.26, JMS 32.49, EMS 1.02.
    squares = mean_squares(JUDGED)
    found = (squares.between, squares.within, squares.occasions, squares.error)
    assert found == pytest.approx((11.24, 6.26, 32.49, 1.02), abs=0.005)
    assert (squares.n_within, squares.n_error) == (18, 15)


def test_weirs_error_of_measurement_and_detectable_change():
    squares = mean_squares(WEIR_A)
    sem = squares.error_of_measurement
    # Weir 2005 p. 236: SEM 7.6; p. 238: MDC 20.9.
    assert sem.sd == pytest.approx(7.6, abs=0.05)
    assert sem.n_degrees_of_freedom == 7
    assert detectable_change(sem.sd) == pytest.approx(20.9, abs=0.05)
    # √(Σd²/2n), by hand: Σd² = 860
    assert technical_error(WEIR_A).sd == pytest.approx(math.sqrt(860 / 16))


def test_peak_flow_meters_with_the_papers_two_standard_deviations():
    # Bland & Altman 1986: mean −2.1, SD 38.8, limits −79.7 and 75.5 (from rounded parts),
    # 95 % interval of the bias −22.0 to 17.8, of the lower limit −114.3 to −45.1.
    found = limits_of_agreement(WRIGHT[:, 0], MINI[:, 0], n_sd=2.0)
    assert (found.n, found.bias, found.sd) == (
        17,
        pytest.approx(-2.1, abs=0.05),
        pytest.approx(38.8, abs=0.05),
    )
    assert found.limits == pytest.approx((-79.7, 75.5), abs=0.1)
    assert found.bias_interval == pytest.approx((-22.0, 17.8), abs=0.06)
    assert found.lower_interval == pytest.approx((-114.3, -45.1), abs=0.15)
    # 40.9 to 110.1 in the paper (from memory), from its rounded limit of 75.5
    assert found.upper_interval == pytest.approx((40.9, 110.1), abs=0.2)


def test_peak_flow_meters_with_196_standard_deviations():
    found = limits_of_agreement(WRIGHT[:, 0], MINI[:, 0])
    # computed from the printed table to two decimals: −2.1176 ± 1.96 × 38.7651
    assert found.limits == pytest.approx((-78.10, 73.86), abs=0.005)


def test_repeatability_of_the_peak_flow_meters():
    # Bland & Altman 1986: twice the root mean square of the differences of the printed table.
    assert detectable_change(technical_error(WRIGHT).sd, 2.0) == pytest.approx(43.3, abs=0.05)
    assert detectable_change(technical_error(MINI).sd, 2.0) == pytest.approx(56.3, abs=0.05)
    assert detectable_change(technical_error(MINI).sd) == pytest.approx(
        56.3 * NORMAL_95 / 2.0, abs=0.05
    )


def test_technical_error_of_three_repeats_is_the_root_mean_square_within():
    table = [[1.0, 2.0, 3.0], [5.0, 5.0, 8.0]]
    # squares within: 2 and 6, on 4 degrees of freedom
    assert technical_error(table) == (pytest.approx(math.sqrt(2.0)), 4)


def test_a_missing_repeat_takes_its_degree_of_freedom_along():
    table = [[1.0, 2.0, 3.0], [5.0, np.nan, 8.0], [4.0, np.nan, np.nan]]
    # squares within: 2 on 2, 4.5 on 1
    assert technical_error(table) == (pytest.approx(math.sqrt(6.5 / 3)), 3)
    sd, n = technical_error([[1.0, np.nan]])
    assert math.isnan(sd)
    assert n == 0


def test_a_shared_shift_is_in_the_technical_error_and_not_in_the_error_of_measurement():
    random = np.random.default_rng(1)
    table = random.normal(0, 10, (500, 1)) + random.normal(0, 1, (500, 2)) + [0.0, 3.0]
    # √(1 + 3²/2); the relative standard deviation of either root is about 1/√1000
    assert technical_error(table).sd == pytest.approx(math.sqrt(5.5), rel=0.1)
    squares = mean_squares(table)
    assert squares.error_of_measurement.sd == pytest.approx(1.0, rel=0.1)
    assert squares.occasion_spread == pytest.approx(3.0 / math.sqrt(2.0), rel=0.1)


def test_the_interval_of_a_standard_deviation():
    # 20 degrees of freedom: chi-square 9.591 and 34.170 (any table)
    low, high = Spread(2.0, 20).interval()
    assert (low, high) == pytest.approx(
        (2 * math.sqrt(20 / 34.170), 2 * math.sqrt(20 / 9.591)), rel=1e-4
    )
    assert all(map(math.isnan, Spread(math.nan, 0).interval()))


def test_spreads_are_pooled_by_their_degrees_of_freedom():
    assert pooled(Spread(1.0, 10), Spread(3.0, 30), Spread(math.nan, 0)) == (
        pytest.approx(math.sqrt(7.0)),
        40,
    )
    assert pooled(Spread(math.nan, 0)).n_degrees_of_freedom == 0


@pytest.mark.parametrize("table", [[[1.0, 2.0]], [[1.0], [2.0]], [[1.0, np.nan], [2.0, 3.0]]])
def test_too_small_a_table_is_refused(table):
    with pytest.raises(InputValueError, match="too little"):
        mean_squares(np.array(table))


def test_one_pair_has_no_limits():
    with pytest.raises(InputValueError, match="two pairs"):
        limits_of_agreement(np.array([1.0, np.nan]), np.array([2.0, 3.0]))
