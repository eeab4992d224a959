"""How the scrub bar is painted: what lies still into a picture of its own, then what moves."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from deliverylab.core.units import format_number, format_value, shown_unit
from deliverylab.core.vocabulary.events import BY_KEY
from deliverylab.shell.drawing.scrub_scene import (
    FLAGS_HEIGHT,
    LABELS_WIDTH,
    FloatArray,
    ScrubCurve,
    ScrubLayout,
    ScrubRow,
    ScrubScene,
    coverage_columns,
)

Colour = Callable[[str], QColor]
POINTS_PER_COLUMN = 1
MIDDLE_LEFT = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
FLAG_LEVELS = (13.0, 28.0)


def side_hue(side: str) -> str:
    """Return the colour name of a row or curve."""
    return "model" if side == "model" else "throwing"


def faded(colour: QColor, alpha: int) -> QColor:
    """Return the colour with another opacity, 0 to 255."""
    other = QColor(colour)
    other.setAlpha(alpha)
    return other


def paint_still(
    painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour, active: str
) -> None:
    """Paint coverage, curve, phase scale and the flags' lines."""
    area = QRectF(0.0, 0.0, layout.width, layout.height)
    painter.fillRect(area, colour("pane"))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    for number, row in enumerate(scene.rows):
        _paint_row(painter, row, layout, number, colour, is_active=row.side == active)
    _paint_phase_scale(painter, scene, layout, colour)
    _paint_mark_lines(painter, scene, layout, colour, active)
    _paint_curves(painter, scene, layout, colour)


def _paint_row(
    painter: QPainter,
    row: ScrubRow,
    layout: ScrubLayout,
    number: int,
    colour: Colour,
    *,
    is_active: bool,
) -> None:
    rect = layout.row_rect(number)
    hue = colour(side_hue(row.side))
    painter.setPen(colour("text" if is_active else "quiet"))
    font = QFont(painter.font())
    font.setWeight(QFont.Weight.DemiBold if is_active else QFont.Weight.Normal)
    painter.setFont(font)
    label = QRectF(14.0, rect.top() - 2.0, LABELS_WIDTH - 22.0, rect.height() + 4.0)
    name = QFontMetricsF(font).elidedText(row.name, Qt.TextElideMode.ElideRight, label.width())
    painter.drawText(label, MIDDLE_LEFT, name)
    if is_active:
        painter.fillRect(QRectF(6.0, rect.top(), 3.0, rect.height()), hue)
    columns = coverage_columns(row, layout, max(1, round(rect.width())))
    painter.drawImage(rect.topLeft(), coverage_image(columns, round(rect.height()), hue))
    # what the trim leaves out is struck through by a wash
    for start, end in (
        (layout.left, layout.x_of(float(row.axis[row.first_frame]))),
        (layout.x_of(float(row.axis[row.last_frame])), layout.right),
    ):
        washed = QRectF(start, rect.top(), end - start, rect.height()) & rect
        if end > start and not washed.isEmpty():
            painter.fillRect(washed, faded(colour("pane"), 190))


def coverage_image(columns: FloatArray, height: int, hue: QColor) -> QImage:
    """Return bars whose height is the coverage, one px a column; the clip's extent as a wash."""
    n_columns = len(columns)
    red, green, blue = hue.red(), hue.green(), hue.blue()
    is_clip = np.isfinite(columns)
    # a placed frame is never less than two px high
    share = np.where(is_clip, columns, 0.0)
    bar = np.where(share > 0.0, np.maximum(2.0, np.round(share * height)), 0.0)
    rows = height - np.arange(height)[:, None]
    alpha = np.where(rows <= bar[None, :], 190, np.where(is_clip[None, :], 34, 0))
    pixels: NDArray[np.uint8] = np.empty((height, n_columns, 4), dtype=np.uint8)
    # premultiplied, in the byte order of ARGB32 on little-endian machines
    for channel, level in enumerate((blue, green, red)):
        pixels[..., channel] = alpha * level // 255
    pixels[..., 3] = alpha
    image = QImage(
        pixels.data, n_columns, height, 4 * n_columns, QImage.Format.Format_ARGB32_Premultiplied
    )
    return image.copy()


def _paint_phase_scale(
    painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour
) -> None:
    foot = layout.foot_rect
    painter.setPen(QPen(colour("line"), 1.0))
    painter.drawLine(QLineF(foot.left(), foot.top(), foot.right(), foot.top()))
    for percent, place in scene.phases:
        x = layout.x_of(place)
        if not layout.left - 1.0 <= x <= layout.right + 1.0:
            continue
        is_anchor = percent % 100.0 == 0.0
        painter.setPen(QPen(colour("faint" if is_anchor else "line"), 1.0))
        painter.drawLine(QLineF(x, foot.top(), x, foot.top() + (6.0 if is_anchor else 3.0)))


