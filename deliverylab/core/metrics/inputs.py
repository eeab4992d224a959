"""What one camera shows at one event: positions by role, their u, and how well timed they are."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from deliverylab.core.metrics.seen import Seen, seen_at, with_row_u
from deliverylab.core.metrics.shutter import seen_track, steady_track
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.precision import part_of
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Track
from deliverylab.core.vocabulary.landmarks import (
    BY_KEY as LANDMARK_BY_KEY,
)
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS, Hand, key_for_role
from deliverylab.core.vocabulary.segments import BY_KEY as SEGMENT_BY_KEY

ROLE_COLUMN: dict[str, int] = {role: column for column, role in enumerate(ROLE_KEYS)}
N_ROLES = len(ROLE_KEYS)
CLICK_U_PX = 0.5
"""Standard uncertainty of a click itself, px: half a pixel either way is all a hand gives."""
ASSUMED_HEIGHT_M = 1.75
"""Height taken only for guessing the size of a pixel where neither scale nor height is given."""

STAND_IN_EVENTS: dict[str, str] = {"foot_plant": "foot_contact"}
"""An unmarked event on the left is replaced by the one on the right, and the result says so."""


@dataclass(frozen=True)
class EventPositions:
    """Positions by role at an event; hashable, so that results can be remembered.

    Attributes
    ----------
    event : str
        The event whose mark was used.
    seen : tuple of Seen or None
        One entry a role of `ROLE_KEYS`; None where nothing is placed.
    step_s : float
        Real seconds from `Seen.before` to `Seen.after`.
    u_time_s : float
        Standard uncertainty of the instant, real seconds.
    frame_s : float
        Real frame interval, seconds: what snapping by one frame costs.
    is_stand_in : bool
        Whether another event's mark stood in.
    """

    event: str
    seen: tuple[Seen | None, ...]
    step_s: float
    u_time_s: float
    frame_s: float
    is_stand_in: bool = False

    @cached_property
    def _hash(self) -> int:
        return hash(
            (self.event, self.seen, self.step_s, self.u_time_s, self.frame_s, self.is_stand_in)
        )

    def __hash__(self) -> int:
        """Hash by content, once: results are looked up by their positions many times."""
        return self._hash

    def of(self, role: str) -> Seen | None:
        """Return what is seen of a role."""
        return self.seen[ROLE_COLUMN[role]]

    def only(self, roles: tuple[str, ...]) -> EventPositions:
        """Return these roles' positions alone: what a metric does not use does not touch it."""
        return _only(self, roles)

    def u_instant_s(self, roles: Iterable[str]) -> float:
        """Return u of the instant for these roles: the mark's, and what snapping them costs."""
        off = max((seen.off_frames for role in roles if (seen := self.of(role))), default=0.0)
        return math.hypot(self.u_time_s, off * self.frame_s)


@lru_cache(maxsize=1024)
def _only(positions: EventPositions, roles: tuple[str, ...]) -> EventPositions:
    kept = {ROLE_COLUMN[role] for role in roles}
    seen = tuple(each if c in kept else None for c, each in enumerate(positions.seen))
    return replace(positions, seen=seen)


def marked_event(camera: Camera, event: str) -> str | None:
    """Return the event whose mark serves: itself, its stand-in, or None."""
    if event in camera.marks:
        return event
    stand_in = STAND_IN_EVENTS.get(event)
    return stand_in if stand_in in camera.marks else None


def event_positions(delivery: Delivery, camera: Camera, event: str) -> EventPositions | None:
    """Gather positions at an event; None when it is not marked.

    Between two frames that both hold a landmark its place is interpolated; otherwise the nearest
    frame within one frame interval stands in, at a cost in timing.
    """
    marked = marked_event(camera, event)
    if marked is None:
        return None
    timing, time_s = camera.timing, camera.marks[marked].time_s
    at_frame = round(timing.frame_position(time_s), 6)
    u_by_key = default_u_px(delivery, camera)
    step_s = _real_step_s(timing, round(at_frame))
    gathered = _Gathered(camera, at_frame, step_s, u_by_key, delivery.athlete.hand)
    known = _LATEST.get((delivery.name, camera.name, event))
    frame_s = timing.real_per_clip * timing.interval_near_s(time_s)
    u_time_s = timing.real_per_clip * camera.u_mark_s(marked)
    positions = EventPositions(
        marked, gathered.seen(known), step_s, u_time_s, frame_s, marked != event
    )
    # an equal one that was hashed before is looked up faster
    if known is not None and known.positions == positions:
        positions = known.positions
    gathered.positions = positions
    _LATEST[delivery.name, camera.name, event] = gathered
    if len(_LATEST) > _N_LATEST:
        del _LATEST[next(iter(_LATEST))]
    return positions


