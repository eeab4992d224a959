"""Colours and text styles of the page; sides and verdicts differ by shape as well as by colour."""

from __future__ import annotations

from typing import Any

from reportlab.lib.colors import Color, HexColor

from deliverylab.core.report.fonts import Style

INK = HexColor("#1b2027")
GREY = HexColor("#5d6773")
HAIRLINE = HexColor("#dde2e7")
PANEL = HexColor("#eef1f4")
PAPER = HexColor("#ffffff")
AMBER = HexColor("#c47709")
TEAL = HexColor("#12857b")
LILAC = HexColor("#7d5fb8")

NAME = Style(23.0, INK, "bold")
HEADING = Style(11.0, INK, "bold")
BODY = Style(8.6, INK)
STRONG = Style(8.6, INK, "bold")
QUIET = Style(8.6, GREY)
SMALL = Style(7.2, GREY)
SMALL_INK = Style(7.2, INK)
LABEL = Style(7.8, INK, "bold")

DASH = (3.0, 2.0)
"""On and off lengths of the model delivery's lines, points."""


def contrast(front: Color, back: Color) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2, relative luminance)."""

    def luminance(colour: Color) -> float:
        parts = [
            part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
            for part in (colour.red, colour.green, colour.blue)
        ]
        return float(0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2])

    bright, dark = sorted((luminance(front), luminance(back)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def hairline(canvas: Any, left: float, y: float, right: float) -> None:
    """Draw a thin grey line across."""
    canvas.setStrokeColor(HAIRLINE)
    canvas.setLineWidth(0.6)
    canvas.setDash()
    canvas.line(left, y, right, y)
