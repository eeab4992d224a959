"""Where a body's points lie in the picture of one event, and which way is up there."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

import numpy as np

from deliverylab.core.metrics.body_mass import COM_STAND_INS, mass_weights
from deliverylab.core.metrics.inputs import default_u_px, marked_event
from deliverylab.core.metrics.seen import seen_at
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.shutter import steady_track
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.scale import Point
from deliverylab.core.model.track import Track
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS, key_for_role

_PAIRS = {
    "mid_hip": ("drive_hip", "lead_hip"),
    "mid_shoulder": ("throwing_shoulder", "glove_shoulder"),
}
BESIDE_SHARE = 0.05
"""How far beside the body an upright ruler stands, as a share of the body's height."""
_N_ALONG = 65
"""Places along a ruler at which metres are worked out; between them they are taken as even."""


class FigurePlaces:
    """A body in the picture of one event: its points in that frame's own pixels.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
    event : str
        Marked in that camera, itself or the one that stands in for it.

    Attributes
    ----------
    frame : int
        The frame that shows the event.
    up, right : Point
        Unit vectors of the true vertical and of the level line in the picture.
    """

    def __init__(self, delivery: Delivery, camera: Camera, event: str) -> None:
        self.delivery = delivery
        self.camera = camera
        self.frame = self._frame_of(event)
        self._u_px = default_u_px(delivery, camera)
        self._seen_roles: dict[str, Point | None] = {}
        self.up = self._up()
        self.right = Point(-self.up.y_px, self.up.x_px)

    def at(self, role: str) -> Point | None:
        """Return a role's place in the frame; also ``mid_hip``, ``mid_shoulder``, ``mass_centre``."""
        if role == "mass_centre":
            return self._mass_centre()
        if role in _PAIRS:
            return _mean(self.at(one) for one in _PAIRS[role])
        if role not in self._seen_roles:
            key = key_for_role(role, self.delivery.athlete.hand)
            self._seen_roles[role] = self._seen(self.camera.track(key), key, self.frame)
        return self._seen_roles[role]

    def earlier(self, role: str, event: str) -> Point | None:
        """Return where a role was at another event, as a place of this frame.

        A camera that turned meanwhile is turned back; None where the event is not marked, the point
        is not placed, or the camera's motion is not told.
        """
        if marked_event(self.camera, event) is None:
            return None
        key = key_for_role(role, self.delivery.athlete.hand)
        seen = self._seen(steady_track(self.camera, key), key, self._frame_of(event))
        return None if seen is None else self._here(seen)

    @property
    def rubber(self) -> Point | None:
        """The middle of the rubber's front edge, None where it is not marked."""
        scale = self.camera.scale
        return None if scale is None or scale.rubber is None else self._here(scale.rubber)

    def level_of(self, place: Point) -> float:
        """Return how high a place lies in the picture along the true vertical, px."""
        return place.x_px * self.up.x_px + place.y_px * self.up.y_px

    def _along(self, place: Point) -> float:
        return place.x_px * self.right.x_px + place.y_px * self.right.y_px

    def moved_to_level(self, place: Point, level: float) -> Point:
        """Return a place moved along the true vertical to a level."""
        return shifted(place, self.up, level - self.level_of(place))

    def beside_body(self, place: Point) -> Point:
        """Return a place moved along the level line just beyond the body, to the side it is nearer to."""
        seen = [self.at(role) for role in ROLE_KEYS if role != "ball"]
        body = [place, *(one for one in seen if one is not None)]
        along, levels = [self._along(one) for one in body], [self.level_of(one) for one in body]
        low, high, own = min(along), max(along), along[0]
        room = BESIDE_SHARE * (max(levels) - min(levels))
        aim = high + room if high - own <= own - low else low - room
        return shifted(place, self.right, aim - own)

    def ticks(self, start: Point, end: Point, step_m: float) -> tuple[Point, ...]:
        """Return the places between two that lie whole steps from the first, by the camera's scale.

        Empty where no scale was entered, or it does not hold for this frame.
        """
        scale, motion = self.camera.scale, self.camera.motion
        if scale is None or motion is not None or step_m <= 0.0:
            return ()
        setup = _setup(Setup.of(self.delivery, self.camera, scale))
        shares = np.linspace(0.0, 1.0, _N_ALONG)
        line_px = np.array(start) + shares[:, None] * (np.array(end) - np.array(start))
        plane_m = setup.camera.to_plane((line_px - setup.middle_px)[None], np.zeros(1))[0]
        along_m = np.hypot(*(plane_m - plane_m[0]).T)
        whole = np.arange(step_m, along_m[-1], step_m)
        return tuple(between(start, end, share) for share in np.interp(whole, along_m, shares))

    def _frame_of(self, event: str) -> int:
        marked = marked_event(self.camera, event)
        if marked is None:
            raise ValueError(f"{event} is not marked")
        return self.camera.timing.frame_at(self.camera.marks[marked].time_s)

    def _seen(self, track: Track, key: str, frame: int) -> Point | None:
        row = int(track.frames.searchsorted(frame))
        if row < len(track) and track.frames[row] == frame:
            return Point(*track.xy_px[row].tolist())
        seen = seen_at(track, float(frame), self._u_px[key])
        return None if seen is None else Point(seen.x_px, seen.y_px)

    def _here(self, place: Point) -> Point | None:
        """Return a place of the camera's reference frame as one of this frame."""
        motion = self.camera.motion
        if motion is None:
            return Point(*place)
        moved = motion.in_frame(self.frame, place)
        return None if moved is None else Point(*moved)

    def _up(self) -> Point:
        scale = self.camera.scale
        lean = 0.0 if scale is None else math.radians(scale.vertical_deg)
        # a camera that turned while it filmed hardly rolled: the reference frame's vertical serves
        return Point(math.sin(lean), -math.cos(lean))

    def _mass_centre(self) -> Point | None:
        """Return where the centre of mass is seen; None where a point that it needs is missing.

        The same weighted mean as in metres: exact where all parts are equally far from the camera.
        """
        athlete = self.delivery.athlete
        weighted = np.zeros(2)
        for role, weight in mass_weights(athlete.mass_table, athlete.female_share).items():
            place = self.at(role)
            if place is None and role in COM_STAND_INS:
                place = self.at(COM_STAND_INS[role])
            if place is None:
                return None
            weighted += weight * np.array(place)
        return Point(*weighted.tolist())


@lru_cache(maxsize=16)
def _setup(setup: Setup) -> Setup:
    """Return an equal set-up, which knows its scale already where it was asked for before."""
    return setup


def shifted(place: Point, direction: Point, length_px: float) -> Point:
    """Return a place moved along a unit vector."""
    return Point(place.x_px + length_px * direction.x_px, place.y_px + length_px * direction.y_px)


def between(start: Point, end: Point, share: float) -> Point:
    """Return the place at a share of the way."""
    return Point(
        float(start.x_px + share * (end.x_px - start.x_px)),
        float(start.y_px + share * (end.y_px - start.y_px)),
    )


def _mean(places: Iterable[Point | None]) -> Point | None:
    found = [place for place in places if place is not None]
    return between(found[0], found[1], 0.5) if len(found) == 2 else None
