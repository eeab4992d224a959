"""Where the athlete's head is in each frame of a clip, by the landmarks on it, so that it can be blurred."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Track
from deliverylab.core.tracking.faces import Disc

HEAD: Final = ("head_top", "neck")
HEAD_M: Final = 0.25
"""From the base of the neck to the top of the head, of our synthetic figure."""
RADIUS_OF_LENGTH: Final = 0.8
"""Radius of the disc over that length: chin, nose and a cap's brim lie inside whichever way it looks."""
BETWEEN_M_S: Final = 3.6
BEYOND_M_S: Final = 8.0
"""How fast the disc grows with the time to the nearest placed frame, between two and beyond the last.

Own simulation of 25 varied deliveries: between frames 0.1 s apart a head is up to 0.18 m off the
straight line, and it moves at up to 12 m/s."""
MOST_GROWTH_M: Final = 0.4
"""A head that may be farther off than this is not located."""
_TYPICAL = 90.0
"""Percentile of the lengths seen: a head that nods towards the camera looks shorter than it is."""


class _Known(NamedTuple):
    frames: NDArray[np.int64]
    xy_px: NDArray[np.float64]
    real_s: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class HeadCourse:
    """The middle of a head over a clip, and how large it is.

    Attributes
    ----------
    timing : Timing
        Of the clip.
    length_px : float
        Base of the neck to the top of the head, px; NaN where nothing tells.
    known : tuple
        Frames in which it is placed or tracked, and where, px.
    """

    timing: Timing
    length_px: float
    known: _Known

    def disc(self, frame: int) -> Disc | None:
        """Return the disc that holds the head in a frame; None where it cannot be told."""
        known = self.known
        if not len(known.frames) or not np.isfinite(self.length_px):
            return None
        at_s = float(self.timing.real_s(self.timing.times_s[frame]))
        after = int(np.searchsorted(known.frames, frame))
        around = [row for row in (after - 1, after) if 0 <= row < len(known.frames)]
        away_s = min(abs(at_s - float(known.real_s[row])) for row in around)
        speed = BETWEEN_M_S if len(around) == 2 else BEYOND_M_S
        growth_m = speed * away_s
        if growth_m > MOST_GROWTH_M:
            return None
        x, y = (float(np.interp(frame, known.frames, known.xy_px[:, axis])) for axis in (0, 1))
        radius = (RADIUS_OF_LENGTH + growth_m / HEAD_M) * self.length_px
        return Disc(x, y, radius)


def head_course(camera: Camera) -> HeadCourse:
    """Return where a clip's head is, from the top of the head and the neck.

    Both give its middle; one of the two alone gives it to half its length, which is then added where
    the other is missing throughout.
    """
    top, neck = (camera.track(key) for key in HEAD)
    shared, of_top, of_neck = np.intersect1d(top.frames, neck.frames, return_indices=True)
    if len(shared):
        ends = top.xy_px[of_top], neck.xy_px[of_neck]
        length_px = float(np.percentile(np.hypot(*(ends[0] - ends[1]).T), _TYPICAL))
        return _course(camera.timing, length_px, shared, 0.5 * (ends[0] + ends[1]))
    alone: Track = top if len(top) else neck
    # half a length from the end to the middle, and the other half as for a known middle
    grown = (RADIUS_OF_LENGTH + 0.5) / RADIUS_OF_LENGTH
    return _course(camera.timing, grown * _length_by_scale_px(camera), alone.frames, alone.xy_px)


def unlocated(camera: Camera) -> tuple[int, int]:
    """Return in how many of a clip's trimmed pictures landmarks do not tell where the head is, of all."""
    course, frames = head_course(camera), range(camera.first_frame, camera.end_frame + 1)
    return sum(course.disc(frame) is None for frame in frames), len(frames)


def _course(
    timing: Timing, length_px: float, frames: NDArray[np.int64], xy_px: NDArray[np.float64]
) -> HeadCourse:
    return HeadCourse(
        timing, length_px, _Known(frames, xy_px, timing.real_s(timing.times_s[frames]))
    )


def _length_by_scale_px(camera: Camera) -> float:
    scale = camera.scale
    if scale is None:
        return float("nan")
    apart_px = float(np.hypot(scale.a.x_px - scale.b.x_px, scale.a.y_px - scale.b.y_px))
    return HEAD_M * apart_px / scale.length_m
