"""Results of the ball's flight: speed, height and direction at release, and what they question."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import msgspec
import numpy as np

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.ball_checks import HARDEST_M_S, Agreement, radar_agreement
from deliverylab.core.metrics.ball_flight import MIN_POSITIONS, Flight, Places, flight
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.inputs import EventPositions, default_u_px
from deliverylab.core.metrics.motion_results import RADAR_U_M_S
from deliverylab.core.metrics.remedies import ONE_PLANE
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.shutter import landmark_times_s, steady_track
from deliverylab.core.metrics.sight import Sight, cautions_of, not_shown, shown
from deliverylab.core.metrics.spec import COVERAGE_FACTOR, MetricSpec, Result
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import Track
from deliverylab.core.vocabulary.balls import ball as ball_entry

replace = msgspec.structs.replace

_FOOT = ("drive_heel", "drive_toe")
AFTER_RELEASE_FRAMES = 0.25
"""Positions nearer to the mark of release than this share of a frame may still be in the hand."""
MAX_FLIGHT_S = 0.15
"""Positions later than this after release are left out: over 3 to 6 m the path is a line under gravity
and drag, and the spin of the ball does not yet show."""
ENOUGH_S, N_ENOUGH = 0.08, 8
"""So many positions within so long after release are enough: later ones lie toward the edge of the
picture, where the yaw counts for more than they add."""
MIDDLE_U = 0.15
"""u of the middle of a ball lit from one side, as a share of its diameter: the shaded side is not
seen.  It is the same in all frames, so it touches the height and no speed; own simulation."""

TOO_FAST = (
    "faster than the hardest deliveries of adult professionals (96 to 100 mph): check the scale and "
    "the capture rate"
)


def ball_places(delivery: Delivery, camera: Camera) -> Places | None:
    """Return the ball's places after release; None without release, or with fewer than three."""
    track, mark = steady_track(camera, "ball"), camera.marks.get("release")
    if mark is None or not len(track):
        return None
    timing = camera.timing
    since_s = landmark_times_s(camera, "ball") - float(timing.real_s(mark.time_s))
    least_s = AFTER_RELEASE_FRAMES / timing.true_rate_hz
    x_px, y_px = track.xy_px.T
    is_inside = (x_px >= 0) & (x_px < camera.width_px) & (y_px >= 0) & (y_px < camera.height_px)
    rows = np.flatnonzero((since_s > least_s) & (since_s <= MAX_FLIGHT_S) & is_inside)
    if np.count_nonzero(since_s[rows] <= ENOUGH_S) >= N_ENOUGH:
        rows = rows[since_s[rows] <= ENOUGH_S]
    # what stands still in time, a repeated frame, tells nothing
    rows = rows[np.diff(since_s[rows], prepend=-1.0) > 0.0]
    if len(rows) < MIN_POSITIONS:
        return None
    u_px = track.u_px[rows]
    u_px = np.where(np.isnan(u_px), default_u_px(delivery, camera)["ball"], u_px)
    return Places(
        tuple(since_s[rows].tolist()),
        tuple((x, y) for x, y in track.xy_px[rows].tolist()),
        tuple(u_px.tolist()),
        timing.stamps_s is None,
    )


def ball_flight(delivery: Delivery, camera: Camera) -> Flight | None:
    """Return the ball's flight as this camera saw it; None where it cannot be worked out.

    Parameters
    ----------
    delivery : Delivery
        Whose ball.
    camera : Camera
        A side camera with scale, mark of release, and three positions of the ball after it.
    """
    for owner, known, found in tuple(_LATEST):
        if owner is delivery and known is camera:
            return found
    places = ball_places(delivery, camera)
    found = None
    if places is not None and camera.scale is not None:
        found = flight(places, Setup.of(delivery, camera, camera.scale), delivery.ball)
    _LATEST.insert(0, (delivery, camera, found))
    del _LATEST[_N_LATEST:]
    return found


_N_LATEST = 4
# Neither is ever changed in place, and several metrics ask one after the other.
_LATEST: list[tuple[Delivery, Camera, Flight | None]] = []


def ball_result(spec: MetricSpec, event: str, sight: Sight) -> Result:
    """Evaluate a metric of the ball's flight; remembered by what it is made of."""
    delivery, camera = sight.delivery, sight.camera
    lift = sight.positions("leg_lift")
    made_of = _MadeOf(
        steady_track(camera, "ball"), None if lift is None else lift.only(_FOOT), delivery.ball,
        delivery.ball_speed_m_s, camera.row_time_s, default_u_px(delivery, camera)["ball"],
    )  # fmt: skip
    return _remembered(spec.key, event, made_of, sight)


