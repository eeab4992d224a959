"""Colours, letters and lines of the walkthrough: the dark stage of the window, as a clip."""

from __future__ import annotations

from reportlab.lib.colors import Color, HexColor

from deliverylab.core.report.figures import Side
from deliverylab.core.report.fonts import Style

GROUND = HexColor("#0e1217")
STAGE = HexColor("#1d252e")
LINE = HexColor("#2b3541")
PLATE = HexColor("#0e1217")
TEXT = HexColor("#f3f4f0")
QUIET = HexColor("#a3aeb9")
FAINT = HexColor("#66727f")
HAND = HexColor("#ffe08a")
"""What the instructor drew, and what is chosen."""
THROWING = HexColor("#f2a541")
GLOVE = HexColor("#53c7b8")
MIDDLE = HexColor("#eef1f4")
MODEL = HexColor("#b7a6e6")
HALO = HexColor("#080b0f")
SIDES: dict[Side, Color] = {"throwing": THROWING, "glove": GLOVE, "middle": MIDDLE}

LINE_PX, MODEL_LINE_PX, HAND_LINE_PX = 5.0, 3.0, 5.0
MARK_LINE_PX = 2.5
RIM_PX = 4.0
MARKER_PX = 6.0
DASH_PX = (15.0, 9.0)
"""On and off lengths of the model delivery's lines.  All lengths are px at 1920 × 1080."""

TITLE = Style(34.0, TEXT, "bold")
SUBTITLE = Style(25.0, QUIET)
NAME = Style(25.0, TEXT, "bold")
NUMBER_ON_PICTURE = Style(23.0, TEXT, "bold")
FLAG = Style(25.0, GROUND, "bold")
NAME_PLATE_PX = 44.0
"""Height of the plate with a name."""
SMALL = Style(21.0, QUIET)
RUNNING = Style(31.0, QUIET)
CAPTION = Style(30.0, TEXT)
NUMBER = Style(25.0, TEXT)
NUMBER_STRONG = Style(25.0, TEXT, "bold")
NUMBER_QUIET = Style(25.0, QUIET)


def rgb(colour: Color) -> tuple[int, int, int]:
    """Return a colour as three numbers of 0 to 255."""
    red, green, blue = (round(255 * part) for part in (colour.red, colour.green, colour.blue))
    return red, green, blue
