"""How the scrub bar is painted: what lies still into a picture of its own, then what moves."""

from __future__ import annotations

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
)

from deliverylab.core.vocabulary.events import BY_KEY
from deliverylab.shell.drawing.scrub_curve import (
    Colour,
    faded,
    paint_curves,
    paint_values,
    side_hue,
)
from deliverylab.shell.drawing.scrub_ghosts import (
    paint_doubts,
    paint_ghost_lines,
    paint_ghosts,
)
from deliverylab.shell.drawing.scrub_scene import (
    FloatArray,
    ScrubLayout,
    ScrubRow,
    ScrubScene,
    coverage_columns,
)

MIDDLE_LEFT = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
TRIM_WIDTH = 6.0
WAITING_APART = 9.0
STRIPE_PX = 3
FLAG_LEVELS = (13.0, 28.0)
KEEP_NAMES = (
    "foot_contact",
    "release",
    "leg_lift",
    "full_layback",
    "foot_plant",
    "hand_break",
    "finish",
)
"""Events whose names are kept longest where there is little room, the first longest of all."""


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
    paint_curves(painter, scene, layout, colour)


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
    plain = painter.font()
    font = QFont(plain)
    font.setWeight(QFont.Weight.DemiBold if is_active else QFont.Weight.Normal)
    painter.setFont(font)
    label = QRectF(14.0, rect.top() - 3.0, layout.labels_width - 22.0, rect.height() + 6.0)
    name = QFontMetricsF(font).elidedText(row.name, Qt.TextElideMode.ElideRight, label.width())
    painter.drawText(label, MIDDLE_LEFT, name)
    painter.setFont(plain)
    if is_active:
        painter.fillRect(QRectF(6.0, rect.top(), 3.0, rect.height()), hue)
    n_columns = max(1, round(rect.width()))
    columns = coverage_columns(row, layout, n_columns)
    by_hand = (
        columns if row.by_hand is None else coverage_columns(row, layout, n_columns, row.by_hand)
    )
    painter.drawImage(rect.topLeft(), coverage_image(columns, by_hand, round(rect.height()), hue))
    # what the trim leaves out is struck through by a wash
    for start, end in (
        (layout.left, layout.x_of(float(row.axis[row.first_frame]))),
        (layout.x_of(float(row.axis[row.last_frame])), layout.right),
    ):
        washed = QRectF(start, rect.top(), end - start, rect.height()) & rect
        if end > start and not washed.isEmpty():
            painter.fillRect(washed, faded(colour("pane"), 190))
    painter.setBrush(colour("quiet" if is_active else "faint"))
    _paint_trim(painter, row, layout, number)
    for x in waiting_places(row, layout):
        _paint_triangle(painter, x, rect.bottom() + 0.5, colour("caution"))


def waiting_places(row: ScrubRow, layout: ScrubLayout) -> list[float]:
    """Return the x of the frames in which places wait; of those that would touch, the first."""
    places: list[float] = []
    for frame in row.waiting_frames:
        x = layout.x_of(float(row.axis[frame]))
        if layout.left <= x <= layout.right and (not places or x - places[-1] >= WAITING_APART):
            places.append(x)
    return places


def _paint_triangle(painter: QPainter, x: float, top: float, hue: QColor) -> None:
    """Paint a small triangle below a row that points at a frame."""
    shape = QPainterPath(QPointF(x, top))
    shape.lineTo(x - 4.0, top + 5.5)
    shape.lineTo(x + 4.0, top + 5.5)
    shape.closeSubpath()
    painter.fillPath(shape, hue)


def trim_rects(row: ScrubRow, layout: ScrubLayout, number: int) -> dict[str, QRectF]:
    """Return where the handles of a row's trim stand, just outside it; those in sight."""
    if not row.is_trimmable:
        return {}
    rect = layout.row_rect(number)
    start, end = (layout.x_of(float(row.axis[n])) for n in (row.first_frame, row.last_frame))
    rects = {
        "start": QRectF(start - TRIM_WIDTH - 1.5, rect.top(), TRIM_WIDTH, rect.height()),
        "end": QRectF(end + 1.5, rect.top(), TRIM_WIDTH, rect.height()),
    }
    low, high = layout.left - TRIM_WIDTH, layout.right + TRIM_WIDTH
    return {key: one for key, one in rects.items() if low <= one.left() and one.right() <= high}


