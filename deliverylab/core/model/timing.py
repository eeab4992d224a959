"""When each frame of a clip is shown, and at what rate it was captured."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

import msgspec
import numpy as np
from numpy.typing import ArrayLike

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.track import FloatArray


class TimeRepair(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Put each frame where it belongs in time, where the file's own stamps are certainly wrong.

    Attributes
    ----------
    times_s : tuple of float
        Repaired time of each frame, seconds of the clip's own clock, never falling; a repeat has
        the time of the frame whose picture it shows.
    note : str
        What was repaired and why that is certain, for a person.
    """

    times_s: tuple[float, ...]
    note: str

    def __post_init__(self) -> None:
        """Refuse times that fall or stand still altogether.

        Raises
        ------
        InputValueError
            They cannot be times of a clip.
        """
        steps_s = np.diff(self.times_s)
        if len(steps_s) and not (steps_s.min() >= 0.0 and steps_s.max() > 0.0):
            raise InputValueError("repaired times must not fall", where="times_s")


class TimeDoubt(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One reason why speeds of a clip cannot be trusted; positions can.

    Attributes
    ----------
    kind : str
        As the look over the clip names it, such as ``interpolated``.
    frames : tuple of (int, int)
        Where, first and last frame of each stretch.
    reason, remedy : str
        For a person.
    """

    kind: str
    frames: tuple[tuple[int, int], ...]
    reason: str
    remedy: str


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
    repair : TimeRepair or None
        Times to measure by where the presentation times are certainly wrong; those stay as they are.
    doubts : tuple of TimeDoubt
        Why no speed can be shown.
    """

    n_frames: int
    stored_rate: str
    stamps_s: tuple[float, ...] | None = None
    capture_rate_hz: float | None = None
    repair: TimeRepair | None = None
    doubts: tuple[TimeDoubt, ...] = ()

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
        if self.repair is not None and len(self.repair.times_s) != self.n_frames:
            raise InputValueError(
                "the number of repaired times is not the number of frames",
                where=f"{len(self.repair.times_s)} and {self.n_frames}",
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
        """Pictures of their own in one real second."""
        if self.repair is None:
            return self.capture_rate_hz or self.stored_rate_hz
        return 1.0 / (_usual_step_s(self.repair) * self.real_per_clip)

    def real_s(self, time_s: ArrayLike) -> FloatArray:
        """Return the real seconds at which times of the clip's own clock were filmed, any shape.

        Everything that measures goes through here: it is where the capture rate and a repaired
        time axis take effect.  Before the first and after the last frame time runs evenly.
        """
        own_s = np.asarray(time_s, dtype=np.float64)
        if self.repair is not None:
            own_s = _mapped(own_s, self.times_s, _repaired_s(self.repair))
        real_s: FloatArray = own_s * self.real_per_clip
        return real_s

    def clip_s(self, real_s: ArrayLike) -> FloatArray:
        """Return the time of the clip's own clock that shows a real second: `real_s` backwards."""
        own_s = np.asarray(real_s, dtype=np.float64) / self.real_per_clip
        if self.repair is None:
            return own_s
        first = np.concatenate(([True], np.diff(_repaired_s(self.repair)) > 0.0))
        return _mapped(own_s, _repaired_s(self.repair)[first], self.times_s[first])

    @property
    def interval_s(self) -> float:
        """Mean frame interval on the clip's own clock, seconds."""
        return 1.0 / self.stored_rate_hz

    def interval_near_s(self, time_s: float) -> float:
        """Return the longer of the frame intervals beside a time, clip's own clock, seconds.

        Where the spacing is uneven an event between two frames far apart is known less well.
        """
        if self.n_frames < 2 or (self.stamps_s is None and self.repair is None):
            return self.interval_s
        frame = self.frame_at(time_s)
        if self.repair is not None:
            steps_s = np.diff(_repaired_s(self.repair)[max(0, frame - 2) : frame + 3])
            return float(np.max(steps_s))
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


@lru_cache(maxsize=64)
def _repaired_s(repair: TimeRepair) -> FloatArray:
    times_s = np.array(repair.times_s, dtype=np.float64)
    times_s.setflags(write=False)
    return times_s


@lru_cache(maxsize=64)
def _usual_step_s(repair: TimeRepair) -> float:
    """Return the median time between pictures that differ, clip's own clock, seconds."""
    steps_s = np.diff(_repaired_s(repair))
    return float(np.median(steps_s[steps_s > 0.0]))


def _mapped(at_s: FloatArray, from_s: FloatArray, to_s: FloatArray) -> FloatArray:
    """Interpolate from one clock to another; outside the second goes on as fast as the first."""
    inside = np.interp(at_s, from_s, to_s)
    mapped: FloatArray = inside + (at_s - np.clip(at_s, from_s[0], from_s[-1]))
    return mapped
