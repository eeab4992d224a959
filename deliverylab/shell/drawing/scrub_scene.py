"""What the scrub bar shows, as plain arrays, and where it lies on the screen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF

from deliverylab.core.units import Unit, UnitSystem
from deliverylab.core.vocabulary.events import ORDER

FloatArray = NDArray[np.float64]

LABELS_WIDTH = 128.0
RIGHT_MARGIN = 14.0
FLAGS_HEIGHT = 46.0
ROW_HEIGHT = 15.0
ROW_GAP = 6.0
FOOT_HEIGHT = 24.0
SPAN_MARGIN = 0.02
TRIMMED_MARGIN = 0.08
LEAST_FRAMES = 12
SEPARATE_FROM = 4.0
"""Width of a frame, px, from which neighbours are drawn apart."""


@dataclass(frozen=True)
class Ghost:
    """An event that is suggested, or the place of one that is marked elsewhere, on the bar's axis.

    Attributes
    ----------
    place, low, high : float, s
        Where it is suggested, and the ends of its ±.
    text : str
        What the pointer on it is told.
    """

    place: float
    low: float
    high: float
    text: str


@dataclass(frozen=True, eq=False)
class ScrubRow:
    """One delivery on the bar.

    Attributes
    ----------
    side, name : str
        Stage and what it is called.
    axis : ndarray, shape (n_frames,), s
        Where each frame lies on the bar's axis, ascending: the first row's own clock, on which a
        partner is laid by phase.
    times_s : ndarray, shape (n_frames,), s
        Each frame's time on its own clip's clock.
    coverage : ndarray, shape (n_frames,)
        Share of the body's landmarks known.
    by_hand : ndarray, shape (n_frames,), optional
        Share of them that a person placed; all of `coverage` without.
    waiting_frames : tuple of int
        Frames in which places wait for a person.
    marks : mapping of str to float, s
        Events on the bar's axis.
    suggested : mapping of str to Ghost
        Events that are not known yet, where the tracks suggest them.
    doubted : mapping of str to Ghost
        Marked events that are suggested far from their mark.
    first_frame, last_frame : int
        Trim, both included.
    has_movable_marks : bool
        Whether its flags can be dragged: not where the axis itself hangs on them.
    is_trimmable : bool
        Whether its ends have handles.
    """

    side: str
    name: str
    axis: FloatArray
    times_s: FloatArray
    coverage: FloatArray
    marks: Mapping[str, float] = field(default_factory=dict)
    suggested: Mapping[str, Ghost] = field(default_factory=dict)
    doubted: Mapping[str, Ghost] = field(default_factory=dict)
    first_frame: int = 0
    last_frame: int = 0
    has_movable_marks: bool = True
    is_trimmable: bool = True
    by_hand: FloatArray | None = None
    waiting_frames: tuple[int, ...] = ()

    def coverage_text(self, place: float) -> str:
        """Say how much is known in the frame at a place, who gave it, and whether anything waits."""
        frame = self.frame_at(place)
        known = float(self.coverage[frame])
        by_hand = known if self.by_hand is None else float(self.by_hand[frame])
        lines = [f"Frame {frame}: {known:.0%} of the body's landmarks known"]
        if known:
            lines.append(f"Solid: placed by hand, {by_hand:.0%}")
        if known > by_hand:
            lines.append(f"Striped: tracked, detected or bridged, {known - by_hand:.0%}")
        if frame in self.waiting_frames:
            lines.append("Triangle below: places here wait for you (W leads there)")
        return "\n".join(lines)

    def frame_at(self, place: float) -> int:
        """Return the frame nearest to a place on the axis, within the trim."""
        return min(max(self.any_frame_at(place), self.first_frame), self.last_frame)

    def any_frame_at(self, place: float) -> int:
        """Return the frame nearest to a place on the axis, also where the trim leaves it out."""
        after = int(np.searchsorted(self.axis, place))
        frame = min(max(after, 0), len(self.axis) - 1)
        if after > 0 and abs(self.axis[after - 1] - place) <= abs(self.axis[frame] - place):
            frame = after - 1
        return frame

    def trimmed(self, end: str, place: float) -> tuple[int, int]:
        """Return the trim with its ``start`` or ``end`` moved to a place; two frames stay."""
        frame = self.any_frame_at(place)
        if end == "start":
            return min(frame, self.last_frame - 1), self.last_frame
        return self.first_frame, max(frame, self.first_frame + 1)

    def time_at(self, place: float) -> float:
        """Return the time on the row's own clock at a place on the axis, s."""
        return float(np.interp(place, self.axis, self.times_s))