def _paint_trim(painter: QPainter, row: ScrubRow, layout: ScrubLayout, number: int) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    for rect in trim_rects(row, layout, number).values():
        painter.drawRoundedRect(rect.adjusted(1.0, -1.0, -1.0, 1.0), 1.5, 1.5)


def coverage_image(columns: FloatArray, by_hand: FloatArray, height: int, hue: QColor) -> QImage:
    """Return bars whose height is the coverage, one px a column; the clip's extent as a wash.

    What is placed by hand stands solid at the foot of each bar, the rest striped above it.
    """
    n_columns = len(columns)
    red, green, blue = hue.red(), hue.green(), hue.blue()
    is_clip = np.isfinite(columns)
    # a placed frame is never less than two px high
    share = np.where(is_clip, columns, 0.0)
    bar = np.where(share > 0.0, np.maximum(2.0, np.round(share * height)), 0.0)
    hand = np.where(is_clip, by_hand, 0.0)
    solid = np.where(hand > 0.0, np.maximum(2.0, np.round(hand * height)), 0.0)
    rows = height - np.arange(height)[:, None]
    is_stripe = (rows + np.arange(n_columns)[None, :]) % (2 * STRIPE_PX) < STRIPE_PX
    made = np.where(is_stripe, 150, 60)
    alpha = np.where(rows <= bar[None, :], made, np.where(is_clip[None, :], 34, 0))
    alpha = np.where(rows <= solid[None, :], 190, alpha)
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
    """Paint the anchors' percents, but for those that the playhead's label or another would cut."""
    foot = layout.foot_rect
    metrics = QFontMetricsF(painter.font())
    painter.setPen(colour("quiet"))
    before = QRectF()
    for percent, place in scene.phases:
        x = layout.x_of(place)
        if percent % 100.0 or not layout.left - 1.0 <= x <= layout.right + 1.0:
            continue
        text = f"{percent:.0f} %"
        width = metrics.horizontalAdvance(text) + 4.0
        at = QRectF(x - width / 2.0, foot.top() + 6.0, width, foot.height() - 7.0)
        if not (at.intersects(taken) or at.intersects(before)):
            painter.drawText(at, Qt.AlignmentFlag.AlignCenter, text)
            before = at


def _paint_mark_lines(
    painter: QPainter, scene: ScrubScene, layout: ScrubLayout, colour: Colour, active: str
) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    for key, place in scene.ordered_marks(active):
        x = float(round(layout.x_of(place)))
        if layout.left <= x <= layout.right:
            pen = QPen(colour("faint" if BY_KEY[key].phase is not None else "line"), 1.0)
            painter.setPen(pen)
            bottom = layout.foot_rect.top()
            painter.drawLine(QLineF(x, layout.flags_height - 4.0, x, bottom))
    paint_ghost_lines(painter, scene, layout, colour, active)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    paint_doubts(painter, scene, layout, colour, active)
    for number, row in enumerate(scene.rows):
        if row.side == active:
            continue
        rect = layout.row_rect(number)
        painter.setPen(QPen(colour(side_hue(row.side)), 1.6))
        for place in row.marks.values():
            x = layout.x_of(place)
            if layout.left <= x <= layout.right:
                painter.drawLine(QLineF(x, rect.top() - 3.0, x, rect.bottom() + 3.0))


def _flag_rect(
    layout: ScrubLayout, metrics: QFontMetricsF, key: str, place: float, level: int
) -> QRectF:
    """Return where a flag's name stands in a level of the lane, centred above its place."""
    width = metrics.horizontalAdvance(BY_KEY[key].name) + 10.0
    left = min(max(layout.x_of(place) - width / 2.0, 2.0), layout.width - width - 2.0)
    height = 15.0 * layout.unit
    return QRectF(left, FLAG_LEVELS[level] * layout.unit - height / 2.0, width, height)


