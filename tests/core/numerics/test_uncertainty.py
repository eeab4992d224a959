from __future__ import annotations

import math

import numpy as np
import pytest
from uncertainties import correlated_values, covariance_matrix, ufloat, umath

from deliverylab.core.numerics.angles import included_angle_deg
from deliverylab.core.numerics.uncertainty import (
    InputGroup,
    combined_u,
    contributions,
    coverage_factor,
    effective_dof,
    rectangular_u,
    stepped_inputs,
)
from deliverylab.core.numerics.uncertainty import propagate as propagate_groups


def propagate(function, x, u, correlation=None):
    """Return value and u of one group of inputs."""
    found = propagate_groups(function, [InputGroup("all", x, u, correlation)])
    return found.value, found.u


# ------------------------------------------------------------------------------- closed forms


def test_steps_are_one_u_of_one_input_at_a_time():
    rows = stepped_inputs(np.array([10.0, 20.0]), np.array([1.0, 0.5]))
    assert rows.tolist() == [[10, 20], [11, 20], [10, 20.5], [9, 20], [10, 19.5]]


def test_contributions_keep_their_sign():
    values = np.array([0.0, 3.0, -1.0, -3.0, 1.0])
    assert contributions(values).tolist() == [3.0, -1.0]


def test_a_sum_and_a_product():
    x, u = np.array([4.0, 2.0]), np.array([0.3, 0.4])
    value, u_sum = propagate(lambda rows: rows.sum(axis=-1), x, u)
    assert (value, u_sum) == (6.0, pytest.approx(0.5))
    # a product is linear in each factor: u = √((2 × 0.3)² + (4 × 0.4)²)
    value, u_product = propagate(lambda rows: rows.prod(axis=-1), x, u)
    assert (value, u_product) == (8.0, pytest.approx(math.hypot(0.6, 1.6)))


@pytest.mark.parametrize(("correlation", "expected"), [(1.0, 0.1), (-1.0, 0.7), (0.0, 0.5)])
def test_what_two_inputs_share_cancels_in_their_difference(correlation, expected):
    matrix = np.array([[1.0, correlation], [correlation, 1.0]])
    _, u = propagate(
        lambda rows: rows[:, 0] - rows[:, 1], np.zeros(2), np.array([0.3, 0.4]), matrix
    )
    assert u == pytest.approx(expected)


def test_several_results_at_once_are_each_alone():
    x, u = np.array([3.0, 5.0]), np.array([0.1, 0.2])
    value, both = propagate(
        lambda rows: np.stack((rows[:, 0] * rows[:, 1], rows[:, 0] / rows[:, 1]), axis=-1), x, u
    )
    assert value == pytest.approx([15.0, 0.6])
    for column, function in enumerate(
        (lambda rows: rows[:, 0] * rows[:, 1], lambda rows: rows[:, 0] / rows[:, 1])
    ):
        assert both[column] == propagate(function, x, u)[1]


def test_rounding_below_zero_is_no_uncertainty():
    # fully correlated and equal: the variance is zero up to rounding, never a NaN
    signed = np.array([0.1 + 1e-17, -0.1])
    assert combined_u(signed, np.ones((2, 2))) == pytest.approx(0.0, abs=1e-8)


def test_missing_input_gives_nan():
    value, u = propagate(
        lambda rows: rows.sum(axis=-1), np.array([1.0, np.nan]), np.array([0.1, 0.1])
    )
    assert np.isnan(value)
    assert np.isnan(u)


# ---------------------------------------------------------------------------- published values


@pytest.mark.parametrize(
    ("rate_hz", "u_ms", "interval_u_ms"),
    [(30, 9.62, 13.6), (60, 4.81, 6.80), (120, 2.41, 3.40), (240, 1.20, 1.70)],
)
def test_an_event_somewhere_in_a_frame(rate_hz, u_ms, interval_u_ms):
    # JCGM 100:2008, 4.3.7: half-width over √3, which is T/√12; worked out by hand to three digits
    u = rectangular_u(1.0 / rate_hz)
    assert 1000.0 * u == pytest.approx(u_ms, abs=5e-3)
    # two events of that kind: T/√6
    assert 1000.0 * math.hypot(u, u) == pytest.approx(interval_u_ms, abs=5e-2)