@dataclass(frozen=True, eq=False)
class ScrubCurve:
    """A metric over the axis: places (n,), values (n,) with NaN gaps, standard uncertainty (n,)."""

    side: str
    axis: FloatArray
    values: FloatArray
    u: FloatArray

    def at(self, place: float) -> tuple[float, float]:
        """Return value and u at a place; NaN outside and in gaps."""
        if len(self.axis) == 0 or not self.axis[0] <= place <= self.axis[-1]:
            return float("nan"), float("nan")
        return (
            float(np.interp(place, self.axis, self.values)),
            float(np.interp(place, self.axis, self.u)),
        )


@dataclass(frozen=True, eq=False)
class ScrubScene:
    """All that lies still while the hand scrubs.

    Attributes
    ----------
    rows : tuple of ScrubRow
        The athlete's delivery first, then the model's.
    curves : tuple of ScrubCurve
        At most one a row.
    curve_name, unit, decimals, system
        What the curve is, and how its values are written.
    reason : str
        Why a clip carries no such curve, where that is known.
    phases : tuple of (percent, place)
        Ticks of the phase scale.
    is_aligned : bool
        Whether the second row is laid on the first by phase.
    has_all_bands : bool
        Whether the model's curve has its band as well.
    """

    rows: tuple[ScrubRow, ...] = ()
    curves: tuple[ScrubCurve, ...] = ()
    curve_name: str = ""
    reason: str = ""
    unit: Unit = "deg"
    decimals: int = 0
    system: UnitSystem = "metric"
    phases: tuple[tuple[float, float], ...] = ()
    is_aligned: bool = False
    has_all_bands: bool = False

    def row(self, side: str) -> ScrubRow | None:
        """Return the row of a side, or None."""
        return next((row for row in self.rows if row.side == side), None)

    @property
    def whole_span(self) -> tuple[float, float]:
        """The axis from the first to the last frame of the first row's clip, with a margin."""
        return self._span_of(0, -1)

    @property
    def used_span(self) -> tuple[float, float]:
        """The same of what the trim leaves, with room beside it to let more in again."""
        if not self.rows:
            return self.whole_span
        row, whole = self.rows[0], self.whole_span
        low, high = self._span_of(row.first_frame, row.last_frame)
        room = TRIMMED_MARGIN * (high - low)
        if row.first_frame > 0:
            low = max(whole[0], low - room)
        if row.last_frame < len(row.axis) - 1:
            high = min(whole[1], high + room)
        return low, high

    def _span_of(self, first: int, last: int) -> tuple[float, float]:
        if not self.rows:
            return 0.0, 1.0
        low, high = float(self.rows[0].axis[first]), float(self.rows[0].axis[last])
        margin = SPAN_MARGIN * max(high - low, 1e-3)
        return low - margin, high + margin

    def ordered_marks(self, side: str) -> tuple[tuple[str, float], ...]:
        """Return (event, place) of a row in the events' order."""
        row = self.row(side)
        marks = {} if row is None else row.marks
        return tuple(sorted(marks.items(), key=lambda mark: ORDER[mark[0]]))

    def ordered_flags(self, side: str) -> tuple[tuple[str, float], ...]:
        """Return (event, place) of a row's marks and suggestions in the events' order."""
        row = self.row(side)
        if row is None:
            return ()
        ghosts = {key: ghost.place for key, ghost in row.suggested.items()}
        return tuple(sorted((ghosts | dict(row.marks)).items(), key=lambda flag: ORDER[flag[0]]))


