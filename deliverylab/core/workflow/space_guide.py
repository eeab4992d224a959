"""Where in one clip a landmark must lie that another clip shows: the line of sight, drawn here."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.epipolar import line_in_other_view
from deliverylab.core.cameras.pinhole import N_PARAMETERS, PinholeCamera, camera_from
from deliverylab.core.cameras.triangulate import SUSPECT
from deliverylab.core.metrics.rates import band_of
from deliverylab.core.metrics.shutter import seen_track
from deliverylab.core.metrics.space_results import POSITION_BAND
from deliverylab.core.metrics.space_sight import SpaceSight, space_sight
from deliverylab.core.metrics.space_tracks import PlacesAt, places_at, placing_of
from deliverylab.core.model.delivery import Delivery

FloatArray = NDArray[np.float64]

MIDDLE_M = np.array([0.7, 0.0, 0.9])
"""About where a body is over a delivery: between the rubber and where the front foot lands."""
REACH_M = 2.2
"""How far from there any landmark gets."""
NEAREST_M = 0.5
STEP_PX = 0.5
STEPS = np.array([1e-4] * 3 + [1e-3] * 3 + [1e-4])
"""Steps of a camera's numbers: rad, m, and of the logarithm of the focal length."""
BEYOND_CHANCE = math.sqrt(SUSPECT[1])
"""In u: chance passes it once in a thousand."""


@dataclass(frozen=True, kw_only=True)
class Guide:
    """The line on which a landmark of one clip must lie, after another clip.

    Attributes
    ----------
    landmark : str
    other : str
        The clip that shows it.
    ends_px : ndarray, shape (2, 2), px
        The line in this clip, from near that camera to far from it.
    u_px : ndarray, shape (2,), px
        Standard uncertainty of the line across itself at each end: placing there, cameras, clocks.
    placed_px : ndarray, shape (2,), px, or None
        Where the landmark is placed in this clip's frame.
    foot_px : ndarray, shape (2,), px, or None
        The nearest place on the line.
    u_gap_px : float
        Standard uncertainty of their distance; NaN where it is not placed.
    """

    landmark: str
    other: str
    ends_px: FloatArray
    u_px: FloatArray
    placed_px: FloatArray | None = None
    foot_px: FloatArray | None = None
    u_gap_px: float = math.nan

    @property
    def gap_px(self) -> float:
        """Distance of the placed point from the line, px; NaN where it is not placed."""
        if self.placed_px is None or self.foot_px is None:
            return math.nan
        return float(np.hypot(*(self.placed_px - self.foot_px)))

    @property
    def is_beyond_chance(self) -> bool:
        """Whether the two clips contradict each other about it."""
        return self.gap_px > BEYOND_CHANCE * self.u_gap_px


def guides(delivery: Delivery, camera: str, frame: int, landmark: str) -> tuple[Guide, ...]:
    """Return the lines for a landmark in a clip's frame, one for each other clip that shows it.

    Empty where nothing is solved.  The other clip's position is the one at the same real instant,
    between its frames.
    """
    sight = space_sight(delivery)
    names = [view.name for view in sight.views]
    if sight.absence is not None or camera not in names or landmark in {"", "ball"}:
        return ()
    here = names.index(camera)
    found = (
        _guide(sight, here, other, frame, landmark) for other in range(len(names)) if other != here
    )
    return tuple(each for each in found if each is not None)


def _guide(sight: SpaceSight, here: int, there: int, frame: int, landmark: str) -> Guide | None:
    view = sight.views[here]
    time_s = float(view.timing.real_s(view.timing.times_s[frame])) + sight.offsets_s[here]
    seen = _seen(sight, there, landmark, time_s)
    if not np.isfinite(seen.places_px).all():
        return None
    line = _Line(sight, here, there, seen)
    if not np.isfinite(line.ends_px).all():
        return None
    variance = line.variance_px2()
    guide = Guide(
        landmark=landmark,
        other=sight.views[there].name,
        ends_px=line.ends_px,
        u_px=np.sqrt(variance),
    )
    position = view.track(landmark).at(frame)
    if position is None:
        return guide
    placed = np.array([position.x_px, position.y_px])
    along = line.ends_px[1] - line.ends_px[0]
    share = float(np.clip((placed - line.ends_px[0]) @ along / (along @ along), 0.0, 1.0))
    u_line = (1.0 - share) * guide.u_px[0] + share * guide.u_px[1]
    u_here = placing_of(sight.delivery, view, landmark).u_px
    return replace(
        guide,
        placed_px=placed,
        foot_px=line.ends_px[0] + share * along,
        u_gap_px=math.hypot(u_line, u_here),
    )


