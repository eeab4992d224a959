"""Two curves below each other, over the axis of the scrub bar: a landmark across and up.

This is the only module that knows pyqtgraph, which takes its time to load: it is imported where curves
are first wanted.
"""

from __future__ import annotations

import math

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QGraphicsPathItem, QGraphicsSimpleTextItem, QToolTip, QWidget

from deliverylab.core.model.track import Origin
from deliverylab.shell.coordinate_content import tip_text
from deliverylab.shell.drawing.coordinate_scene import DIRECTIONS, CoordinateScene, Direction
from deliverylab.shell.drawing.scrub_curve import nice_levels
from deliverylab.shell.keys import acts
from deliverylab.shell.theme import on_theme_changed, theme

TITLE_LEFT = 12.0
TITLES: dict[Direction, str] = {"across": "Across, px", "up": "Up, px"}
SYMBOLS: dict[Origin, tuple[str, float, bool]] = {
    "placed": ("s", 8.0, True),
    "tracked": ("o", 4.5, True),
    "detected": ("t1", 9.0, False),
    "filled": ("d", 9.0, False),
    "imported": ("s", 8.0, False),
}
"""By origin: outline, size in px, and whether it is full: told apart without colour."""
LEAST_SIZE = 0.3
"""Factor of the size of marks that lie close: they must not drown the line and its band."""
FILLED_SHARE = 0.75
"""Of the way from one mark to the next, as much as the mark may take."""
RING_PX = 17.0
BAND_ALPHA = 60
WHEEL_STEP, ZOOM_STEP = 120.0, 1.3
HOVER_REACH_PX = 14.0
LEAST_PLOT_HEIGHT = 54
TICKS_APART = 1.05
"""Heights of a line of text from one value beside the axis to the next, at least."""
AXIS_HEIGHT, TOP, APART = 20, 5, 9
DESIGNED_POINT_SIZE = 9.0

_KEYS = acts("coordinates")
_STEPS = {"back": -1, "on": 1}


class _Course:
    """One coordinate: its plot and what is drawn in it."""

    def __init__(self, plot: pg.PlotItem, direction: Direction) -> None:
        self.plot, self.direction = plot, direction
        plot.setMenuEnabled(False)
        plot.hideButtons()
        plot.setMouseEnabled(x=False, y=False)
        plot.disableAutoRange()
        plot.layout.setContentsMargins(0, 0, 0, 0)
        plot.getAxis("left").enableAutoSIPrefix(False)
        self.band = QGraphicsPathItem()
        self.line = pg.PlotCurveItem(connect="finite")
        self.dots = {origin: pg.ScatterPlotItem(pxMode=True) for origin in SYMBOLS}
        self.rings = pg.ScatterPlotItem(pxMode=True)
        self.playhead = pg.InfiniteLine(angle=90, movable=False)
        for item in (self.band, self.line, *self.dots.values(), self.rings, self.playhead):
            plot.addItem(item, ignoreBounds=True)
        self.marks: list[pg.InfiniteLine] = []
        self.title = QGraphicsSimpleTextItem(TITLES[direction], plot.getAxis("left"))
        self.title.setPos(TITLE_LEFT, 2.0)

    def show(self, scene: CoordinateScene) -> None:
        """Draw another course."""
        values = scene.values[self.direction]
        self.band.setPath(pg.arrayToQPath(*scene.band(self.direction), connect="finite"))
        self.line.setData(*scene.line(self.direction))
        for origin, dots in self.dots.items():
            rows = scene.rows_of(origin)
            if len(rows) or len(dots.data):
                dots.setData(scene.places[rows], values[rows])
        rows = scene.looked_rows()
        self.rings.setData(scene.places[rows], values[rows])
        while len(self.marks) > len(scene.marks):
            self.plot.removeItem(self.marks.pop())
        while len(self.marks) < len(scene.marks):
            line = pg.InfiniteLine(angle=90, movable=False, pen=_mark_pen())
            line.setZValue(-10)
            self.marks.append(line)
            self.plot.addItem(line, ignoreBounds=True)
        for line, place in zip(self.marks, scene.marks, strict=True):
            line.setValue(place)

    def show_span(self, scene: CoordinateScene, low: float, high: float) -> None:
        """Show this part of the axis, and the values there."""
        box = self.plot.vb
        bottom, top = scene.value_range(self.direction, low, high)
        # rings and marks are as large in px however the values are stretched
        share = min(0.3, (RING_PX / 2.0 + 1.0) / max(1.0, box.height()))
        room = share * (top - bottom) / (1.0 - 2.0 * share)
        box.setRange(xRange=(low, high), yRange=(bottom - room, top + room), padding=0.0)
        line_height = QFontMetricsF(self.title.font()).height()
        least = (top - bottom + 2.0 * room) * TICKS_APART * line_height / max(1.0, box.height())
        # the step that two to five values have on three times as much
        step = nice_levels(0.0, 3.0 * least)[1]
        self.plot.getAxis("left").setTickSpacing(levels=[(step, 0.0)])
        self._fit_dots(scene, box.width() / (high - low))

    def _fit_dots(self, scene: CoordinateScene, px_per_s: float) -> None:
        """Make marks smaller that lie close together."""
        for origin, dots in self.dots.items():
            places = scene.places[scene.rows_of(origin)]
            apart_px = px_per_s * float(np.median(np.diff(places))) if len(places) > 1 else math.inf
            size = SYMBOLS[origin][1]
            size *= min(1.0, max(LEAST_SIZE, round(FILLED_SHARE * apart_px / size, 1)))
            if size != dots.opts["size"]:
                dots.setSize(size)

    def dress(self, hue: QColor) -> None:
        """Give everything the colours of the look."""
        colour = theme().colour
        faded = QColor(hue)
        faded.setAlpha(BAND_ALPHA)
        self.band.setPen(QPen(Qt.PenStyle.NoPen))
        self.band.setBrush(faded)
        self.line.setPen(_pen(hue, 1.3))
        for origin, dots in self.dots.items():
            symbol, _, is_full = SYMBOLS[origin]
            dots.setSymbol(symbol)
            dots.setPen(_pen(hue, 1.2))
            dots.setBrush(hue if is_full else colour("pane"))
        self.rings.setSymbol("o")
        self.rings.setSize(RING_PX)
        self.rings.setPen(_pen(colour("caution"), 2.0))
        self.rings.setBrush(QColor(0, 0, 0, 0))
        self.playhead.setPen(_pen(colour("text"), 1.4))
        self.title.setBrush(colour("quiet"))
        for line in self.marks:
            line.setPen(_mark_pen())


