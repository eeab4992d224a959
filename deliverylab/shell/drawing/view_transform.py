"""The map from the upright frame's pixels to a widget's, with zoom, pan and mirror."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QTransform

MAX_ZOOM = 40.0
MIN_OF_FIT = 0.5
FIT_MARGIN = 0.98


@dataclass(frozen=True)
class ViewTransform:
    """Where the frame lies in the widget.

    Pixel centres of the frame are at integer coordinates, so that the frame covers -0.5 to
    width - 0.5; the widget's coordinates are Qt's, where a pixel's centre is at a half.

    Attributes
    ----------
    frame_width, frame_height : float
        Size of the upright frame, px.
    width, height : float
        Size of the widget, logical px.
    zoom : float
        Widget px that one frame px takes.
    centre_x, centre_y : float
        Frame place shown in the middle of the widget, px.
    is_mirrored : bool
        Whether left and right are exchanged.
    """

    frame_width: float = 1920.0
    frame_height: float = 1080.0
    width: float = 640.0
    height: float = 360.0
    zoom: float = 1.0 / 3.0
    centre_x: float = 959.5
    centre_y: float = 539.5
    is_mirrored: bool = False

    @property
    def fit_zoom(self) -> float:
        """Zoom at which the whole frame is seen."""
        return FIT_MARGIN * min(self.width / self.frame_width, self.height / self.frame_height)

    def is_fitted_to(self, area: QRectF | None = None) -> bool:
        """Return whether just this area of the frame (all of it when None) is seen."""
        fitted = self.fitted(area)
        return (
            math.isclose(self.zoom, fitted.zoom)
            and math.isclose(self.centre_x, fitted.centre_x, abs_tol=1e-6)
            and math.isclose(self.centre_y, fitted.centre_y, abs_tol=1e-6)
        )

    @property
    def matrix(self) -> QTransform:
        """Frame px to widget px."""
        across = -self.zoom if self.is_mirrored else self.zoom
        return QTransform(
            across,
            0.0,
            0.0,
            self.zoom,
            self.width / 2.0 - across * self.centre_x,
            self.height / 2.0 - self.zoom * self.centre_y,
        )

    @property
    def area(self) -> QRectF:
        """The widget's area, widget px."""
        return QRectF(0.0, 0.0, self.width, self.height)

    @property
    def frame_rect(self) -> QRectF:
        """The frame's area in frame px, from the outer edges of its border pixels."""
        return QRectF(-0.5, -0.5, self.frame_width, self.frame_height)

    def to_widget(self, x_px: float, y_px: float) -> QPointF:
        """Return the widget place of a frame place."""
        across = -self.zoom if self.is_mirrored else self.zoom
        return QPointF(
            self.width / 2.0 + across * (x_px - self.centre_x),
            self.height / 2.0 + self.zoom * (y_px - self.centre_y),
        )

    def to_frame(self, point: QPointF) -> tuple[float, float]:
        """Return the frame place of a widget place, px."""
        across = -self.zoom if self.is_mirrored else self.zoom
        return (
            self.centre_x + (point.x() - self.width / 2.0) / across,
            self.centre_y + (point.y() - self.height / 2.0) / self.zoom,
        )

    def fitted(self, area: QRectF | None = None) -> ViewTransform:
        """Return the view of an area of the frame (px), of the whole frame when None."""
        frame = self.frame_rect
        area = frame if area is None else area & frame
        zoom = FIT_MARGIN * min(self.width / area.width(), self.height / area.height())
        zoom = min(max(zoom, MIN_OF_FIT * self.fit_zoom), MAX_ZOOM)

        def centre(wanted: float, seen: float, low: float, high: float) -> float:
            # beside the frame there is nothing to see: rather more of it on the other side
            if seen >= high - low:
                return 0.5 * (low + high)
            return min(max(wanted, low + 0.5 * seen), high - 0.5 * seen)

        middle = area.center()
        return replace(
            self,
            zoom=zoom,
            centre_x=centre(middle.x(), self.width / zoom, frame.left(), frame.right()),
            centre_y=centre(middle.y(), self.height / zoom, frame.top(), frame.bottom()),
        )

    def resized(self, width: float, height: float, home: QRectF | None = None) -> ViewTransform:
        """Return the view in a widget of another size; one fitted to `home` stays so."""
        was_fitted = self.is_fitted_to(home)
        resized = replace(self, width=max(1.0, width), height=max(1.0, height))
        return resized.fitted(home) if was_fitted else resized.kept_in_sight()

    def zoomed(self, factor: float, at: QPointF) -> ViewTransform:
        """Return the view zoomed about a widget place, which keeps its frame place."""
        low = MIN_OF_FIT * self.fit_zoom
        zoom = min(max(self.zoom * factor, low), max(MAX_ZOOM, low))
        x_px, y_px = self.to_frame(at)
        share = self.zoom / zoom
        return replace(
            self,
            zoom=zoom,
            centre_x=x_px + (self.centre_x - x_px) * share,
            centre_y=y_px + (self.centre_y - y_px) * share,
        ).kept_in_sight()

    def panned(self, dx: float, dy: float) -> ViewTransform:
        """Return the view with its content moved by so many widget px."""
        across = -self.zoom if self.is_mirrored else self.zoom
        return replace(
            self, centre_x=self.centre_x - dx / across, centre_y=self.centre_y - dy / self.zoom
        ).kept_in_sight()

    def kept_in_sight(self) -> ViewTransform:
        """Return the view with its middle inside the frame, so that the frame is never lost."""
        return replace(
            self,
            centre_x=min(max(self.centre_x, -0.5), self.frame_width - 0.5),
            centre_y=min(max(self.centre_y, -0.5), self.frame_height - 0.5),
        )

    def contains(self, x_px: float, y_px: float) -> bool:
        """Return whether a frame place lies inside the frame."""
        return -0.5 <= x_px <= self.frame_width - 0.5 and -0.5 <= y_px <= self.frame_height - 0.5