def test_an_event_somewhere_in_a_frame_by_monte_carlo():
    draws = np.random.default_rng(1).uniform(0.0, 1 / 240, 200_000)
    # the spread of so many draws is known to 0.1 %; three times that
    assert np.std(draws) == pytest.approx(rectangular_u(1 / 240), rel=0.003)


def test_density_of_a_small_body():
    # BMClab, notebook on error propagation: 4.0 ± 0.5 g in 2.0 ± 0.2 cm³ is 2.00 ± 0.32 g/cm³
    value, u = propagate(
        lambda rows: rows[:, 0] / rows[:, 1], np.array([4.0, 2.0]), np.array([0.5, 0.2])
    )
    assert value == 2.0
    # exact partial derivatives give .320156; steps of one u add 0.4 %: the curvature of 1/V over
    # ± 10 %, as 5.1.3 note 2 of the guide does it
    assert u == pytest.approx(0.320156, rel=0.005)


H2_VOLTS = (5.007, 4.994, 5.005, 4.990, 4.999)
H2_AMPERES = tuple(1e-3 * x for x in (19.663, 19.639, 19.640, 19.685, 19.678))
H2_RADIANS = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)


def _impedance(rows):
    volts, amperes, phase = np.moveaxis(rows, -1, 0)
    size = volts / amperes
    return np.stack((size * np.cos(phase), size * np.sin(phase), size), axis=-1)


def _h2_inputs():
    readings = np.array([H2_VOLTS, H2_AMPERES, H2_RADIANS])
    u = np.std(readings, axis=1, ddof=1) / math.sqrt(5.0)
    return readings.mean(axis=1), u, np.corrcoef(readings)


def test_simultaneous_resistance_and_reactance():
    # JCGM 100:2008, annex H.2: R, X, Z of a circuit from five sets of readings
    x, u, correlation = _h2_inputs()
    # table H.2, to the digits printed there
    assert x == pytest.approx([4.9990, 19.6610e-3, 1.04446], rel=1e-6)
    assert u == pytest.approx([0.0032, 0.0095e-3, 0.00075], rel=0.01)
    assert correlation[[0, 0, 1], [1, 2, 2]] == pytest.approx([-0.355, 0.858, -0.645], abs=6e-4)
    value, u_out = propagate(_impedance, x, u, correlation)
    # table H.3: values to three decimals, u to three; half of the last and the steps' curvature
    assert value == pytest.approx([127.732, 219.847, 254.260], abs=6e-4)
    assert u_out == pytest.approx([0.071, 0.295, 0.236], abs=7e-4)


def test_leaving_the_correlation_out_is_noticed():
    # the same without covariances gives these: a missing term would pass no test above
    x, u, correlation = _h2_inputs()
    _, careless = propagate(_impedance, x, u)
    assert careless == pytest.approx([0.195, 0.201, 0.204], abs=6e-4)
    _, careful = propagate(_impedance, x, u, correlation)
    assert np.all(np.abs(careless / careful - 1.0) > 0.1)


# sides in px, angle, σ in px: u by σ√(1/l₁² + 1/l₂² + (1/l₁² + 1/l₂² − 2 cos θ/(l₁l₂))), the
# first-order formula worked out by hand from the partial derivatives of the angle.
CORNERS = [
    (100.0, 100.0, 90.0, 1.0, 1.1459),
    (100.0, 100.0, 180.0, 1.0, 1.4035),
    (100.0, 100.0, 45.0, 1.0, 0.9213),
    (200.0, 150.0, 120.0, 2.0, 1.5038),
    (80.0, 60.0, 90.0, 3.0, 5.0643),
]


def _corner(rows):
    """Return the signed turn of three points in a plane, so that a straight limb has no fold."""
    a, b, c = (rows[:, i : i + 2] for i in (0, 2, 4))
    u, v = a - b, c - b
    cross = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    return np.degrees(np.arctan2(cross, np.sum(u * v, axis=-1))) % 360.0


def _corner_points(l1, l2, angle_deg):
    turn = np.radians(angle_deg)
    return np.array([l1, 0.0, 0.0, 0.0, l2 * np.cos(turn), l2 * np.sin(turn)])


