"""When a result may be shown: view, marks, points, scale, squareness, foreshortening, frame rate.

Each check returns why a result cannot be shown and what would make it measurable, or None.

References
----------
.. [1] Limits of yaw and foreshortening: judgement, after our own projections of three-dimensional
   deliveries; what 10° of yaw do stands in the README's accuracy table.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.planar import UNKNOWN_NEARNESS_PER_M
from deliverylab.core.metrics.inputs import EventPositions, longest_px, metres_per_px
from deliverylab.core.metrics.over_time import places_px
from deliverylab.core.metrics.pose_batch import BODY_DEPTH_U_M
from deliverylab.core.metrics.setup import nearness
from deliverylab.core.metrics.shutter import steady_track
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import key_for_role, role_name
from deliverylab.core.vocabulary.segments import BY_ENDS
from deliverylab.core.vocabulary.views import END_VIEWS, SIDE_VIEWS, view

MAX_YAW_DEG = 15.0
"""Beyond this a flat reading of posture is off by more than the differences looked for [1]_."""
MIN_SEEN_SHARE = 0.90
"""A segment seen shorter than this share of its length points out of the picture: hidden [1]_."""
FULL_SEEN_SHARE = 0.95
"""From here on a joint angle is as good as stated; in between its projection u is doubled [1]_."""
SEGMENT_NAMES: dict[str, str] = {
    "elbow": "the upper arm", "wrist": "the forearm", "knee": "the thigh", "ankle": "the lower leg",
}  # fmt: skip
"""What a person calls the limb above a joint."""
MAX_SEEN_SHARE = 1.15
"""A segment seen longer than this questions the scale or the points."""


@dataclass(frozen=True)
class Absence:
    """Why a result is not shown, and what would make it measurable."""

    reason: str
    remedy: str


NO_SCALE = Absence(
    "no scale: pixels are not metres yet",
    "set the scale: two points with a known distance at the athlete",
)


def wrong_view(spec: MetricSpec, event: str, views: Iterable[str]) -> Absence:
    """Return the absence of a metric that no camera of the delivery can carry."""
    names = " and ".join(view(key).name for key in views)
    suited = set(spec.views_at(event))
    if not suited:
        return Absence(
            "one camera does not show it",
            "film with a second phone, and solve the two cameras",
        )
    if suited <= set(SIDE_VIEWS):
        remedy = "film from the side, square to the line to the plate"
    elif suited <= set(END_VIEWS):
        remedy = "film from straight behind or ahead"
    else:
        remedy = "film from the side or from straight behind"
    return Absence(f"the {names} view does not show it", remedy)


def not_marked(events: Iterable[str], camera: Camera) -> Absence | None:
    """Return the absence of an event mark."""
    missing = [event_entry(event).name for event in events if event not in camera.marks]
    if not missing:
        return None
    return Absence(f"{' and '.join(missing)} not marked", f"mark {' and '.join(missing)}")


def out_of_order(spec: MetricSpec, camera: Camera) -> Absence | None:
    """Return the absence of what lies between two marks where the later one does not come later."""
    start, end = spec.events[0], spec.events[-1]
    if camera.marks[start].time_s < camera.marks[end].time_s:
        return None
    first, second = event_entry(start).name, event_entry(end).name
    return Absence(f"{second} is not marked after {first}", "check both marks")


def not_placed(
    roles: Iterable[str], positions: EventPositions, delivery: Delivery, camera: Camera
) -> Absence | None:
    """Return the absence of landmarks at an event, hidden ones told apart."""
    missing = [role for role in roles if positions.of(role) is None]
    if not missing:
        return None
    frame = camera.timing.frame_at(camera.marks[positions.event].time_s)
    hand = delivery.athlete.hand
    hidden = [role for role in missing if camera.is_occluded(key_for_role(role, hand), frame)]
    event = event_entry(positions.event).name
    if hidden:
        return Absence(
            f"{_names(hidden)} hidden at {event}", "film from a place where it can be seen"
        )
    return Absence(f"{_names(missing)} not placed at {event}", f"place it in frame {frame}")


def _names(roles: list[str]) -> str:
    shown = [role_name(role) for role in roles[:3]]
    more = f" and {len(roles) - 3} more" if len(roles) > 3 else ""
    return ", ".join(shown) + more


def not_scaled(spec: MetricSpec, delivery: Delivery, camera: Camera) -> Absence | None:
    """Return the absence of a scale or of the athlete's height."""
    if spec.needs_scale and camera.scale is None:
        return NO_SCALE
    if spec.needs_height and delivery.athlete.height_m is None:
        return Absence("the athlete's height is not known", "enter the standing height")
    return None


def off_square(
    spec: MetricSpec, camera: Camera, suspected_yaw_deg: float | None = None
) -> Absence | None:
    """Return the absence of a posture filmed too far off square, as stated or as the stride tells.

    Parameters
    ----------
    suspected_yaw_deg : float, optional
        What `suspected_yaw_deg` of the squareness module found, where the stated yaw belies it.
    """
    if spec.kind in {"interval", "given"}:
        return None
    if suspected_yaw_deg is not None and suspected_yaw_deg > MAX_YAW_DEG:
        return Absence(
            f"the stride runs across the picture: the camera seems about {suspected_yaw_deg:.0f}° "
            f"off square; {MAX_YAW_DEG:.0f}° is the limit",
            "film from straight behind or ahead, or square from the side",
        )
    yaw_deg = abs(camera.scale.yaw_deg) if camera.scale else 0.0
    if yaw_deg <= MAX_YAW_DEG:
        return None
    return Absence(
        f"the camera stood {yaw_deg:.0f}° off square; {MAX_YAW_DEG:.0f}° is the limit",
        "film square to the line to the plate",
    )


