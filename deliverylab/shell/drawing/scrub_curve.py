"""How the scrub bar's curve is painted: levels, bands, lines, and the values at the playheads."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from deliverylab.core.units import format_number, format_value, shown_unit
from deliverylab.shell.drawing.scrub_scene import (
    FloatArray,
    ScrubCurve,
    ScrubLayout,
    ScrubScene,
)

Colour = Callable[[str], QColor]
POINTS_PER_COLUMN = 1
LEAST_TYPE = 0.6
NO_VALUES = "no values yet: it takes landmarks and what the reading asks for"


def side_hue(side: str) -> str:
    """Return the colour name of a row or curve."""
    return "model" if side == "model" else "throwing"


def faded(colour: QColor, alpha: int) -> QColor:
    """Return the colour with another opacity, 0 to 255."""
    other = QColor(colour)
    other.setAlpha(alpha)
    return other


def has_band(scene: ScrubScene, curve: ScrubCurve) -> bool:
    """Return whether a curve is drawn with its band: there is room for one, below the frames."""
    return scene.has_all_bands or curve.side != "model"


def curve_scale(scene: ScrubScene, layout: ScrubLayout) -> tuple[float, float] | None:
    """Return the least and greatest value shown, with room for the bands; None without any."""
    bounds = []
    for curve in scene.curves:
        is_seen = (curve.axis >= layout.low) & (curve.axis <= layout.high)
        is_seen &= np.isfinite(curve.values)
        if is_seen.any():
            k = 2.0 if has_band(scene, curve) else 0.0
            spread = np.nan_to_num(k * curve.u[is_seen])
            bounds.append((curve.values[is_seen] - spread).min())
            bounds.append((curve.values[is_seen] + spread).max())
    if not bounds:
        return None
    low, high = float(min(bounds)), float(max(bounds))
    room = max(0.06 * (high - low), 1e-6)
    return low - room, high + room


def curve_polygons(
    curve: ScrubCurve, layout: ScrubLayout, scale: tuple[float, float]
) -> list[tuple[QPolygonF, QPolygonF]]:
    """Return (line, band) of each stretch without gaps, widget px; the band is ±2u."""
    rect = layout.curve_rect
    is_kept = (curve.axis >= layout.low) & (curve.axis <= layout.high)
    first, last = np.flatnonzero(is_kept)[[0, -1]] if is_kept.any() else (0, -1)
    # one beyond each end, so that the line reaches the border
    part = slice(max(0, int(first) - 1), int(last) + 2)
    axis, values, u = curve.axis[part], curve.values[part], curve.u[part]
    stride = max(1, len(axis) // max(1, POINTS_PER_COLUMN * round(rect.width())))
    axis, values, u = axis[::stride], values[::stride], u[::stride]
    x = layout.left + (axis - layout.low) / (layout.high - layout.low) * rect.width()

    def y_of(level: FloatArray) -> FloatArray:
        return rect.bottom() - (level - scale[0]) / (scale[1] - scale[0]) * rect.height()

    stretches = []
    is_there = np.isfinite(values)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], is_there.astype(np.int8), [0]))))
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        here = slice(int(start), int(end))
        spread = np.nan_to_num(2.0 * u[here])
        upper, lower = y_of(values[here] + spread), y_of(values[here] - spread)
        line = QPolygonF([QPointF(a, b) for a, b in zip(x[here], y_of(values[here]), strict=True)])
        band = QPolygonF([QPointF(a, b) for a, b in zip(x[here], upper, strict=True)])
        for a, b in zip(x[here][::-1], lower[::-1], strict=True):
            band.append(QPointF(a, b))
        stretches.append((line, band))
    return stretches


def paint_curves(painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour) -> None:
    """Paint the curves with the athlete's band of ±2u, or both."""
    rect = layout.curve_rect
    scale = curve_scale(scene, layout)
    if rect.height() < 24.0:
        return
    painter.setPen(colour("quiet"))
    label = QRectF(14.0, rect.top(), layout.labels_width - 14.0 - 40.0 * layout.unit, rect.height())
    _paint_name(painter, label, scene.curve_name)
    if scale is None:
        return
    _paint_levels(painter, scene, layout, colour, scale)
    painter.save()
    painter.setClipRect(rect.adjusted(0.0, -2.0, 0.0, 2.0))
    for curve in sorted(scene.curves, key=lambda curve: curve.side):
        hue = colour(side_hue(curve.side))
        for line, band in curve_polygons(curve, layout, scale):
            if has_band(scene, curve):
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(faded(hue, 56))
                painter.drawPolygon(band)
            pen = QPen(hue, 2.0 if curve.side != "model" else 1.6)
            if curve.side == "model":
                pen.setDashPattern([4.0, 3.0])
            painter.setPen(pen)
            if line.count() == 1:
                painter.drawEllipse(line.first(), 2.0, 2.0)
            else:
                painter.drawPolyline(line)
    painter.restore()


