"""The surface of the scrub bar: what is shown of both deliveries, on which part of the axis."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPixmap, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from deliverylab.shell.drawing import scrub_paint
from deliverylab.shell.drawing.scrub_curve import paint_no_values
from deliverylab.shell.drawing.scrub_scene import (
    ScrubLayout,
    ScrubRow,
    ScrubScene,
    zoomed_span,
)
from deliverylab.shell.theme import on_theme_changed, theme

LEAST_HEIGHT = 156
DESIGNED_POINT_SIZE = 9.0
"""Type size for which the heights of the bar were chosen."""


@dataclass
class Held:
    """What the pressed button holds: a flag (key), an end of the trim, or else the playhead."""

    side: str
    key: str
    pressed_x: float
    is_moving: bool = False
    trim_end: str = ""


class ScrubSurface(QWidget):
    """Show frames, events, coverage, phase and a curve; it takes no part in what the hand does.

    Attributes
    ----------
    scene : ScrubScene
        What lies still.
    active : str
        Side that keys and flags belong to.

    Signals
    -------
    span_changed()
        Another part of the axis is shown, or it lies elsewhere on the screen.
    """

    span_changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.scene = ScrubScene()
        self.active = "athlete"
        self._draft: ScrubScene | None = None
        self._frames: dict[str, int] = {}
        self._label = ""
        self._warming: dict[str, float] = {}
        self._span: tuple[float, float] | None = None
        self._still = QPixmap()
        self._is_stale = True
        self._held: Held | None = None
        self._hovered = ""
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Scrub bar")
        on_theme_changed(self, self._on_theme_changed)

    # ------------------------------------------------------------------------ what is shown

    def set_scene(self, scene: ScrubScene) -> None:
        """Show other deliveries, marks, coverage or curves."""
        is_other_clip = scene.whole_span != self.scene.whole_span
        is_other_span = is_other_clip or scene.used_span != self.scene.used_span
        self.scene = scene
        if is_other_clip:
            self._span = None
        self._redraw()
        if is_other_span:
            self.span_changed.emit()

    def set_active(self, side: str) -> None:
        """Say which side's flags and keys are meant."""
        if side != self.active:
            self.active = side
            self._redraw()

    def set_frames(self, frames: dict[str, int], label: str) -> None:
        """Move the playheads: the frame of each side, and what the active one's label says."""
        self._frames, self._label = dict(frames), label
        self._follow()
        self.update()

    def set_warming(self, side: str, fraction: float) -> None:
        """Show how much of a clip is warm; 1 hides it."""
        if self._warming.get(side, 1.0) != fraction:
            self._warming[side] = fraction
            self.update()

    def layout_now(self) -> ScrubLayout:
        """Return where everything lies."""
        low, high = self._span or self.scene.used_span
        n_rows = len(self.scene.rows)
        return ScrubLayout(self.width(), self.height(), low, high, n_rows, self._unit)

    def _follow(self) -> None:
        """Move a zoomed axis so that the active playhead stays on it."""
        place = self._places().get(self.active)
        if self._span is None or place is None or self._held is not None:
            return
        low, high = self._span
        if not low <= place <= high:
            shift = place - (low + high) / 2.0
            self._set_span((low + shift, high + shift))

    def _set_span(self, span: tuple[float, float] | None) -> None:
        if span is not None:
            span = zoomed_span(self.scene, span, 1.0, span[0])
            used = self.scene.used_span
            slack = 0.001 * (used[1] - used[0])
            is_used = all(abs(a - b) <= slack for a, b in zip(span, used, strict=True))
            span = None if is_used else span
        self._span = span
        self._redraw()
        self.span_changed.emit()

    def zoom(self, factor: float, place: float) -> None:
        """Stretch the axis about a place on it; a factor below one shows more."""
        if self.scene.rows:
            span = self._span or self.scene.used_span
            self._set_span(zoomed_span(self.scene, span, factor, place))

    def show_all(self) -> None:
        """Show all that is used, or the whole clip where that is shown already."""
        if self.scene.rows:
            self._set_span(self.scene.whole_span if self._span is None else None)

    def _redraw(self) -> None:
        self._is_stale = True
        self.update()

    def _on_theme_changed(self) -> None:
        self._unit = max(1.0, theme().point_size() / DESIGNED_POINT_SIZE)
        self.updateGeometry()
        self._redraw()

    def _places(self) -> dict[str, float]:
        """Return where each side's shown frame lies on the axis."""
        return {
            row.side: float(row.axis[min(self._frames[row.side], len(row.axis) - 1)])
            for row in self.scene.rows
            if row.side in self._frames
        }

    # ----------------------------------------------------------------------------- painting

    def sizeHint(self) -> QSize:
        """Return a height with room for the curve."""
        return QSize(640, round(220 * self._unit))

    def minimumSizeHint(self) -> QSize:
        """Return the height with just a little of a curve."""
        return QSize(320, round(LEAST_HEIGHT * self._unit))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw anew in the other size."""
        super().resizeEvent(event)
        self._is_stale = True
        self.span_changed.emit()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Copy what lies still, then paint what moves."""
        ratio = self.devicePixelRatioF()
        layout, colour = self.layout_now(), theme().colour
        if self._is_stale or self._still.devicePixelRatio() != ratio:
            self._still = QPixmap(self.size() * ratio)
            self._still.setDevicePixelRatio(ratio)
            still = QPainter(self._still)
            still.setFont(self.font())
            scene = self._draft or self.scene
            scrub_paint.paint_still(still, scene, layout, colour, self.active)
            still.end()
            self._is_stale = False
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._still)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
        for number, row in enumerate(self.scene.rows):
            fraction = self._warming.get(row.side, 1.0)
            if fraction < 1.0:
                scrub_paint.paint_warming(painter, layout, colour, number, fraction)
        scrub_paint.paint_playheads(
            painter, self.scene, layout, colour, self._places(), self.active, self._label
        )
        here = self._event_here() or self._ghost_here()
        lit = self._held.key if self._held is not None else self._hovered or here
        scrub_paint.paint_flags(painter, self.scene, layout, colour, self.active, lit)
        paint_no_values(painter, self.scene, layout, colour)
        if self.hasFocus():
            painter.setPen(theme().colour("faint"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -2, -2), 5.0, 5.0)
        painter.end()

    def _event_here(self) -> str:
        """Return the active side's event at its shown frame, or empty."""
        row = self.scene.row(self.active)
        return "" if row is None else self._key_here(row, row.marks)

    def _ghost_here(self) -> str:
        """Return the active side's suggested event at its shown frame, or empty."""
        row = self.scene.row(self.active)
        if row is None:
            return ""
        return self._key_here(row, {key: ghost.place for key, ghost in row.suggested.items()})

    def _key_here(self, row: ScrubRow, places: Mapping[str, float]) -> str:
        shown = self._frames.get(row.side)
        here = (key for key, place in places.items() if row.frame_at(place) == shown)
        return next(here, "")
