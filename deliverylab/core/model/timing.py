"""When each frame of a clip is shown, and at what rate it was captured."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

import msgspec
import numpy as np

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.track import FloatArray


class Timing(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """When each frame is shown, and at what rate it was captured.

    Attributes
    ----------
    n_frames : int
        Number of frames.
    stored_rate : str
        Frames a second of the stored file as a fraction, ``"30000/1001"``.
    stamps_s : tuple of float or None
        Time of each frame where the spacing is uneven; None where it is even.
    capture_rate_hz : float or None
        True rate at which the camera took the frames, where it differs from the stored one.
    """

    n_frames: int
    stored_rate: str
    stamps_s: tuple[float, ...] | None = None
    capture_rate_hz: float | None = None

    def __post_init__(self) -> None:
        """Refuse clips without frames and rates no camera has.

        Raises
        ------
        InputValueError
            What is wrong and what would be right.
        """
        if self.n_frames < 1:
            raise InputValueError("a clip needs at least one frame", where=f"{self.n_frames}")
        try:
            rate = Fraction(self.stored_rate)
        except (ValueError, ZeroDivisionError):
            rate = Fraction(0)
        if not 1 <= rate <= 10_000:
            raise InputValueError(
                "the stored rate cannot be read or cannot be true",
                where=self.stored_rate,
                remedy="give frames a second between 1 and 10000, like 240 or 30000/1001",
            )
        if self.stamps_s is not None and len(self.stamps_s) != self.n_frames:
            raise InputValueError(
                "the number of time stamps is not the number of frames",
                where=f"{len(self.stamps_s)} and {self.n_frames}",
            )
        if self.capture_rate_hz is not None and not 1 <= self.capture_rate_hz <= 10_000:
            raise InputValueError(
                "the capture rate cannot be true",
                where=f"{self.capture_rate_hz:g}",
                remedy="give frames a second between 1 and 10000",
            )

    @property
    def stored_rate_hz(self) -> float:
        """Stored frames a second."""
        return _rate_hz(self.stored_rate)

    @property
    def real_per_clip(self) -> float:
        """Real seconds that pass in one second of the clip's own clock."""
        return self.stored_rate_hz / (self.capture_rate_hz or self.stored_rate_hz)

    @property
    def true_rate_hz(self) -> float:
        """Frames in one real second."""
        return self.capture_rate_hz or self.stored_rate_hz

    @property
    def interval_s(self) -> float:
        """Mean frame interval on the clip's own clock, seconds."""
        return 1.0 / self.stored_rate_hz

    def interval_near_s(self, time_s: float) -> float:
        """Return the longer of the frame intervals beside a time, clip's own clock, seconds.

        Where the spacing is uneven an event between two frames far apart is known less well.
        """
        if self.stamps_s is None or self.n_frames < 2:
            return self.interval_s
        frame = self.frame_at(time_s)
        return float(np.max(np.diff(self.times_s[max(0, frame - 1) : frame + 2])))

    @property
    def times_s(self) -> FloatArray:
        """Time of each frame on the clip's own clock, shape (n_frames,), seconds."""
        return _times_s(self)

    def frame_at(self, time_s: float) -> int:
        """Return the frame nearest to a time of the clip's own clock, within the clip."""
        return int(np.argmin(np.abs(self.times_s - time_s)))

    def frame_position(self, time_s: float) -> float:
        """Return the fractional frame index of a time; outside the clip it extrapolates evenly."""
        times_s = self.times_s
        if time_s <= times_s[0]:
            return float((time_s - times_s[0]) / self.interval_s)
        if time_s >= times_s[-1]:
            return float(self.n_frames - 1 + (time_s - times_s[-1]) / self.interval_s)
        return float(np.interp(time_s, times_s, np.arange(self.n_frames)))


@lru_cache(maxsize=64)
def _rate_hz(rate: str) -> float:
    return float(Fraction(rate))


@lru_cache(maxsize=64)
def _times_s(timing: Timing) -> FloatArray:
    if timing.stamps_s is not None:
        times_s: FloatArray = np.array(timing.stamps_s, dtype=np.float64)
    else:
        times_s = np.arange(timing.n_frames, dtype=np.float64) / float(Fraction(timing.stored_rate))
    times_s.setflags(write=False)
    return times_s