def _paint_phase_labels(
    painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour, taken: QRectF
) -> None:
    """Paint the anchors' percents, but for those that the playhead's label would cut."""
    foot = layout.foot_rect
    metrics = QFontMetricsF(painter.font())
    painter.setPen(colour("quiet"))
    for percent, place in scene.phases:
        x = layout.x_of(place)
        if percent % 100.0 or not layout.left - 1.0 <= x <= layout.right + 1.0:
            continue
        text = f"{percent:.0f} %"
        width = metrics.horizontalAdvance(text) + 4.0
        at = QRectF(x - width / 2.0, foot.top() + 6.0, width, foot.height() - 7.0)
        if not at.intersects(taken):
            painter.drawText(at, Qt.AlignmentFlag.AlignCenter, text)


def _paint_mark_lines(
    painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour, active: str
) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    for key, place in scene.ordered_marks(active):
        x = float(round(layout.x_of(place)))
        if layout.left <= x <= layout.right:
            pen = QPen(colour("faint" if BY_KEY[key].phase is not None else "line"), 1.0)
            painter.setPen(pen)
            painter.drawLine(QLineF(x, FLAGS_HEIGHT - 4.0, x, layout.height - 24.0))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    for number, row in enumerate(scene.rows):
        if row.side == active:
            continue
        rect = layout.row_rect(number)
        painter.setPen(QPen(colour(side_hue(row.side)), 1.6))
        for place in row.marks.values():
            x = layout.x_of(place)
            if layout.left <= x <= layout.right:
                painter.drawLine(QLineF(x, rect.top() - 3.0, x, rect.bottom() + 3.0))


def curve_scale(scene: ScrubScene, layout: ScrubLayout) -> tuple[float, float] | None:
    """Return the least and greatest value shown, with room for the bands; None without any."""
    bounds = []
    for curve in scene.curves:
        is_seen = (curve.axis >= layout.low) & (curve.axis <= layout.high)
        is_seen &= np.isfinite(curve.values)
        if is_seen.any():
            k = 2.0 if curve.side != "model" else 0.0
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


def _paint_curves(
    painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour
) -> None:
    rect = layout.curve_rect
    scale = curve_scale(scene, layout)
    if rect.height() < 24.0:
        return
    painter.setPen(colour("quiet"))
    label = QRectF(14.0, rect.top(), LABELS_WIDTH - 54.0, rect.height())
    wrapped = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft
    painter.drawText(label, int(wrapped) | int(Qt.TextFlag.TextWordWrap), scene.curve_name)
    if scale is None:
        if scene.curve_name:
            painter.setPen(colour("faint"))
            text = "no values yet: it takes landmarks and what the reading asks for"
            painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)
        return
    _paint_levels(painter, scene, layout, colour, scale)
    painter.save()
    painter.setClipRect(rect.adjusted(0.0, -2.0, 0.0, 2.0))
    for curve in sorted(scene.curves, key=lambda curve: curve.side):
        hue = colour(side_hue(curve.side))
        for line, band in curve_polygons(curve, layout, scale):
            if curve.side != "model":
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
        at = QRectF(rect.left() - 50.0, y - 8.0, 44.0, 16.0)
        end = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
        painter.drawText(at, end, format_number(level, decimals))
        level += step


def flag_rects(
    scene: ScrubScene, layout: ScrubLayout, active: str, metrics: QFontMetricsF
) -> dict[str, QRectF]:
    """Return where the name of each of the active row's flags stands; two levels, no overlap."""
    rects: dict[str, QRectF] = {}
    ends = [0.0 for _ in FLAG_LEVELS]
    for key, place in sorted(scene.ordered_marks(active), key=lambda mark: mark[1]):
        x = layout.x_of(place)
        if not layout.left - 1.0 <= x <= layout.right + 1.0:
            continue
        width = metrics.horizontalAdvance(BY_KEY[key].name) + 10.0
        left = min(max(x - width / 2.0, 2.0), layout.width - width - 2.0)
        free = [level for level in range(len(FLAG_LEVELS)) if ends[level] <= left]
        level = free[0] if free else min(range(len(ends)), key=lambda number: ends[number])
        left = left if free else min(max(left, ends[level]), layout.width - width - 2.0)
        ends[level] = left + width + 3.0
        rects[key] = QRectF(left, FLAG_LEVELS[level] - 7.5, width, 15.0)
    return rects