class CoordinatePlot(pg.GraphicsLayoutWidget):
    """Draw a `CoordinateScene` and turn clicks, the wheel and keys into wishes.

    The part of the axis that is shown is somebody else's: it is told by `show_span`.

    Signals
    -------
    point_chosen(int)
        Frame of the position that was clicked, or lies nearest to the click.
    frames_stepped(int)
        Wish for another frame.
    zoomed(float, float)
        Wish to stretch the axis by a factor about a place.
    all_wanted()
        Wish to see the whole axis.
    """

    point_chosen = Signal(int)
    frames_stepped = Signal(int)
    zoomed = Signal(float, float)
    all_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.scene_shown = CoordinateScene()
        self._span = (0.0, 1.0)
        self.setAccessibleName("Coordinates over time")
        self.courses = {
            direction: _Course(self.addPlot(row=row, col=0), direction)
            for row, direction in enumerate(DIRECTIONS)
        }
        self.courses["across"].plot.hideAxis("bottom")
        # how many values stand beside an axis follows from its height, known once it is laid out
        self._laid_out = QTimer(self)
        self._laid_out.setSingleShot(True)
        self._laid_out.setInterval(0)
        self._laid_out.timeout.connect(self._show_ranges)
        on_theme_changed(self, self._on_theme_changed)

    # ------------------------------------------------------------------------ what is shown

    def show_scene(self, scene: CoordinateScene) -> None:
        """Draw another course; the axis stays where it is."""
        is_other_hue = scene.hue != self.scene_shown.hue
        self.scene_shown = scene
        for course in self.courses.values():
            course.show(scene)
        if is_other_hue:
            self._dress()
        self._show_ranges()

    def show_span(self, low: float, high: float, left: float, beside: float) -> None:
        """Show this part of the axis with so much room left of it and beside it, px."""
        self._span = low, high
        self.ci.layout.setContentsMargins(0, round(TOP * self._unit), round(beside), 0)
        self.ci.layout.setVerticalSpacing(round(APART * self._unit))
        for course in self.courses.values():
            course.plot.getAxis("left").setWidth(round(left))
        self._show_ranges()

    def show_playhead(self, place: float) -> None:
        """Move the line at the shown frame."""
        for course in self.courses.values():
            course.playhead.setValue(place)

    def x_of(self, place: float) -> float:
        """Return the widget x of a place on the axis."""
        return self._at("up", place, 0.0).x()

    def point_at(self, direction: Direction, frame: int) -> QPointF | None:
        """Return where a frame's position is drawn, widget px; None where there is none."""
        scene = self.scene_shown
        row = scene.row_of(frame)
        if row is None:
            return None
        return self._at(direction, scene.places[row], scene.values[direction][row])

    def _at(self, direction: Direction, place: float, value: float) -> QPointF:
        box = self.courses[direction].plot.vb
        scene_at = box.mapViewToScene(QPointF(place, value))
        return QPointF(self.viewportTransform().map(scene_at))

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Fit the values beside the axes to the new height."""
        super().resizeEvent(event)
        # the library's constructor resizes before there is anything to fit
        if hasattr(self, "_laid_out"):
            self._laid_out.start()

    def _show_ranges(self) -> None:
        for course in self.courses.values():
            course.show_span(self.scene_shown, *self._span)

    def _dress(self) -> None:
        hue = theme().colour(self.scene_shown.hue)
        for course in self.courses.values():
            course.dress(hue)

    def _on_theme_changed(self) -> None:
        colour = theme().colour
        self._unit = max(1.0, theme().point_size() / DESIGNED_POINT_SIZE)
        self.setBackground(colour("pane"))
        font = self.font()
        font.setPointSizeF(theme().point_size(0.88))
        for course in self.courses.values():
            for side in ("left", "bottom"):
                axis = course.plot.getAxis(side)
                axis.setTickFont(font)
                axis.setPen(_pen(colour("line"), 1.0))
                axis.setTextPen(colour("quiet"))
                axis.setStyle(tickLength=-4)
            course.plot.getAxis("bottom").setHeight(round(AXIS_HEIGHT * self._unit))
            course.title.setFont(font)
        self._dress()
        self.setMinimumHeight(2 * LEAST_PLOT_HEIGHT + round((AXIS_HEIGHT + TOP) * self._unit))

    def sizeHint(self) -> QSize:
        """Return a height in which both curves can be read."""
        return QSize(640, round(170 * self._unit))

    def minimumSizeHint(self) -> QSize:
        """Return what both curves need at least."""
        return QSize(320, self.minimumHeight())

    # -------------------------------------------------------------------------------- mouse

    def nearest_row(self, at: QPointF) -> tuple[int | None, float]:
        """Return the row of the position drawn nearest to a widget place, and how far, px."""
        scene, scene_at = self.scene_shown, self.mapToScene(at.toPoint())
        if not len(scene.frames):
            return None, math.inf
        is_upper = scene_at.y() <= self.courses["across"].plot.vb.sceneBoundingRect().bottom()
        direction: Direction = "across" if is_upper else "up"
        box = self.courses[direction].plot.vb
        place, value = box.mapSceneToView(scene_at).toTuple()
        width, height = box.viewPixelSize()
        away = np.hypot((scene.places - place) / width, (scene.values[direction] - value) / height)
        row = int(away.argmin())
        return row, float(away[row])

    def place_at(self, at: QPointF) -> float:
        """Return the place on the axis at a widget place."""
        box = self.courses["up"].plot.vb
        return float(box.mapSceneToView(self.mapToScene(at.toPoint())).x())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the position nearest to the pointer."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        row, _ = self.nearest_row(event.position())
        if event.button() == Qt.MouseButton.LeftButton and row is not None:
            self.point_chosen.emit(int(self.scene_shown.frames[row]))
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Take the pointer for oneself: the library's own gestures are not wanted."""
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Take the pointer for oneself."""
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Ask for the whole axis."""
        self.all_wanted.emit()
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Ask to stretch the axis about the pointer."""
        turns = (event.angleDelta().y() or event.angleDelta().x()) / WHEEL_STEP
        self.zoomed.emit(ZOOM_STEP**turns, self.place_at(event.position()))
        event.accept()

    def viewportEvent(self, event: QEvent) -> bool:
        """Tell what is known of the position under a resting pointer."""
        if event.type() != QEvent.Type.ToolTip or not isinstance(event, QHelpEvent):
            return bool(super().viewportEvent(event))
        row, away_px = self.nearest_row(QPointF(event.pos()))
        if row is None or away_px > HOVER_REACH_PX:
            QToolTip.hideText()
        else:
            text = tip_text(self.scene_shown, int(self.scene_shown.frames[row]))
            QToolTip.showText(event.globalPos(), text, self)
        return True

    # --------------------------------------------------------------------------------- keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step frames; the rest is the window's."""
        act = _KEYS.get(Qt.Key(event.key()), "")
        is_taken = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if act not in _STEPS or is_taken:
            event.ignore()
            return
        is_fast = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        self.frames_stepped.emit(_STEPS[act] * (10 if is_fast else 1))


def symbol_pixmap(origin: Origin, hue: str, size: int, ratio: float) -> QPixmap:
    """Return the mark of positions of an origin as a square picture of `size` logical px."""
    symbol, width, is_full = SYMBOLS[origin]
    pixmap = QPixmap(QSize(size, size) * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(size / 2.0, size / 2.0)
    painter.scale(width, width)
    painter.setPen(_pen(theme().colour(hue), 1.4))
    painter.setBrush(theme().colour(hue if is_full else "pane"))
    path: QPainterPath = pg.graphicsItems.ScatterPlotItem.Symbols[symbol]
    painter.drawPath(path)
    painter.end()
    return pixmap


def _pen(colour: QColor, width: float) -> QPen:
    """Return a pen that is as wide on the screen however the axes are stretched."""
    pen = QPen(colour, width)
    pen.setCosmetic(True)
    return pen


def _mark_pen() -> QPen:
    return _pen(theme().colour("faint"), 1.0)
