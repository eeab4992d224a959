"""Units: SI inside, the reader's units outside, and how a value with its uncertainty is written."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

UnitSystem = Literal["metric", "imperial"]
Unit = Literal["deg", "deg/s", "m", "m/s", "s", "% height", "%"]

MPH_M_S = 0.44704
"""One mile an hour in metres a second (exact)."""
INCH_M = 0.0254
"""One inch in metres (exact)."""


@dataclass(frozen=True)
class Shown:
    """How one SI unit is shown in a unit system: factor, sign, decimals it adds."""

    factor: float
    symbol: str
    extra_decimals: int = 0


_METRIC: dict[Unit, Shown] = {
    "deg": Shown(1.0, "°"),
    "deg/s": Shown(1.0, "°/s"),
    "m": Shown(1.0, "m"),
    "m/s": Shown(1.0, "m/s"),
    "s": Shown(1.0, "s"),
    "% height": Shown(1.0, "% of height"),
    "%": Shown(1.0, "%"),
}
_IMPERIAL: dict[Unit, Shown] = _METRIC | {
    "m": Shown(1.0 / INCH_M, "in", -1),
    "m/s": Shown(1.0 / MPH_M_S, "mph", -1),
}


def shown_unit(unit: Unit, system: UnitSystem = "metric") -> Shown:
    """Return how this unit is shown in the reader's system."""
    return (_IMPERIAL if system == "imperial" else _METRIC)[unit]


def format_number(value: float, decimals: int) -> str:
    """Return a number with a true minus sign and no negative zero; NaN gives ``–``."""
    if not math.isfinite(value):
        return "–"
    text = f"{value:.{decimals}f}"
    if float(text) == 0.0:
        text = text.lstrip("-")
    return text.replace("-", "\u2212")


def format_part(value: float, unit: Unit, decimals: int, system: UnitSystem = "metric") -> str:
    """Return a part of an uncertainty with its unit, one decimal finer than `decimals`."""
    shown = shown_unit(unit, system)
    gap = "" if shown.symbol.startswith("°") else " "
    places = max(0, decimals + shown.extra_decimals) + 1
    return f"{value * shown.factor:.{places}f}{gap}{shown.symbol}"


def format_value(
    value: float,
    expanded_u: float | None,
    unit: Unit,
    decimals: int,
    system: UnitSystem = "metric",
) -> str:
    """Return ``47° ± 4`` or ``1.52 ± 0.01 m`` in the reader's units.

    Parameters
    ----------
    value, expanded_u : float
        Value and expanded uncertainty U (k = 2), SI or degrees; None leaves the ± out.
    unit : str
        SI unit of both.
    decimals : int
        Decimals in SI; never more than the uncertainty supports.
    system : {"metric", "imperial"}
        The reader's units.
    """
    shown = shown_unit(unit, system)
    places = max(0, decimals + shown.extra_decimals)
    symbol = shown.symbol if shown.symbol.startswith("°") else f" {shown.symbol}"
    number = format_number(value * shown.factor, places)
    if expanded_u is None or not math.isfinite(expanded_u):
        return f"{number}{symbol}"
    scaled = expanded_u * shown.factor
    # An uncertainty that rounds to nothing would claim perfection.
    margin = format_number(max(scaled, 10.0**-places), places)
    if symbol.startswith("°"):
        return f"{number}{symbol} ± {margin}"
    return f"{number} ± {margin}{symbol}"


def decimals_of_difference(
    d: float, expanded_u: float | None, unit: Unit, decimals: int, system: UnitSystem = "metric"
) -> int:
    """Return the decimals of a difference: one more where rounding would hide that it exceeds its U.

    ``7.4° ± 6.6`` is clear; written ``7° ± 7`` nobody could see that.  Arguments as for `format_value`.
    """
    if expanded_u is None or not abs(d) > expanded_u:
        return decimals
    shown = shown_unit(unit, system)
    places = max(0, decimals + shown.extra_decimals)
    size, margin = (format_number(each * shown.factor, places) for each in (abs(d), expanded_u))
    return decimals + (size == margin)


_QUOTES = str.maketrans({"\u2019": "'", "\u2032": "'", "\u201d": '"', "\u2033": '"', ",": "."})
"""Feet and inches as keyboards and word processors write them, and the decimal comma."""


def parse_length_m(text: str) -> float:
    """Return metres from ``1.85``, ``1.85 m``, ``185 cm``, ``6'1"``, ``73 in`` or ``6 ft 1 in``.

    Raises
    ------
    ValueError
        Not a length.
    """
    import re

    cleaned = text.strip().lower().translate(_QUOTES)
    feet = re.fullmatch(r"(\d+(?:\.\d+)?)\s*(?:'|ft)\s*(?:(\d+(?:\.\d+)?)\s*(?:\"|in)?)?", cleaned)
    if feet:
        return (float(feet[1]) * 12 + float(feet[2] or 0.0)) * INCH_M
    number = re.fullmatch(r"(\d+(?:\.\d+)?|\.\d+)\s*(m|cm|mm|in|\")?", cleaned)
    if not number:
        raise ValueError(text)
    factor = {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": INCH_M, '"': INCH_M}[number[2] or "m"]
    return float(number[1]) * factor
