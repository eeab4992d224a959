"""Time alignment on events: two deliveries are at the same phase, not at the same second."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from deliverylab.core.errors import UsageError
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.timing import Timing
from deliverylab.core.vocabulary.events import BY_KEY, PHASE_ANCHORS

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Timeline:
    """Phase over a clip's own clock: 0 % leg lift, 100 % foot contact, 200 % release.

    Piecewise linear between the anchors that are marked, and straight on beyond them.

    Attributes
    ----------
    times_s, phases : tuple of float
        Anchors, ascending.
    timing : Timing or None
        Set where the clip's time axis is repaired: phase then runs evenly over repaired time.

    References
    ----------
    .. [1] Kageyama M et al. (2015). J Sports Sci Med 14:246-255, fig. 2 (time base).
    """

    times_s: tuple[float, ...]
    phases: tuple[float, ...]
    timing: Timing | None = None

    @classmethod
    def of(cls, camera: Camera) -> Timeline:
        """Return the timeline of a camera's marks.

        Raises
        ------
        UsageError
            Fewer than two of the anchors are marked, or they are out of order.
        """
        anchors = [
            (camera.marks[event].time_s, phase)
            for event, phase in PHASE_ANCHORS
            if event in camera.marks
        ]
        names = ", ".join(BY_KEY[event].name for event, _ in PHASE_ANCHORS)
        if len(anchors) < 2:
            raise UsageError(
                "two deliveries cannot be aligned in time yet",
                where=f"camera {camera.name}",
                remedy=f"mark at least two of {names}",
            )
        times_s, phases = zip(*anchors, strict=True)
        if any(later <= earlier for earlier, later in pairwise(times_s)):
            raise UsageError(
                "the event marks are out of order",
                where=f"camera {camera.name}",
                remedy=f"mark {names} in this order",
            )
        return cls(times_s, phases, camera.timing if camera.timing.repair else None)

    @classmethod
    def of_or_none(cls, camera: Camera) -> Timeline | None:
        """Return the timeline, or None where the marks do not give one."""
        try:
            return cls.of(camera)
        except UsageError:
            return None

    def phase_at(self, time_s: ArrayLike) -> FloatArray:
        """Return the phase of times on the clip's own clock, percent, any shape."""
        time_s = np.asarray(time_s, dtype=np.float64)
        if self.timing is None:
            return _piecewise(time_s, self.times_s, self.phases)
        return _piecewise(self.timing.real_s(time_s), self._real_s, self.phases)

    def time_at(self, phase: ArrayLike) -> FloatArray:
        """Return the times of phases on the clip's own clock, seconds, any shape."""
        phase = np.asarray(phase, dtype=np.float64)
        if self.timing is None:
            return _piecewise(phase, self.phases, self.times_s)
        return self.timing.clip_s(_piecewise(phase, self.phases, self._real_s))

    @property
    def _real_s(self) -> tuple[float, ...]:
        """The anchors in real seconds, where the time axis is repaired."""
        return () if self.timing is None else tuple(self.timing.real_s(self.times_s).tolist())


def _piecewise(x: FloatArray, knots: tuple[float, ...], values: tuple[float, ...]) -> FloatArray:
    """Interpolate linearly, and extrapolate with the first and last slope."""
    low_slope = (values[1] - values[0]) / (knots[1] - knots[0])
    high_slope = (values[-1] - values[-2]) / (knots[-1] - knots[-2])
    inside: FloatArray = np.interp(x, knots, values)
    below = np.minimum(x - knots[0], 0.0) * low_slope
    above = np.maximum(x - knots[-1], 0.0) * high_slope
    return inside + below + above
