from __future__ import annotations

import math
import re
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deliverylab.core.units import (
    INCH_M,
    MPH_M_S,
    Unit,
    decimals_of_difference,
    format_number,
    format_part,
    format_value,
    parse_length_m,
    shown_unit,
)

UNITS = get_args(Unit)
MINUS = "\u2212"


def test_factors_are_the_exact_ones():
    # international yard and pound agreement of 1959: inch 25.4 mm, mile 1609.344 m
    assert INCH_M == 0.0254
    assert pytest.approx(1609.344 / 3600, rel=1e-15) == MPH_M_S


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_every_unit_can_be_shown(unit, system):
    shown = shown_unit(unit, system)
    assert shown.factor > 0
    assert shown.symbol


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (1.005, 1, "1.0"),
        (-0.04, 1, "0.0"),
        (-12.36, 1, f"{MINUS}12.4"),
        (7.0, 0, "7"),
        (math.nan, 1, "–"),
        (-math.inf, 1, "–"),
    ],
)
def test_numbers_have_a_true_minus_and_no_negative_zero(value, decimals, text):
    assert format_number(value, decimals) == text


@pytest.mark.parametrize(
    ("arguments", "text"),
    [
        ((47.2, 4.1, "deg", 0), "47° ± 4"),
        ((-3.4, 1.26, "deg", 1), f"{MINUS}3.4° ± 1.3"),
        ((1.524, 0.011, "m", 2), "1.52 ± 0.01 m"),
        ((84.6, 1.9, "% height", 1), "84.6 ± 1.9 % of height"),
        ((0.145, 0.003, "s", 3), "0.145 ± 0.003 s"),
        ((640.0, 25.0, "deg/s", 0), "640°/s ± 25"),
        ((35.2, None, "m/s", 1), "35.2 m/s"),
        ((35.2, math.nan, "m/s", 1), "35.2 m/s"),
        # 1.524 m are 60 inches, 0.0254 m one; 35.7632 m/s are 80 miles an hour
        ((1.524, 0.0254, "m", 2, "imperial"), "60.0 ± 1.0 in"),
        ((35.7632, 0.44704, "m/s", 2, "imperial"), "80.0 ± 1.0 mph"),
        ((35.7632, 0.44704, "m/s", 1, "imperial"), "80 ± 1 mph"),
    ],
)
def test_a_value_stands_with_its_uncertainty(arguments, text):
    assert format_value(*arguments) == text


@given(u=st.floats(0.0, 1e-4), decimals=st.integers(0, 3))
def test_an_uncertainty_never_shows_as_nothing(u, decimals):
    margin = format_value(1.0, u, "m", decimals).partition("±")[2]
    assert float(re.findall(r"[\d.]+", margin)[0]) > 0.0


@pytest.mark.parametrize(
    ("text", "length_m"),
    [
        ("1.85", 1.85),
        (" 1,85 m ", 1.85),
        (".5", 0.5),
        ("185cm", 1.85),
        ("610 mm", 0.61),
        ("24in", 0.6096),
        ('24"', 0.6096),
        ("6'", 1.8288),
        ("6'1\"", 1.8542),
        ("6 ft 1 in", 1.8542),
        ("6\u20191\u2033", 1.8542),
        ("6\u20191\u201d", 1.8542),
        ("6\u20321\u2033", 1.8542),
        ("5 ft 10.5", 1.7907),
    ],
)
def test_lengths_are_read_as_people_write_them(text, length_m):
    assert parse_length_m(text) == pytest.approx(length_m, abs=1e-12)


@pytest.mark.parametrize("text", ["", "tall", "-1", "1.8 km", "1 2", "6'1'", "1e3", "nan", "m"])
def test_what_is_no_length_is_refused(text):
    with pytest.raises(ValueError):
        parse_length_m(text)


@given(length_m=st.floats(0.01, 100.0))
def test_a_length_written_out_is_read_back(length_m):
    inches = length_m / INCH_M
    assert parse_length_m(f"{length_m:.6f}") == pytest.approx(length_m, abs=1e-6)
    assert parse_length_m(f"{inches:.6f} in") == pytest.approx(length_m, abs=1e-6)
    assert parse_length_m(f"{int(inches // 12)}'{inches % 12:.6f}\"") == pytest.approx(
        length_m, abs=1e-6
    )


def test_a_part_of_u_is_one_decimal_finer_and_in_the_readers_unit():
    assert format_part(0.1732, "m/s", 1) == "0.17 m/s"
    assert format_part(0.1732, "m/s", 1, "imperial") == "0.4 mph"
    assert format_part(1.234, "deg", 0) == "1.2°"


@pytest.mark.parametrize(
    ("d", "expanded_u", "unit", "decimals", "system", "said"),
    [
        (7.4, 6.6, "deg", 0, "metric", "7.4° ± 6.6"),
        (-7.4, 6.6, "deg", 0, "metric", f"{MINUS}7.4° ± 6.6"),
        (0.048, 0.046, "m/s", 2, "metric", "0.048 ± 0.046 m/s"),
        (0.6, 0.5, "m/s", 2, "imperial", "1.3 ± 1.1 mph"),
        # it does not exceed its U, or is seen to
        (6.6, 7.4, "deg", 0, "metric", "7° ± 7"),
        (7.6, 6.6, "deg", 0, "metric", "8° ± 7"),
    ],
)
def test_a_difference_that_exceeds_its_u_is_seen_to(d, expanded_u, unit, decimals, system, said):
    places = decimals_of_difference(d, expanded_u, unit, decimals, system)
    assert format_value(d, expanded_u, unit, places, system) == said


def test_a_difference_without_u_keeps_its_decimals():
    assert decimals_of_difference(7.4, None, "deg", 0) == 0
