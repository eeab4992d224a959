"""Colours of the stage, which is dark in either theme, and how the two sides are told apart.

A side is never told by hue alone: the throwing side has squares, the glove side circles.
"""

from __future__ import annotations

from PySide6.QtGui import QColor

from deliverylab.core.vocabulary.landmarks import Hand, role_for_key

THROWING = QColor("#f2a541")
GLOVE = QColor("#53c7b8")
MIDDLE = QColor("#eef1f4")
MODEL = QColor("#b7a6e6")

STAGE_TOP = QColor("#27313d")
STAGE_LOW = QColor("#1d252e")
GROUND = QColor("#232e27")
GROUND_FAR = QColor("#2c3a30")
GRID = QColor(255, 255, 255, 16)
HORIZON = QColor(255, 255, 255, 46)
OUTSIDE = QColor("#12171d")

INK = QColor("#f3f4f0")
INK_SOFT = QColor("#aeb8c2")
PLATE = QColor(14, 18, 23, 205)
HALO = QColor(8, 11, 15, 150)
SELECTED = QColor("#ffffff")
PICKED = QColor("#ffe08a")

THROWING_ROLES = ("throwing_", "drive_")
GLOVE_ROLES = ("glove_", "lead_")


def side_of(key: str, hand: Hand) -> str:
    """Return ``throwing``, ``glove`` or ``middle`` for a landmark key.

    The drive leg belongs to the throwing side, the lead leg to the glove side.
    """
    role = role_for_key(key, hand)
    if role.startswith(THROWING_ROLES):
        return "throwing"
    return "glove" if role.startswith(GLOVE_ROLES) else "middle"


def side_colour(side: str) -> QColor:
    """Return the colour of ``throwing``, ``glove`` or ``middle``."""
    return {"throwing": THROWING, "glove": GLOVE}.get(side, MIDDLE)
