"""The line on which a landmark must lie after another clip, and how far a placed one is off it.

What it is called in the books: an epipolar line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from deliverylab.shell.drawing import palette
from deliverylab.shell.drawing.caption import paint_caption
from deliverylab.shell.drawing.view_transform import ViewTransform

Place = tuple[float, float]

BAND_ALPHA = 38
WORDS_AWAY = 20.0
"""How far beside the line its words stand, px on the screen."""
GAP_WORDS_AWAY = 30.0
MOST_AWAY = 60.0
EDGE = 8.0
NEAR_HAND = 40.0
"""Words stay so far away from the pointer, px on the screen."""
GAP = QColor("#ff9d8a")


@dataclass(frozen=True, kw_only=True)
class SightLine:
    """One line, frame px.

    Attributes
    ----------
    a, b : (x, y)
        Ends.
    half_widths_px : (float, float)
        Half the band's width at each end.
    text : str
        Words, or empty.
    placed, foot : (x, y) or None
        A placed point that is off the line, and the nearest place on it.
    gap_text : str
        How far off.
    """

    a: Place
    b: Place
    half_widths_px: tuple[float, float]
    text: str = ""
    placed: Place | None = None
    foot: Place | None = None
    gap_text: str = ""


def paint_sight_lines(
    painter: QPainter,
    lines: tuple[SightLine, ...],
    view: ViewTransform,
    pointer: QPointF,
    taken: QRectF,
) -> None:
    """Paint bands, lines, words, and what is off.

    Words keep away from the pointer and from what is `taken` by the loupe; where there is no room
    for them while it is open, they are left out.
    """
    hand = QRectF(-NEAR_HAND, -NEAR_HAND, 2.0 * NEAR_HAND, 2.0 * NEAR_HAND).translated(pointer)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    for line in lines:
        on_screen = QLineF(view.to_widget(*line.a), view.to_widget(*line.b))
        if on_screen.length() < 1.0:
            continue
        _paint_band(painter, on_screen, line, view)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(palette.PICKED, 1.0))
        painter.drawLine(on_screen)
        if line.placed is not None and line.foot is not None:
            _paint_gap(painter, line, view)
        if line.text:
            metrics = painter.fontMetrics()
            size = QSizeF(metrics.horizontalAdvance(line.text) + 14.0, metrics.height() + 4.0)
            at = words_place(on_screen, view.area, size, (hand, taken))
            if at is not None:
                paint_caption(painter, view.area, at, line.text)


def _paint_band(painter: QPainter, on_screen: QLineF, line: SightLine, view: ViewTransform) -> None:
    across = on_screen.normalVector().unitVector()
    unit = QPointF(across.dx(), across.dy())
    near, far = (view.zoom * half for half in line.half_widths_px)
    fill = QColor(palette.PICKED)
    fill.setAlpha(BAND_ALPHA)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(fill)
    a, b = on_screen.p1(), on_screen.p2()
    painter.drawPolygon(
        QPolygonF([a + unit * near, b + unit * far, b - unit * far, a - unit * near])
    )


def _paint_gap(painter: QPainter, line: SightLine, view: ViewTransform) -> None:
    """Paint how far a placed point is off, with a foot on the line."""
    if line.placed is None or line.foot is None:
        return
    placed, foot = view.to_widget(*line.placed), view.to_widget(*line.foot)
    for pen in (QPen(palette.HALO, 4.5), QPen(GAP, 2.0)):
        painter.setPen(pen)
        painter.drawLine(QLineF(placed, foot))
        painter.drawEllipse(foot, 3.0, 3.0)
    # beyond the point, where neither its marker nor the line is
    below = placed.y() >= foot.y()
    beyond = QPointF(0.0, GAP_WORDS_AWAY if below else -GAP_WORDS_AWAY)
    paint_caption(painter, view.area, placed + beyond, line.gap_text)


def visible_part(line: QLineF, area: QRectF) -> QLineF | None:
    """Return the part of a line that lies in an area; None where it misses it."""
    low, high = 0.0, 1.0
    for start, change, least, most in (
        (line.x1(), line.dx(), area.left(), area.right()),
        (line.y1(), line.dy(), area.top(), area.bottom()),
    ):
        if abs(change) < 1e-9:
            if not least <= start <= most:
                return None
            continue
        ends = sorted(((least - start) / change, (most - start) / change))
        low, high = max(low, ends[0]), min(high, ends[1])
    return QLineF(line.pointAt(low), line.pointAt(high)) if low < high else None


def words_place(
    line: QLineF, area: QRectF, size: QSizeF, taken: Sequence[QRectF]
) -> QPointF | None:
    """Return the middle of a line's words: at its visible right end, or its left.

    Out of the middle, where the body is, and clear of the line's own course.  None where the line
    is not seen, or both ends are taken.
    """
    seen = visible_part(line, area)
    if seen is None:
        return None
    if seen.dx() < 0.0:
        seen = QLineF(seen.p2(), seen.p1())
    inward = 0.5 * size.width() + EDGE
    fall = abs(seen.dy() / seen.dx()) if seen.dx() > 1.0 else 0.0
    away = WORDS_AWAY + min(0.5 * size.width() * fall, MOST_AWAY)
    for end in (seen.p2(), seen.p1()):
        x = min(max(end.x(), area.left() + inward), area.right() - inward)
        share = (x - seen.x1()) / seen.dx() if seen.dx() > 1.0 else 0.5
        y = seen.pointAt(min(max(share, 0.0), 1.0)).y()
        at = QPointF(x, y - away if y > area.center().y() else y + away)
        words = QRectF(at - QPointF(size.width() / 2.0, size.height() / 2.0), size)
        if not any(words.intersects(one) for one in taken):
            return at
    return None