def flag_rects(
    scene: ScrubScene, layout: ScrubLayout, active: str, metrics: QFontMetricsF
) -> dict[str, QRectF]:
    """Return where the name of each of the active row's flags and ghosts stands; no overlap.

    Where they do not all fit near their places, those that matter least go without: their flag
    stays, and the pointer on it says its name.
    """
    marks = {
        key: place
        for key, place in scene.ordered_flags(active)
        if layout.left - 1.0 <= layout.x_of(place) <= layout.right + 1.0
    }
    rects: dict[str, QRectF] = {}
    for key in sorted(marks, key=KEEP_NAMES.index):
        ascending = sorted({*rects, key}, key=lambda one: marks[one])
        fitted = _fitted(layout, metrics, {one: marks[one] for one in ascending})
        rects = rects if fitted is None else fitted
    return rects


def _fitted(
    layout: ScrubLayout, metrics: QFontMetricsF, marks: dict[str, float]
) -> dict[str, QRectF] | None:
    """Return places for these names, ascending, each still over its flag; None if they do not fit."""
    rects: dict[str, QRectF] = {}
    ends = [0.0 for _ in FLAG_LEVELS]
    for key, place in marks.items():
        wanted = _flag_rect(layout, metrics, key, place, 0)
        free = [level for level in range(len(FLAG_LEVELS)) if ends[level] <= wanted.left()]
        level = free[0] if free else min(range(len(ends)), key=lambda number: ends[number])
        rect = _flag_rect(layout, metrics, key, place, level)
        rect.moveLeft(max(rect.left(), ends[level]))
        if rect.right() > layout.width - 1.0 or rect.left() > layout.x_of(place) + 4.0:
            return None
        ends[level] = rect.right() + 3.0
        rects[key] = rect
    return rects


def paint_flags(
    painter: QPainter,
    scene: ScrubScene,
    layout: ScrubLayout,
    colour: Colour,
    active: str,
    lit: str,
) -> None:
    """Paint flags and ghosts of the active row; `lit` is the one in the hand or at the shown frame."""
    metrics = QFontMetricsF(painter.font())
    marks = dict(scene.ordered_marks(active))
    rects = flag_rects(scene, layout, active, metrics)
    paint_ghosts(painter, scene, layout, colour, active, lit, rects)
    rects = {key: rect for key, rect in rects.items() if key in marks}
    bottom = layout.flags_height
    if lit in marks and lit not in rects:
        # the one that is meant is named in any case, over its neighbours
        rects[lit] = _flag_rect(layout, metrics, lit, marks[lit], 0)
    inks = {key: colour("text" if key == lit else "quiet") for key in rects}
    for key, rect in rects.items():
        x = layout.x_of(marks[key])
        painter.setPen(QPen(inks[key], 1.4 if key == lit else 1.0))
        painter.drawLine(QLineF(x, rect.bottom() + 1.0, x, bottom - 2.0))
    for key, place in marks.items():
        x = layout.x_of(place)
        if layout.left - 1.0 <= x <= layout.right + 1.0:
            foot = QPainterPath(QPointF(x, bottom))
            foot.lineTo(x - 3.5, bottom - 5.0)
            foot.lineTo(x + 3.5, bottom - 5.0)
            foot.closeSubpath()
            painter.fillPath(foot, inks.get(key, colour("quiet")))
    for key, rect in rects.items():
        # the plate keeps the stems of other flags out of the words
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour("raised") if key == lit else colour("pane"))
        painter.drawRoundedRect(rect, 4.0, 4.0)
        painter.setPen(inks[key])
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, BY_KEY[key].name)


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
    painter.drawLine(QLineF(x, layout.flags_height - 2.0, x, foot.top() + 2.0))
    paint_values(painter, scene, layout, colour, places, x)
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


def paint_warming(
    painter: QPainter, layout: ScrubLayout, colour: Colour, number: int, fraction: float
) -> None:
    """Paint a thin line below a row that grows while its clip is warmed."""
    rect = layout.row_rect(number)
    line = QRectF(rect.left(), rect.bottom() + 1.5, rect.width() * fraction, 2.0)
    painter.fillRect(line, faded(colour("good"), 180))
