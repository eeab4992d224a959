"""Options that several commands share, and how their texts are read."""

from __future__ import annotations

import argparse
import re
import unicodedata
from collections.abc import Callable
from datetime import date
from fractions import Fraction

from deliverylab.core.units import MPH_M_S, parse_length_m

_MOST = 10_000_000
_LONG_NAME = 120
_FEWEST_DRAWS, _MOST_DRAWS = 1000, 10_000_000
_LARGEST_NUMBER = 1e7


def add_project(command: argparse.ArgumentParser) -> None:
    """Add the project file that a command works on."""
    command.add_argument("project", metavar="PROJECT", help="the project file (.delivery)")


def add_delivery(command: argparse.ArgumentParser) -> None:
    """Add the delivery and the camera that a command edits."""
    add_project(command)
    command.add_argument("--delivery", metavar="NAME", required=True, help="which delivery")
    command.add_argument(
        "--camera", metavar="NAME", help="which of its cameras (default: the first)"
    )


def add_outputs(command: argparse.ArgumentParser) -> None:
    """Add the files that results go to."""
    command.add_argument(
        "--json",
        metavar="FILE",
        help='write all rows as JSON, SI units and degrees; "-" prints them in place of the table',
    )
    command.add_argument("--csv", metavar="FILE", help='the same as CSV; "-" as for --json')
    command.add_argument(
        "--units",
        choices=["metric", "imperial"],
        help="units of the printed table (default: the project's)",
    )


def length_m(text: str) -> float:
    """Read a length: ``1.85``, ``185cm``, ``6'1"``, ``73in``; plain numbers are metres."""
    try:
        return parse_length_m(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not a length; write metres (1.85), or 185cm, 6'1\", 73in"
        ) from None


def speed_m_s(text: str) -> float:
    """Read a speed: ``38.4`` in metres a second, or ``86mph``."""
    # a comma before three digits could be meant to part thousands
    found = re.fullmatch(r"\s*(\d+(?:\.\d+|,\d\d?)?)\s*(m/s|mph)?\s*", text)
    if not found:
        raise argparse.ArgumentTypeError(f"{text!r} is not a speed; write m/s (38.4) or 86mph")
    return float(found[1].replace(",", ".")) * (MPH_M_S if found[2] == "mph" else 1.0)


def name(text: str) -> str:
    """Read a name: on one line, without space around it."""
    tidy = " ".join(text.split())
    # a control character, or a byte that is no text
    if any(unicodedata.category(letter) in {"Cc", "Cs"} for letter in tidy):
        raise argparse.ArgumentTypeError(f"{text!r} holds more than text")
    if len(tidy) > _LONG_NAME:
        raise argparse.ArgumentTypeError(f"a name of {len(tidy)} letters is too long")
    return tidy


def day(text: str) -> str:
    """Read a day, ``2026-05-31``."""
    try:
        return date.fromisoformat(text.strip()).isoformat() if text.strip() else ""
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no day; write it as 2026-05-31") from None


def birth_year(text: str) -> int:
    """Read a year in which somebody who throws may have been born."""
    if not re.fullmatch(r"(19|20)\d\d", text.strip()):
        raise argparse.ArgumentTypeError(f"{text!r} is no year of birth; write 2011")
    return int(text)


def rate_hz(text: str) -> float:
    """Read frames a second, ``240`` or ``30000/1001``."""
    try:
        return float(Fraction(text.strip()))
    except (ValueError, ZeroDivisionError, OverflowError):
        raise argparse.ArgumentTypeError(
            f"{text!r} is not a rate; write 240 or 30000/1001"
        ) from None


def number(text: str) -> float:
    """Read a plain number that something about a delivery may be."""
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not abs(value) < float("inf"):
        raise argparse.ArgumentTypeError(f"{text!r} is not a number")
    if abs(value) > _LARGEST_NUMBER:
        raise argparse.ArgumentTypeError(f"{text!r} is too large to be true")
    return value


def numbers(n: int) -> Callable[[str], tuple[float, ...]]:
    """Return a reader of `n` numbers separated by commas."""

    def read(text: str) -> tuple[float, ...]:
        parts = text.split(",")
        if len(parts) != n:
            raise argparse.ArgumentTypeError(f"{text!r} is not {n} numbers separated by commas")
        return tuple(number(part) for part in parts)

    return read


def frame_range(text: str) -> tuple[int, int]:
    """Read a range of frames, ``40-95``."""
    found = re.fullmatch(r"\s*(\d{1,8})\s*-\s*(\d{1,8})\s*", text)
    if not found or int(found[1]) > int(found[2]):
        raise argparse.ArgumentTypeError(f"{text!r} is no range of frames; write 40-95")
    return int(found[1]), int(found[2])


def size_px(text: str) -> tuple[int, int]:
    """Read a picture size, ``1920x1080``."""
    found = re.fullmatch(r"(\d{1,5})\s*[xX×]\s*(\d{1,5})", text.strip())
    if not found:
        raise argparse.ArgumentTypeError(f"{text!r} is not a size; write 1920x1080")
    return int(found[1]), int(found[2])


def n_draws(text: str) -> int:
    """Read a number of random draws that tells an interval."""
    if not (text.isascii() and text.isdigit() and _FEWEST_DRAWS <= int(text) <= _MOST_DRAWS):
        raise argparse.ArgumentTypeError(
            f"{text!r} is not a number of draws from {_FEWEST_DRAWS} to {_MOST_DRAWS}"
        )
    return int(text)


def count(text: str) -> int:
    """Read a whole number from 1."""
    return _whole(text, "a whole number from 1")


def n_frames(text: str) -> int:
    """Read a number of frames."""
    return _whole(text, "a number of frames")


def _whole(text: str, what: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= _MOST):
        raise argparse.ArgumentTypeError(f"{text!r} is not {what}")
    return int(text)