@pytest.mark.parametrize(("l1", "l2", "angle_deg", "sigma_px", "u_deg"), CORNERS)
def test_u_of_a_three_point_angle(l1, l2, angle_deg, sigma_px, u_deg):
    x = _corner_points(l1, l2, angle_deg)
    value, u = propagate(_corner, x, np.full(6, sigma_px))
    assert value == pytest.approx(angle_deg)
    # the table has four decimals; steps of 3 px on 60 px bend the angle by a third of (3/60)²
    assert u == pytest.approx(u_deg, abs=5e-5 + u_deg * (sigma_px / min(l1, l2)) ** 2)


@pytest.mark.parametrize(("l1", "l2", "angle_deg", "sigma_px", "u_deg"), CORNERS)
def test_u_of_a_three_point_angle_by_monte_carlo(l1, l2, angle_deg, sigma_px, u_deg):
    rng = np.random.default_rng(2)
    draws = _corner_points(l1, l2, angle_deg) + rng.normal(0.0, sigma_px, (40_000, 6))
    # 40 000 draws tell a spread to 0.35 %, three times that; 3 px on 60 px bends by another 0.2 %
    assert np.std(_corner(draws)) == pytest.approx(u_deg, rel=0.013)


def test_u_of_a_bent_joint_with_the_angle_that_is_shown():
    def angle(rows):
        return included_angle_deg(rows[:, :2], rows[:, 2:4], rows[:, 4:])

    _, u = propagate(angle, _corner_points(200.0, 150.0, 120.0), np.full(6, 2.0))
    assert u == pytest.approx(1.5038, rel=1e-3)  # second line from below of the table above


def test_u_of_a_line_s_lean():
    # √2 σ / l: 0.8103° for 1 px on 100 px, worked out by hand
    def lean(rows):
        return np.degrees(np.arctan2(rows[:, 3] - rows[:, 1], rows[:, 2] - rows[:, 0]))

    _, u = propagate(lean, np.array([0.0, 0.0, 60.0, 80.0]), np.ones(4))
    assert u == pytest.approx(0.8103, abs=1e-4)


# ---------------------------------------------------------------- an independent implementation


def test_against_the_package_uncertainties():
    x, u = np.array([2.0, 0.7, 5.0]), np.array([0.01, 0.004, 0.02])
    a, b, c = (ufloat(*pair) for pair in zip(x, u, strict=True))
    expected = a * umath.sin(b) / c + umath.sqrt(a)
    value, u_out = propagate(lambda r: r[:, 0] * np.sin(r[:, 1]) / r[:, 2] + np.sqrt(r[:, 0]), x, u)
    assert value == pytest.approx(expected.nominal_value)
    # it differentiates exactly, ours takes steps of half a percent: squared, 2e-5
    assert u_out == pytest.approx(expected.std_dev, rel=1e-4)


def test_correlated_inputs_against_the_package_uncertainties():
    x, u, correlation = _h2_inputs()
    inputs = correlated_values(x, np.outer(u, u) * correlation)
    volts, amperes, phase = inputs
    outputs = [
        volts / amperes * umath.cos(phase), volts / amperes * umath.sin(phase), volts / amperes
    ]  # fmt: skip
    _, u_out = propagate(_impedance, x, u, correlation)
    # steps of 0.07 %: squared, 5e-7; cancellation leaves three digits less
    assert u_out == pytest.approx([z.std_dev for z in outputs], rel=1e-3)
    signed = contributions(_impedance(stepped_inputs(x, u)))
    ours = np.einsum("io,ij,jp->op", signed, correlation, signed)
    assert ours == pytest.approx(np.array(covariance_matrix(outputs)), rel=2e-3)
    # annex H.2, table H.3: r(R,X), r(R,Z), r(X,Z), three decimals
    r = ours / np.outer(u_out, u_out)
    assert r[[0, 0, 1], [1, 2, 2]] == pytest.approx([-0.588, -0.485, 0.993], abs=6e-4)


# ----------------------------------------------------- degrees of freedom, coverage, second order

# JCGM 100:2008, annex H.1, calibration of an end gauge: l = l_s + d - l_s(δα θ + α_s δθ), mm
H1_INPUTS = (
    InputGroup.one("standard", 50.000623, 25e-6, 18),
    InputGroup.one("difference", 215e-6, 9.7e-6, 25.6),
    InputGroup.one("expansion", 11.5e-6, 1.2e-6),
    InputGroup.one("temperature", -0.1, 0.41),
    InputGroup.one("difference of expansion", 0.0, 0.58e-6, 50),
    InputGroup.one("difference of temperature", 0.0, 0.029, 2),
)


