from __future__ import annotations

import math

import numpy as np
import pytest

from deliverylab.core.compare.change import (
    FEWEST_DOF,
    change_of_mean,
    detectable_between,
    filming_u,
)
from deliverylab.core.numerics.agreement import Spread, detectable_change, mean_squares

# Weir JP 2005, J Strength Cond Res 19:231-240, data set A
WEIR_A = np.array(
    [[146, 148, 170, 90, 157, 156, 176, 205], [140, 152, 152, 99, 145, 153, 167, 218]], float
).T
N_SIMULATED = 1500


def test_of_single_deliveries_and_a_known_error_it_is_the_published_change():
    error = mean_squares(WEIR_A).error_of_measurement
    assert error.sd == pytest.approx(7.5569, abs=5e-5)  # printed: SEM 7.6
    least, dof = detectable_between(error.sd, math.inf, 1, 1)
    assert least == pytest.approx(20.947, abs=0.001)
    assert least == pytest.approx(detectable_change(error.sd), rel=1e-4)
    assert math.isinf(dof)


@pytest.mark.parametrize("d", [20.0, -20.0, 20.9])
def test_less_than_the_published_change_is_none_that_can_be_told(d):
    error = mean_squares(WEIR_A).error_of_measurement
    change = change_of_mean("ball_speed", ("a", 150.0, 1), ("b", 150.0 + d, 1), error)
    assert change.verdict == "no detectable change"
    assert change.words == ""
    # few degrees of freedom ask for more than the published 1.96, not for less
    assert change.detectable > 20.947


def test_means_scatter_less_and_set_ups_do_not_average_out():
    one, _ = detectable_between(2.0, math.inf, 1, 1)
    four, _ = detectable_between(2.0, math.inf, 4, 4)
    assert four == pytest.approx(one / 2.0)
    filmed, _ = detectable_between(2.0, math.inf, 4, 4, 1.5)
    assert filmed == pytest.approx(1.95996 * math.sqrt(2.0**2 / 2.0 + 1.5**2), rel=1e-4)
    many, _ = detectable_between(2.0, math.inf, 10_000, 10_000, 1.5)
    assert many > 1.95 * 1.5


def test_degrees_of_freedom_are_those_of_the_part_that_repeats_tell():
    least, dof = detectable_between(2.0, 4, 2, 2)
    assert dof == pytest.approx(4.0)
    assert least == pytest.approx(2.776 * 2.0, rel=1e-3)  # t 97.5 %, 4: from common tables
    _, dof = detectable_between(2.0, 4, 2, 2, 2.0)
    assert dof == pytest.approx(16.0)


def test_what_both_visits_share_goes_out_of_their_difference():
    same = {("depth not seen", "Ana"): 0.8, ("yaw of the camera", "may"): 1.0}
    assert filming_u(same, same) == 0.0
    anew = {("depth not seen", "Ana"): 0.8, ("yaw of the camera", "june"): 1.0}
    assert filming_u(same, anew) == pytest.approx(math.sqrt(2.0))
    larger = {("depth not seen", "Ana"): 1.1, ("yaw of the camera", "may"): 1.0}
    assert filming_u(same, larger) == pytest.approx(0.3)


def test_words_say_which_way():
    knee = "lead_knee_flexion"
    more = change_of_mean(knee, ("a", 40.0, 4), ("b", 50.0, 4), Spread(2.0, 6))
    less = change_of_mean(knee, ("a", 50.0, 4), ("b", 40.0, 4), Spread(2.0, 6))
    assert (more.verdict, more.words, less.words) == ("changed", "more bent", "straighter")


@pytest.mark.parametrize("n_dof", [0, 1, FEWEST_DOF - 1])
def test_too_few_repeats_tell_nothing(n_dof):
    error = Spread(2.0 if n_dof else math.nan, n_dof)
    found = change_of_mean("lead_knee_flexion", ("a", 40.0, 1), ("b", 90.0, 1), error)
    assert (found.verdict, found.detectable, found.words) == ("too few deliveries", None, "")


def _share_changed(sizes, true_share, filming, rng):
    """Return how often visits of these sizes read as changed, the truth changed by so many MDC."""
    n_changed = 0
    dof = sum(size - 1 for size in sizes)
    ends = sizes[0], sizes[-1]
    true, _ = detectable_between(1.0, dof, *ends, filming)
    for _ in range(N_SIMULATED):
        visits = [rng.normal(0.0, 1.0, size) for size in sizes]
        scatter = math.sqrt(sum(((v - v.mean()) ** 2).sum() for v in visits) / dof)
        # the scatter of placing, 0.6 of all, is what the SEM is not taken below
        error = Spread(max(scatter, 0.6), dof)
        after = visits[-1].mean() + rng.normal(0.0, filming) + true_share * true
        before = ("a", visits[0].mean(), ends[0])
        change = change_of_mean("lead_knee_flexion", before, ("b", after, ends[1]), error, filming)
        n_changed += change.verdict == "changed"
    return n_changed / N_SIMULATED


@pytest.mark.parametrize("filming", [0.0, 0.5])
@pytest.mark.parametrize("sizes", [(2, 3), (1, 4), (3, 3), (2, 2, 2), (5, 5)])
def test_one_change_in_twenty_is_false_and_most_true_ones_are_found(sizes, filming):
    rng = np.random.default_rng(len(sizes) + sizes[-1])
    # three standard errors of so many draws: 1.7 % and 3.1 %
    assert _share_changed(sizes, 0.0, filming, rng) <= 0.05 + 0.017
    assert _share_changed(sizes, 1.5, filming, rng) >= 0.80 - 0.031