def too_slow(spec: MetricSpec, camera: Camera) -> Absence | None:
    """Return the absence of a speed that the clip's frames do not carry."""
    if spec.min_rate_hz == 0.0:
        return None
    timing = camera.timing
    if timing.doubts:
        return Absence(timing.doubts[0].reason, timing.doubts[0].remedy)
    if camera.duplicate_frames and timing.repair is None and timing.capture_rate_hz is None:
        return Absence(
            f"{len(camera.duplicate_frames)} frames repeat the one before, so the stored rate is "
            "not the true one",
            "enter the capture rate, or use the original file from the phone",
        )
    rate_hz = timing.true_rate_hz
    if rate_hz >= spec.min_rate_hz:
        return None
    return Absence(
        f"{rate_hz:.0f} frames a second are too few; {spec.min_rate_hz:.0f} are needed",
        "film at a higher frame rate",
    )


@dataclass(frozen=True)
class Foreshortening:
    """How long the segments look against their known length.

    Attributes
    ----------
    absence : Absence or None
        Set when one is seen too short.
    factor : float
        Factor on the projection u: 1, or 2 where one is seen a little short.
    caution : str
        Set when one is seen longer than it can be.
    """

    absence: Absence | None = None
    factor: float = 1.0
    caution: str = ""


def foreshortening(
    spec: MetricSpec, positions: EventPositions, delivery: Delivery, camera: Camera
) -> Foreshortening:
    """Compare each segment's length in the picture with its known length.

    Parameters
    ----------
    spec : MetricSpec
        Whose `segments` are looked at; without any nothing is gated.
    positions : EventPositions
        At one event.
    delivery, camera : Delivery, Camera
        Whose height, sex, scale and tracks tell the known lengths.

    Notes
    -----
    The known length is the published proportion of the athlete's height where height and scale are
    known, else the longest that the clip shows of it.
    """
    slack, event = _slack(camera), event_entry(positions.event).name
    factor, longest, too_short = 1.0, 0.0, None
    for proximal, distal in spec.segments:
        a, b = positions.of(proximal), positions.of(distal)
        known = known_length_px(proximal, distal, delivery, camera)
        if a is None or b is None or known is None:
            continue
        seen_px = math.hypot(a.x_px - b.x_px, a.y_px - b.y_px)
        share = slack * seen_px / known.usual_px
        longest = max(longest, seen_px / slack / known.usual_px)
        if slack * seen_px < FULL_SEEN_SHARE * known.longest_px:
            factor = 2.0
        if share < min(MIN_SEEN_SHARE, too_short[0] if too_short else math.inf):
            too_short = share, distal
    if too_short is not None:
        share, distal = too_short
        return Foreshortening(
            Absence(
                f"{SEGMENT_NAMES[distal.partition('_')[2]]} points out of the picture: it shows "
                f"{100 * share:.0f} % of its length at {event}",
                "film square to the line to the plate; this limb may turn out of the picture even so",
            )
        )
    caution = ""
    if longest > MAX_SEEN_SHARE:
        caution = (
            f"a limb looks {100 * (longest - 1):.0f} % longer than usual at {event}: check the "
            "scale, the height and the points"
        )
    return Foreshortening(None, factor, caution)


def foreshortened_frames(
    spec: MetricSpec, frames: NDArray[np.int64], delivery: Delivery, camera: Camera
) -> NDArray[np.bool_]:
    """Return in which frames one of the segments is seen too short, shape (n,)."""
    is_short = np.zeros(len(frames), dtype=np.bool_)
    hand = delivery.athlete.hand
    for proximal, distal in spec.segments:
        known = known_length_px(proximal, distal, delivery, camera)
        a, b = (
            places_px(steady_track(camera, key_for_role(role, hand)), frames)
            for role in (proximal, distal)
        )
        if known is not None:
            seen_px = _slack(camera) * np.hypot(*(a - b).T)
            is_short |= seen_px < MIN_SEEN_SHARE * known.usual_px
    return is_short


def _slack(camera: Camera) -> float:
    """Return the factor by which a body behind the plane of the scale may look smaller unturned."""
    kappa = nearness(camera.scale)[0] if camera.scale else UNKNOWN_NEARNESS_PER_M
    return 1.0 + BODY_DEPTH_U_M[view(camera.view).plane] * kappa


class KnownLength(NamedTuple):
    """How long a segment is in this camera's pixels: usually, and at most where sex is not known."""

    usual_px: float
    longest_px: float


def known_length_px(
    proximal: str, distal: str, delivery: Delivery, camera: Camera
) -> KnownLength | None:
    """Return a segment's known length in pixels of this camera; None when nothing tells it.

    A woman's thigh is an eighth shorter than a man's of her height: taken for foreshortened it would
    never be shown.  Where sex is not known the mean of both decides what is hidden, and the longer
    one what is as good as stated.
    """
    athlete = delivery.athlete
    keys = (key_for_role(proximal, athlete.hand), key_for_role(distal, athlete.hand))
    size = metres_per_px(delivery, camera)
    if athlete.height_m is not None and camera.scale is not None and size:
        segment = BY_ENDS.get(keys)
        usual = segment.usual_length(athlete.sex) if segment else None
        longest = segment.longest_length(athlete.sex) if segment else None
        if usual and longest:
            height_px = athlete.height_m / size
            return KnownLength(usual * height_px, longest * height_px)
    seen_px = longest_px(steady_track(camera, keys[0]), steady_track(camera, keys[1]))
    return KnownLength(seen_px, seen_px) if seen_px else None
