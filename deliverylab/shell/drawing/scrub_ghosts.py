"""How the scrub bar paints events that are only suggested: hollow, dashed, with their ± as a band."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from deliverylab.core.vocabulary.events import BY_KEY
from deliverylab.shell.drawing.scrub_curve import Colour, faded
from deliverylab.shell.drawing.scrub_scene import Ghost, ScrubLayout, ScrubScene

DASHES = (3.0, 2.5)
LEAST_BAND = 3.0
"""Width of a ± on the bar, px, below which it would not be seen."""
BAND_TOP = 6.0
FOOT = (4.5, 6.5)
"""Half the width and the height of a ghost's foot, px: a little larger than a flag's."""


def _dashed(ink: QColor, width: float) -> QPen:
    pen = QPen(ink, width)
    pen.setDashPattern(list(DASHES))
    return pen


def _is_in_sight(layout: ScrubLayout, place: float) -> bool:
    return layout.left - 1.0 <= layout.x_of(place) <= layout.right + 1.0


def paint_ghost_lines(
    painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour, active: str
) -> None:
    """Paint the active row's suggestions down to the foot; those of the other rows as short ticks."""
    for number, row in enumerate(scene.rows):
        rect = layout.row_rect(number)
        for ghost in row.suggested.values():
            if not _is_in_sight(layout, ghost.place):
                continue
            x = float(round(layout.x_of(ghost.place)))
            if row.side == active:
                painter.setPen(_dashed(colour("faint"), 1.0))
                painter.drawLine(QLineF(x, layout.flags_height, x, layout.foot_rect.top()))
            else:
                painter.setPen(_dashed(colour("quiet"), 1.4))
                painter.drawLine(QLineF(x, rect.top() - 3.0, x, rect.bottom() + 3.0))


def band_rect(ghost: Ghost, layout: ScrubLayout) -> QRectF:
    """Return where a suggestion's ± lies: from the flags' lane over the rows, never too narrow."""
    low, high = layout.x_of(ghost.low), layout.x_of(ghost.high)
    half = max(0.5 * (high - low), 0.5 * LEAST_BAND)
    middle = 0.5 * (low + high)
    top = layout.flags_height - BAND_TOP
    bottom = layout.row_rect(max(0, layout.n_rows - 1)).bottom() + 3.0
    band = QRectF(middle - half, top, 2.0 * half, bottom - top)
    return band & QRectF(layout.left, top, layout.right - layout.left, bottom - top)


def paint_ghosts(
    painter: QPainter,
    scene: ScrubScene,
    layout: ScrubLayout,
    colour: Colour,
    active: str,
    lit: str,
    rects: Mapping[str, QRectF],
) -> None:
    """Paint the active row's suggestions; `lit` is the one under the pointer or at the shown frame.

    `rects` says where their names stand; those without have only their foot.
    """
    row = scene.row(active)
    ghosts = {} if row is None else row.suggested
    for key, ghost in ghosts.items():
        if not _is_in_sight(layout, ghost.place):
            continue
        is_lit = key == lit
        ink = colour("text" if is_lit else "quiet")
        painter.fillRect(band_rect(ghost, layout), faded(ink, 70 if is_lit else 40))
        x, bottom = layout.x_of(ghost.place), layout.flags_height
        if key in rects:
            painter.setPen(_dashed(ink, 1.2))
            painter.drawLine(QLineF(x, rects[key].bottom() + 1.0, x, bottom - FOOT[1]))
        painter.setPen(QPen(ink, 1.3))
        painter.setBrush(colour("pane"))
        painter.drawPath(_foot(x, bottom))
    for key, rect in rects.items():
        if key not in ghosts:
            continue
        painter.setPen(_dashed(colour("text" if key == lit else "quiet"), 1.0))
        painter.setBrush(colour("raised" if key == lit else "pane"))
        painter.drawRoundedRect(rect.adjusted(0.5, 0.5, -0.5, -0.5), 4.0, 4.0)
        painter.setPen(colour("text" if key == lit else "quiet"))
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, BY_KEY[key].name)


def paint_doubts(
    painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour, active: str
) -> None:
    """Paint quietly where the active row's marked events are suggested, if that is far off."""
    row = scene.row(active)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(colour("faint"), 1.0))
    for ghost in () if row is None else row.doubted.values():
        if _is_in_sight(layout, ghost.place):
            painter.drawPath(_foot(layout.x_of(ghost.place), layout.flags_height))


def _foot(x: float, bottom: float) -> QPainterPath:
    half, height = FOOT
    foot = QPainterPath(QPointF(x, bottom))
    foot.lineTo(x - half, bottom - height)
    foot.lineTo(x + half, bottom - height)
    foot.closeSubpath()
    return foot