class _Gathered:
    """What is seen at one instant, role by role, and what it was gathered from.

    After a moved point all tracks but one are the very same objects, so their entries are taken
    over: an evaluation asks for some hundred of them.
    """

    def __init__(
        self, camera: Camera, at_frame: float, step_s: float, u_by_key: dict[str, float], hand: Hand
    ) -> None:
        self._camera, self._at_frame, self._step_s, self._u_by_key = (
            camera, at_frame, step_s, u_by_key,
        )  # fmt: skip
        self._keys = _KEYS_OF_ROLES[hand]
        get = camera.tracks.get
        self.tracks = tuple([get(key) for key in self._keys])
        self.entries: tuple[Seen | None, ...] = ()
        self.positions: EventPositions | None = None

    def seen(self, known: _Gathered | None) -> tuple[Seen | None, ...]:
        """Return the entries, from what is known already where its track is the same."""
        if known is None or not self._is_like(known):
            self.entries = tuple(map(self._seen_of, self._keys, self.tracks))
        else:
            self.entries = tuple(
                [
                    old if track is was else self._seen_of(key, track)
                    for key, track, was, old in zip(
                        self._keys, self.tracks, known.tracks, known.entries, strict=True
                    )
                ]
            )
        return self.entries

    def _is_like(self, other: _Gathered) -> bool:
        camera, theirs = self._camera, other._camera
        return (
            camera.timing is theirs.timing
            and self._at_frame == other._at_frame
            and self._u_by_key is other._u_by_key
            and self._keys is other._keys
            and camera.height_px == theirs.height_px
            and camera.row_time_s == theirs.row_time_s
            and camera.u_row_time_s == theirs.u_row_time_s
            and camera.motion is theirs.motion
        )

    def _seen_of(self, key: str, track: Track | None) -> Seen | None:
        if track is None:
            return None
        seen = seen_at(seen_track(self._camera, key), self._at_frame, self._u_by_key[key])
        return with_row_u(seen, self._camera, self._step_s)


_N_LATEST = 64
_LATEST: dict[tuple[str, str, str], _Gathered] = {}


def _real_step_s(timing: Timing, frame: int) -> float:
    """Return the real time from the frame before to the frame after, s; NaN where it stands."""
    if 0 < frame < timing.n_frames - 1:
        before_s, after_s = timing.real_s(timing.times_s[[frame - 1, frame + 1]])
        return float(after_s - before_s) or math.nan
    return 2.0 * timing.interval_s * timing.real_per_clip


_KEYS_OF_ROLES: dict[Hand, tuple[str, ...]] = {
    hand: tuple(key_for_role(role, hand) for role in ROLE_KEYS) for hand in ("left", "right")
}


def default_u_px(delivery: Delivery, camera: Camera) -> dict[str, float]:
    """Return the default u of a placed point by landmark key, px, from its u in metres.

    A part that the camera's `PlacingPrecision` holds takes the person's own figure; the others keep
    the judged one unchanged: how well somebody places a knee says little about a hip under cloth.
    """
    size = metres_per_px(delivery, camera)
    own = camera.precision
    own_u_m = () if own is None else tuple(own.u_m.items())
    return _default_u_px(size if size is None else round(size, 6), own_u_m)


@lru_cache(maxsize=256)
def _default_u_px(size: float | None, own_u_m: tuple[tuple[str, float], ...]) -> dict[str, float]:
    if size is None:
        return dict.fromkeys(LANDMARK_BY_KEY, 2.0)
    own = dict(own_u_m)
    return {
        key: math.hypot(CLICK_U_PX, own.get(part_of(key), entry.u_m) / size)
        for key, entry in LANDMARK_BY_KEY.items()
    }


def metres_per_px(delivery: Delivery, camera: Camera) -> float | None:
    """Return the approximate size of a pixel, m: from the scale, else from the longest leg."""
    scale = camera.scale
    if scale is not None:
        return scale.length_m / math.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px)
    return _size_by_legs(delivery, camera)


def _size_by_legs(delivery: Delivery, camera: Camera) -> float | None:
    """Guess the size of a pixel from the longest thigh or shank seen; None without one."""
    height_m = delivery.athlete.height_m or ASSUMED_HEIGHT_M
    best = 0.0
    for side in ("left", "right"):
        for part in ("thigh", "shank"):
            segment = SEGMENT_BY_KEY[f"{side}_{part}"]
            longest = longest_px(
                steady_track(camera, segment.proximal), steady_track(camera, segment.distal)
            )
            if share := segment.usual_length(delivery.athlete.sex):
                best = max(best, longest / share)
    return height_m / best if best > 0.0 else None


@lru_cache(maxsize=256)
def longest_px(a: Track, b: Track) -> float:
    """Return the longest distance of two landmarks over the frames that show both; 0 without."""
    common, rows_a, rows_b = np.intersect1d(a.frames, b.frames, return_indices=True)
    if not len(common):
        return 0.0
    return float(np.max(np.hypot(*(a.xy_px[rows_a] - b.xy_px[rows_b]).T)))


def working_scale(delivery: Delivery, camera: Camera) -> tuple[PlanarScale | None, bool]:
    """Return the scale, and whether it was entered; without one, a guess good enough for angles.

    Angles hardly depend on the scale; they do on level and yaw, which are then taken as level ± 2°
    and square ± 5°.
    """
    if camera.scale is not None:
        return camera.scale, True
    size = _size_by_legs(delivery, camera)
    if size is None:
        return None, False
    middle = Point(camera.width_px / 2, camera.height_px / 2)
    ruler = PlanarScale(
        a=middle,
        b=Point(middle.x_px, middle.y_px - 100.0),
        length_m=min(30.0, max(0.02, 100.0 * size)),
        u_length_m=10.0 * size,
        u_vertical_deg=2.0,
        u_yaw_deg=5.0,
    )
    return ruler, False