def _end_gauge(rows):
    standard, d, expansion, warm, d_expansion, d_warm = np.moveaxis(rows, -1, 0)
    return standard + d - standard * (d_expansion * warm + expansion * d_warm)


def test_an_end_gauge():
    found = propagate_groups(_end_gauge, H1_INPUTS)
    # printed: 50.000 838 mm, u = 32 nm, 16 degrees of freedom, t at 99 % 2.92, U = 93 nm
    assert found.value == pytest.approx(50.000838, abs=5e-7)
    assert 1e6 * found.u == pytest.approx(31.71, abs=0.01)
    assert math.floor(found.n_degrees_of_freedom) == 16
    assert coverage_factor(float(found.n_degrees_of_freedom), 0.99) == pytest.approx(2.92, abs=5e-3)
    assert 1e6 * found.expanded_u(0.99) == pytest.approx(93.0, abs=0.5)
    # table H.1, nm: 25, 9.7, 0, 0, 2.9, 16.6 (to more digits 16.675)
    parts = [1e6 * float(part) for part in found.parts.values()]
    assert parts == pytest.approx([25.0, 9.7, 0.0, 0.0, 2.9, 16.675], abs=6e-3)


def test_an_end_gauge_to_second_order():
    # H.1.7: the next terms, 11.7 and 1.7 nm, make it 34 nm
    found = propagate_groups(_end_gauge, H1_INPUTS, second_order=True)
    assert 1e6 * found.u == pytest.approx(34.0, abs=0.5)


def test_the_second_order_of_a_square_and_of_a_cube():
    # y = x² at x normal about 0: the variance is 2u⁴, all of it second order
    square = propagate_groups(
        lambda rows: rows[:, 0] ** 2, [InputGroup.one("x", 0.0, 0.3)], second_order=True
    )
    assert square.u == pytest.approx(math.sqrt(2.0) * 0.09)


def test_second_order_is_refused_for_correlated_inputs():
    group = InputGroup("x", np.zeros(2), np.ones(2), np.eye(2))
    with pytest.raises(ValueError, match="uncorrelated"):
        propagate_groups(lambda rows: rows.sum(axis=1), [group], second_order=True)


def test_groups_and_a_covariance_matrix_are_the_same_as_one_correlation():
    x, u, correlation = _h2_inputs()
    groups = [
        InputGroup.of_covariance("readings", x, np.outer(u, u) * correlation, 4),
        InputGroup.one("offset", 1.0, 0.1),
    ]
    found = propagate_groups(lambda rows: _impedance(rows[:, :3]) + rows[:, 3:], groups)
    _, u_readings = propagate(_impedance, x, u, correlation)
    assert found.parts["readings"] == pytest.approx(u_readings)
    assert found.u == pytest.approx(np.hypot(u_readings, 0.1))
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(found.u)
    # Welch and Satterthwaite with the three correlated readings as one part of 4
    assert found.n_degrees_of_freedom == pytest.approx(4.0 * (found.u / u_readings) ** 4)


def test_welch_and_satterthwaite_by_hand():
    # JCGM 100:2008, G.4.2: 0.25, 0.57, 0.82 (%) with 9, 4, 14 give u = 1.03 and 19.0
    parts = np.array([0.25, 0.57, 0.82])
    assert np.sqrt(np.sum(parts**2)) == pytest.approx(1.03, abs=5e-3)
    assert effective_dof(parts, [9, 4, 14]) == pytest.approx(19.0, abs=0.1)
    assert effective_dof(parts, [math.inf] * 3) == math.inf
    assert effective_dof(np.zeros(2), [3, 4]) == math.inf


@pytest.mark.parametrize(
    ("n_dof", "k"), [(1, 13.97), (5, 2.65), (10, 2.28), (20, 2.13), (50, 2.05), (math.inf, 2.0)]
)
def test_coverage_factors_of_the_guide(n_dof, k):
    # JCGM 100:2008, table G.2, column 95.45 %
    assert coverage_factor(n_dof) == pytest.approx(k, abs=5e-3)


def test_other_levels():
    # table G.2, columns 95 and 99 %
    assert coverage_factor(math.inf, 0.95) == pytest.approx(1.960, abs=5e-4)
    assert coverage_factor(8.9, 0.95) == pytest.approx(2.31, abs=5e-3)
    assert coverage_factor(0.3) == coverage_factor(1.0)