def _seen(sight: SpaceSight, number: int, landmark: str, time_s: float) -> PlacesAt:
    """Return where a clip shows a landmark at an instant of the first camera's clock."""
    view = sight.views[number]
    return places_at(
        seen_track(view, landmark),
        view.timing,
        placing_of(sight.delivery, view, landmark),
        np.array([time_s - sight.offsets_s[number]]),
        POSITION_BAND * band_of(landmark).cutoff_hz,
    )


class _Line:
    """A line of sight of one camera in another's picture, and how it moves with what it rests on."""

    def __init__(self, sight: SpaceSight, here: int, there: int, seen: PlacesAt) -> None:
        self._sight, self._here, self._there = sight, here, there
        self._place, self._u_px = seen.places_px[0], float(seen.u_px[0])
        self._speed = np.nan_to_num(seen.speeds_px_s[0])
        camera = sight.cameras[there]
        depth_m = float(camera.to_camera(MIDDLE_M)[2])
        self._depths_m = (max(NEAREST_M, depth_m - REACH_M), max(2 * NEAREST_M, depth_m + REACH_M))
        self.ends_px = self._ends(sight.cameras[here], camera, self._place)

    def _ends(self, here: PinholeCamera, there: PinholeCamera, place: FloatArray) -> FloatArray:
        return line_in_other_view(there, here, place, self._depths_m)

    def variance_px2(self) -> FloatArray:
        """Return the variance of the line across itself at each end, shape (2,), px²."""
        by_place, by_calibration = self._by_place(), self._by_calibration()
        placing = self._u_px**2 * np.einsum("ek,ek->e", by_place, by_place)
        calibration = np.einsum(
            "ec,cd,ed->e", by_calibration, self._sight.covariance, by_calibration
        )
        out: FloatArray = np.maximum(placing + calibration, 0.0)
        return out

    def _across(self, moved: FloatArray) -> FloatArray:
        """Return how far a moved line lies beside this one at its ends, shape (2,), px."""
        along = self.ends_px[1] - self.ends_px[0]
        normal = np.array([-along[1], along[0]]) / np.hypot(*along)
        out: FloatArray = (moved - self.ends_px) @ normal
        return out

    def _by_place(self) -> FloatArray:
        """Return the change by the other clip's position, shape (2 ends, 2)."""
        here, there = self._sight.cameras[self._here], self._sight.cameras[self._there]
        moved = [self._ends(here, there, self._place + step) for step in STEP_PX * np.eye(2)]
        return np.stack([self._across(ends) for ends in moved], axis=-1) / STEP_PX

    def _by_calibration(self) -> FloatArray:
        """Return the change by both cameras' numbers and by the clocks, shape (2 ends, n)."""
        n_cameras = len(self._sight.cameras)
        slopes = np.zeros((2, len(self._sight.covariance)))
        for number in (self._here, self._there):
            for row, step in enumerate(STEPS):
                cameras = list(self._sight.cameras)
                cameras[number] = _stepped(cameras[number], row, step)
                ends = self._ends(cameras[self._here], cameras[self._there], self._place)
                slopes[:, N_PARAMETERS * number + row] = self._across(ends) / step
        # this clip's clock running late shows the other clip later, and the other way round
        by_time = self._by_place() @ self._speed
        for number, sign in ((self._here, 1.0), (self._there, -1.0)):
            if number > 0:
                slopes[:, N_PARAMETERS * n_cameras + number - 1] += sign * by_time
        return slopes


def _stepped(camera: PinholeCamera, row: int, step: float) -> PinholeCamera:
    numbers = camera.parameters
    numbers[row] += step
    return camera_from(numbers, camera.size_px, camera.radial)
