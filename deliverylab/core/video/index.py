"""Index a clip from its packets: which frames it shows, when, and where decoding can start."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from deliverylab.core.video.opening import Orientation
from deliverylab.core.video.scan import scan_clip

if TYPE_CHECKING:
    from numpy.typing import NDArray

_T = TypeVar("_T", bound=np.generic)


@dataclass(frozen=True, eq=False)
class ClipIndex:
    """Hold a clip's frames in presentation order, with facts about its stream.

    Attributes
    ----------
    path : pathlib.Path
        The file.
    width_px, height_px : int
        Size of the upright picture with square pixels.
    rotation_deg : int
        Clockwise turn that makes a decoded picture upright: 0, 90, 180 or 270.
    is_mirrored : bool
        Whether the decoded picture is also mirrored (before the turn).
    time_base : fractions.Fraction, s
        Unit of the stamps.
    stamps : numpy.ndarray, shape (n,), int64
        Presentation stamps of the shown frames, strictly ascending.
    is_key : numpy.ndarray, shape (n,), bool
        Which shown frames are key frames.
    seek_stamps : numpy.ndarray, shape (m,), int64
        Stamps of all key frames, with those that an edit list hides; decoding can start there.
    average_rate : fractions.Fraction or None, Hz
        What the file claims; not used for times.
    codec, pixel_format, container : str
        Names by FFmpeg's list.
    first_stamp_s : float, s
        The first shown frame's original time; time zero everywhere else.
    stated_capture_rate_hz : float or None
        Capture rate that the camera wrote into the file.
    n_hidden : int
        Frames in the file that an edit list hides.
    notes : tuple of str
        What a user should know about the file, in plain words.
    """

    path: Path
    width_px: int
    height_px: int
    rotation_deg: int
    time_base: Fraction
    stamps: NDArray[np.int64]
    is_key: NDArray[np.bool_]
    seek_stamps: NDArray[np.int64]
    average_rate: Fraction | None
    codec: str
    pixel_format: str
    container: str
    first_stamp_s: float
    is_mirrored: bool = False
    pixel_aspect: Fraction = Fraction(1)
    stated_capture_rate_hz: float | None = None
    n_hidden: int = 0
    notes: tuple[str, ...] = ()

    @property
    def n_frames(self) -> int:
        """Return the number of shown frames."""
        return len(self.stamps)

    @property
    def orientation(self) -> Orientation:
        """Return how a decoded picture becomes upright."""
        return Orientation(self.rotation_deg, self.is_mirrored)

    @cached_property
    def times_s(self) -> NDArray[np.float64]:
        """Return each frame's time from the first shown frame, shape (n,), s."""
        ticks = (self.stamps - self.stamps[0]).astype(np.float64)
        times_s: NDArray[np.float64] = ticks * self.time_base.numerator / self.time_base.denominator
        return times_s

    @cached_property
    def is_uniform(self) -> bool:
        """Return whether all spacings are equal, within one tick of the clock or 1 %."""
        if self.n_frames < 3:
            return True
        spacings = np.diff(self.stamps)
        mean = float(spacings.mean())
        return bool(np.abs(spacings - mean).max() <= max(1.0, 0.01 * mean))

    @cached_property
    def nominal_rate_hz(self) -> float:
        """Return frames per second of clip time: one over the typical spacing; NaN for one frame.

        Notes
        -----
        The plain median would be wrong where the clock is coarse (240 Hz in milliseconds is
        4, 4, 4, 5, ...), so the spacings within one tick of it are averaged; and the file's own
        fraction is taken where the stamps cannot tell it from that.
        """
        if self.n_frames < 2:
            return float("nan")
        spacings = np.diff(self.stamps)
        typical = spacings[np.abs(spacings - np.median(spacings)) <= 1]
        ticks = Fraction(int(typical.sum()), len(typical))
        rate = 1 / (ticks * self.time_base)
        if self.average_rate:
            claimed_ticks = 1 / (self.average_rate * self.time_base)
            if abs(claimed_ticks - ticks) * len(typical) <= 1:
                rate = self.average_rate
        return float(rate)

    def frame_at(self, time_s: float) -> int:
        """Return the frame nearest to a time (the earlier of two equally near), within the clip."""
        times = self.times_s
        after = int(np.clip(np.searchsorted(times, time_s), 0, self.n_frames - 1))
        before = max(after - 1, 0)
        return before if time_s - times[before] <= times[after] - time_s else after


def build_index(path: str | Path) -> ClipIndex:
    """Read a clip's packets and first picture, and return its index.

    Frames are not decoded, except the first (for its size and orientation), and except in files
    that are cut off, damaged or without full time stamps: there every frame is tried and only
    those that decode are listed.

    Parameters
    ----------
    path : str or pathlib.Path
        A video file.

    Returns
    -------
    ClipIndex
        The shown frames; `notes` says what was wrong with the file.

    Raises
    ------
    ClipError
        Missing file, zero bytes, not a video, no moving picture, no decodable frame.
    """
    found = scan_clip(path)
    width_px, height_px = round(found.width_px * found.pixel_aspect), found.height_px
    if found.orientation.rotation_deg % 180 == 90:
        width_px, height_px = height_px, width_px
    return ClipIndex(
        path=Path(path),
        width_px=width_px,
        height_px=height_px,
        rotation_deg=found.orientation.rotation_deg,
        is_mirrored=found.orientation.is_mirrored,
        time_base=found.time_base,
        stamps=_frozen(found.stamps),
        is_key=_frozen(np.isin(found.stamps, found.key_stamps)),
        seek_stamps=_frozen(found.key_stamps),
        average_rate=found.average_rate,
        codec=found.codec,
        pixel_format=found.pixel_format,
        container=found.container,
        first_stamp_s=float(int(found.stamps[0]) * found.time_base),
        pixel_aspect=found.pixel_aspect,
        stated_capture_rate_hz=found.stated_capture_rate_hz,
        n_hidden=found.n_hidden,
        notes=tuple(found.notes),
    )


def _frozen(values: NDArray[_T]) -> NDArray[_T]:
    values.setflags(write=False)
    return values