def paint_no_values(
    painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour
) -> QRectF:
    """Say that there is no curve yet, over the lines that cross its place; return where."""
    room = layout.curve_rect
    if not scene.curve_name or room.height() < 24.0 or curve_scale(scene, layout) is not None:
        return QRectF()
    metrics = QFontMetricsF(painter.font())
    text = scene.reason or NO_VALUES
    if metrics.horizontalAdvance(text) > room.width() - 16.0:
        text = text.partition(":")[0]
    plate = QRectF(0.0, 0.0, metrics.horizontalAdvance(text) + 16.0, metrics.height() + 4.0)
    plate.moveCenter(room.center())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour("pane"))
    painter.drawRect(plate)
    painter.setPen(colour("faint"))
    painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, text)
    return plate


def _paint_name(painter: QPainter, room: QRectF, name: str) -> None:
    """Paint the curve's name in as many lines as there is room for; what is too long is cut off."""
    painter.save()
    metrics = QFontMetricsF(painter.font())
    widest = max(map(metrics.horizontalAdvance, name.split()), default=0.0)
    if widest > room.width() > 0.0:  # a word that is cut through reads worse than a small one
        font = QFont(painter.font())
        font.setPointSizeF(font.pointSizeF() * max(LEAST_TYPE, 0.98 * room.width() / widest))
        painter.setFont(font)
        metrics = QFontMetricsF(font)
    top_left = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft
    flags = int(top_left) | int(Qt.TextFlag.TextWordWrap)
    if metrics.boundingRect(room, flags, name).height() > room.height():
        name = metrics.elidedText(name, Qt.TextElideMode.ElideRight, room.width())
    painter.drawText(room, flags, name)
    painter.restore()


def nice_levels(low: float, high: float) -> tuple[float, float]:
    """Return the first level and the step of two to five round values between two values."""
    rough = (high - low) / 3.0
    power = 10.0 ** np.floor(np.log10(rough))
    step = float(power * next(part for part in (1.0, 2.0, 5.0, 10.0) if part * power >= rough))
    return float(np.ceil(low / step) * step), step


def _paint_levels(
    painter: QPainter,
    scene: ScrubScene,
    layout: ScrubLayout,
    colour: Colour,
    scale: tuple[float, float],
) -> None:
    """Paint a few round values with hairlines."""
    rect = layout.curve_rect
    factor = shown_unit(scene.unit, scene.system).factor
    level, step = nice_levels(scale[0] * factor, scale[1] * factor)
    decimals = max(0, -int(np.floor(np.log10(step) + 1e-9)))
    while level <= scale[1] * factor:
        y = rect.bottom() - (level / factor - scale[0]) / (scale[1] - scale[0]) * rect.height()
        painter.setPen(QPen(faded(colour("line"), 120), 1.0))
        painter.drawLine(QLineF(rect.left(), y, rect.right(), y))
        painter.setPen(colour("faint"))
        width, height = 44.0 * layout.unit, 16.0 * layout.unit
        at = QRectF(rect.left() - 6.0 - width, y - height / 2.0, width, height)
        end = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
        painter.drawText(at, end, format_number(level, decimals))
        level += step


def paint_values(
    painter: QPainter,
    scene: ScrubScene,
    layout: ScrubLayout,
    colour: Colour,
    places: dict[str, float],
    x: float,
) -> None:
    """Paint the values where the playheads cross the curves."""
    scale = curve_scale(scene, layout)
    rect = layout.curve_rect
    if scale is None or rect.height() < 24.0:
        return
    metrics = QFontMetricsF(painter.font())
    shown = []
    for curve in scene.curves:
        value, u = curve.at(places.get(curve.side, float("nan")))
        if np.isfinite(value):
            y = rect.bottom() - (value - scale[0]) / (scale[1] - scale[0]) * rect.height()
            shown.append((y, curve.side, value, u))
    for number, (y, side, value, u) in enumerate(sorted(shown)):
        hue = colour(side_hue(side))
        painter.setPen(QPen(colour("pane"), 1.5))
        painter.setBrush(hue)
        painter.drawEllipse(QPointF(layout.x_of(places[side]), y), 4.0, 4.0)
        expanded = 2.0 * u if np.isfinite(u) else None
        text = format_value(value, expanded, scene.unit, scene.decimals, scene.system)
        width = metrics.horizontalAdvance(text) + 12.0
        # the higher curve's value stands above it, the lower one's below: neither hides a line
        is_above = number == 0 and len(shown) > 1
        height = 18.0 * layout.unit
        top = y - 9.0 - height if is_above else y + 9.0
        top = min(max(top, rect.top() - 4.0), rect.bottom() - height)
        left = x + 8.0 if x + width + 12.0 < layout.right else x - width - 8.0
        plate = QRectF(left, top, width, height)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(faded(colour("pane"), 225))
        painter.drawRoundedRect(plate, 4.0, 4.0)
        painter.setPen(hue)
        painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, text)