def paint_flags(
    painter: QPainter,
    scene: ScrubScene,
    layout: ScrubLayout,
    colour: Colour,
    active: str,
    lit: str,
) -> None:
    """Paint the flags of the active row; `lit` is the one in the hand or at the shown frame."""
    metrics = QFontMetricsF(painter.font())
    marks = dict(scene.ordered_marks(active))
    for key, rect in flag_rects(scene, layout, active, metrics).items():
        x = layout.x_of(marks[key])
        is_lit = key == lit
        ink = colour("text" if is_lit else "quiet")
        painter.setPen(QPen(ink, 1.4 if is_lit else 1.0))
        painter.drawLine(QLineF(x, rect.bottom() + 1.0, x, FLAGS_HEIGHT - 2.0))
        if is_lit:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colour("raised"))
            painter.drawRoundedRect(rect, 4.0, 4.0)
        painter.setPen(ink)
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, BY_KEY[key].name)
        foot = QPainterPath(QPointF(x, FLAGS_HEIGHT))
        foot.lineTo(x - 3.5, FLAGS_HEIGHT - 5.0)
        foot.lineTo(x + 3.5, FLAGS_HEIGHT - 5.0)
        foot.closeSubpath()
        painter.fillPath(foot, ink)


def paint_playheads(
    painter: QPainter,
    scene: ScrubScene,
    layout: ScrubLayout,
    colour: Colour,
    places: dict[str, float],
    active: str,
    label: str,
) -> None:
    """Paint where each row stands, the values of the curves there, and the active row's label."""
    for number, row in enumerate(scene.rows):
        if row.side != active and row.side in places:
            x = layout.x_of(places[row.side])
            rect = layout.row_rect(number).adjusted(0.0, -3.0, 0.0, 3.0)
            painter.setPen(QPen(colour("model" if row.side == "model" else "text"), 2.0))
            painter.drawLine(QLineF(x, rect.top(), x, rect.bottom()))
    foot = layout.foot_rect
    x = layout.x_of(places[active]) if active in places else -1.0
    if not layout.left - 1.0 <= x <= layout.right + 1.0:
        _paint_phase_labels(painter, scene, layout, colour, QRectF())
        return
    painter.setPen(QPen(colour("text"), 1.6))
    painter.drawLine(QLineF(x, FLAGS_HEIGHT - 2.0, x, foot.top() + 2.0))
    _paint_values(painter, scene, layout, colour, places, x)
    metrics = QFontMetricsF(painter.font())
    width = metrics.horizontalAdvance(label) + 18.0
    left = min(max(x - width / 2.0, 4.0), layout.width - width - 4.0)
    pill = QRectF(left, foot.top() + 2.0, width, foot.height() - 4.0)
    _paint_phase_labels(painter, scene, layout, colour, pill.adjusted(-4.0, 0.0, 4.0, 0.0))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour("accent"))
    painter.drawRoundedRect(pill, 5.0, 5.0)
    painter.setPen(colour("on_accent"))
    painter.drawText(pill, Qt.AlignmentFlag.AlignCenter, label)


def _paint_values(
    painter: QPainter,
    scene: ScrubScene,
    layout: ScrubLayout,
    colour: Colour,
    places: dict[str, float],
    x: float,
) -> None:
    scale = curve_scale(scene, layout)
    rect = layout.curve_rect
    if scale is None or rect.height() < 24.0:
        return
    metrics = QFontMetricsF(painter.font())
    for curve in scene.curves:
        value, u = curve.at(places.get(curve.side, float("nan")))
        if not np.isfinite(value):
            continue
        at_x = layout.x_of(places[curve.side])
        y = rect.bottom() - (value - scale[0]) / (scale[1] - scale[0]) * rect.height()
        hue = colour(side_hue(curve.side))
        painter.setPen(QPen(colour("pane"), 1.5))
        painter.setBrush(hue)
        painter.drawEllipse(QPointF(at_x, y), 4.0, 4.0)
        expanded = 2.0 * u if np.isfinite(u) else None
        text = format_value(value, expanded, scene.unit, scene.decimals, scene.system)
        width = metrics.horizontalAdvance(text) + 12.0
        is_right = (curve.side == "model") == (x + width + 12.0 < layout.right)
        left = x + 8.0 if is_right else max(layout.left, x - width - 8.0)
        top = min(max(y - 9.0, rect.top()), rect.bottom() - 18.0)
        plate = QRectF(left, top, width, 18.0)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(faded(colour("pane"), 225))
        painter.drawRoundedRect(plate, 4.0, 4.0)
        painter.setPen(hue)
        painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, text)


def paint_warming(
    painter: QPainter, layout: ScrubLayout, colour: Colour, number: int, fraction: float
) -> None:
    """Paint a thin line below a row that grows while its clip is warmed."""
    rect = layout.row_rect(number)
    line = QRectF(rect.left(), rect.bottom() + 1.5, rect.width() * fraction, 2.0)
    painter.fillRect(line, faded(colour("good"), 180))