@dataclass(frozen=True)
class ScrubLayout:
    """Where everything lies: widget px to axis and back.

    Attributes
    ----------
    width, height : float
        Size of the widget, px.
    low, high : float
        Places on the axis at the left and right end, s.
    n_rows : int
        Deliveries shown.
    unit : float
        Size of the type, against that for which the heights here were chosen.
    """

    width: float
    height: float
    low: float
    high: float
    n_rows: int
    unit: float = 1.0

    @property
    def flags_height(self) -> float:
        """Height of the lane of events, px."""
        return FLAGS_HEIGHT * self.unit

    @property
    def labels_width(self) -> float:
        """Width of the names left of the axis, px; no more than a quarter of everything."""
        return min(LABELS_WIDTH * self.unit, max(LABELS_WIDTH, 0.25 * self.width))

    @property
    def left(self) -> float:
        """Left end of the axis, px."""
        return self.labels_width

    @property
    def right(self) -> float:
        """Right end of the axis, px."""
        return max(self.left + 10.0, self.width - RIGHT_MARGIN)

    def x_of(self, place: float) -> float:
        """Return the widget x of a place."""
        return self.left + (place - self.low) / (self.high - self.low) * (self.right - self.left)

    def place_of(self, x: float) -> float:
        """Return the place of a widget x."""
        share = (x - self.left) / (self.right - self.left)
        return self.low + share * (self.high - self.low)

    def row_rect(self, number: int) -> QRectF:
        """Return the strip of a row's coverage."""
        top = self.flags_height + number * (ROW_HEIGHT + ROW_GAP) * self.unit
        return QRectF(self.left, top, self.right - self.left, ROW_HEIGHT * self.unit)

    @property
    def curve_rect(self) -> QRectF:
        """The area of the curve."""
        rows = self.n_rows * (ROW_HEIGHT + ROW_GAP) * self.unit
        top = self.flags_height + rows + 6.0
        height = max(0.0, self.height - FOOT_HEIGHT * self.unit - top - 4.0)
        return QRectF(self.left, top, self.right - self.left, height)

    @property
    def foot_rect(self) -> QRectF:
        """The strip of the phase scale."""
        height = FOOT_HEIGHT * self.unit
        return QRectF(self.left, self.height - height, self.right - self.left, height)

    def row_number_at(self, y: float) -> int | None:
        """Return the row at a widget y, or None."""
        for number in range(self.n_rows):
            rect = self.row_rect(number)
            if rect.top() - ROW_GAP / 2.0 <= y < rect.bottom() + ROW_GAP / 2.0:
                return number
        return None


def zoomed_span(
    scene: ScrubScene, span: tuple[float, float], factor: float, about: float
) -> tuple[float, float]:
    """Return the span of the axis zoomed about a place, never wider than everything."""
    low, high = scene.whole_span
    least = (high - low) * min(1.0, LEAST_FRAMES / max(1, len(scene.rows[0].axis)))
    width = min(max((span[1] - span[0]) / factor, least), high - low)
    start = about - (about - span[0]) * width / (span[1] - span[0])
    start = min(max(start, low), high - width)
    return start, start + width


def coverage_columns(
    row: ScrubRow, layout: ScrubLayout, n_columns: int, shares: FloatArray | None = None
) -> FloatArray:
    """Return the coverage in each px column of the row, shape (n_columns,); NaN off the clip.

    It is the row's own, or another share of each frame, shape (n_frames,).

    A column that holds several frames shows the best of them: a single placed frame among a
    thousand must be seen.  Wide frames are kept apart by an empty column.
    """
    edges = layout.low + (layout.high - layout.low) * np.arange(n_columns + 1) / n_columns
    half = 0.5 * np.diff(row.axis)
    borders = np.concatenate(
        ([row.axis[0] - (half[0] if len(half) else 0.5)], row.axis[:-1] + half, [np.inf])
    )
    if len(half):
        borders[-1] = row.axis[-1] + half[-1]
    first = np.clip(np.searchsorted(borders, edges[:-1], side="right") - 1, 0, len(row.axis) - 1)
    last = np.clip(np.searchsorted(borders, edges[1:], side="left") - 1, first, len(row.axis) - 1)
    highest = np.maximum.reduceat(
        np.append(row.coverage if shares is None else shares, 0.0),
        np.stack((first, last + 1), axis=1).ravel(),
    )[::2]
    is_off = (edges[1:] < borders[0]) | (edges[:-1] > borders[-1])
    columns: FloatArray = np.where(is_off, np.nan, highest)
    if n_columns >= SEPARATE_FROM * max(1, int(last[-1]) - int(first[0])):
        columns[1:][first[1:] != first[:-1]] = np.nan
    return columns