class _MadeOf(NamedTuple):
    """What the ball's results are made of, besides the camera and its marks."""

    track: Track
    foot: EventPositions | None
    ball: str
    radar_m_s: float | None
    row_time_s: float
    u_px: float


@lru_cache(maxsize=64)
def _remembered(key: str, event: str, made_of: _MadeOf, sight: Sight) -> Result:
    spec = BY_KEY[key]
    delivery, camera = sight.delivery, sight.camera
    absence = (
        validity.not_scaled(spec, delivery, camera)
        or validity.off_square(spec, camera)
        or validity.too_slow(spec, camera)
        or validity.not_marked(spec.events, camera)
    )
    found = None if absence is not None else ball_flight(delivery, camera)
    if found is None:
        absence = absence or Absence(
            "the ball is not placed in three frames after release",
            "place the ball in three frames or more after release, or let it be looked for",
        )
        return not_shown(spec, event, delivery.name, camera, absence)
    cautions = cautions_of(spec, event, sight, [])
    if found.worst_row is not None:
        cautions += ("one position of the ball lies off its line: look at them again",)
    if spec.key == "ball_launch_angle":
        return shown(spec, event, sight, found.launch_deg, found.launch_parts, cautions)
    if spec.key == "ball_release_height":
        return _height_result(spec, event, sight, made_of.foot, found, cautions)
    u_mark_s = camera.timing.real_per_clip * camera.u_mark_s("release")
    slowing_m_s2 = abs(found.speed_m_s - found.filmed_speed_m_s) / found.middle_s
    parts = found.speed_parts | {"timing of the event": u_mark_s * slowing_m_s2}
    result = shown(spec, event, sight, found.speed_m_s, parts, cautions)
    return result if not result.is_shown else _questioned(result, delivery, camera)


def _height_result(
    spec: MetricSpec,
    event: str,
    sight: Sight,
    foot: EventPositions | None,
    found: Flight,
    cautions: tuple[str, ...],
) -> Result:
    """Return the height over the drive foot's middle at leg lift, the ground of all heights."""
    delivery, camera, setup = sight.delivery, sight.camera, sight.setup
    ends = [foot.of(role) for role in _FOOT] if foot else []
    placed = [each for each in ends if each is not None]
    if len(placed) < 2 or setup is None:
        absence = Absence(
            "the drive foot is not placed at leg lift", "place the drive heel and toe at leg lift"
        )
        return not_shown(spec, event, delivery.name, camera, absence)
    places_px = np.array([(each.x_px, each.y_px) for each in placed]) - setup.middle_px
    ground_m = float(setup.camera.to_plane(places_px[None], np.zeros((1, 2)))[0, :, 1].mean())
    size = float(setup.camera.metres_per_px()[0])
    u_foot_m = size * math.hypot(*(each.u_px for each in placed)) / 2.0
    diameter_m = ball_entry(delivery.ball).diameter_m
    parts = found.height_parts | {
        "placing the landmarks": u_foot_m, "middle of the ball": MIDDLE_U * diameter_m,
        ONE_PLANE: spec.projection_u_at(event),
    }  # fmt: skip
    return shown(spec, event, sight, found.height_m - ground_m, parts, cautions)


def radar_check(result: Result, delivery: Delivery, camera: Camera) -> Agreement | None:
    """Compare a measured ball speed with the radar reading; None where either is missing."""
    radar_m_s = delivery.ball_speed_m_s
    if radar_m_s is None or result.value is None or result.expanded_u is None:
        return None
    return radar_agreement(
        result.value, result.expanded_u, radar_m_s, COVERAGE_FACTOR * RADAR_U_M_S,
        camera.timing.true_rate_hz,
    )  # fmt: skip


def _questioned(result: Result, delivery: Delivery, camera: Camera) -> Result:
    """Return the result with cautions where radar, or what arms can do, speaks against it."""
    cautions = result.cautions
    check = radar_check(result, delivery, camera)
    if check is not None and not check.is_agreeing:
        cautions += (f"does not agree with the radar reading (E_n {check.e_n:.1f}): {check.hint}",)
    elif (result.value or 0.0) - (result.expanded_u or 0.0) > HARDEST_M_S:
        cautions += (TOO_FAST,)
    return result if cautions == result.cautions else replace(result, cautions=cautions)
