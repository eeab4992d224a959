"""Bridge short gaps in a clip's landmarks, and turn that into one change."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.inputs import default_u_px, longest_px, metres_per_px
from deliverylab.core.model.clip_changes import SetPositions
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.track import ORIGINS, Position
from deliverylab.core.tracking.fill import Bridge, FillLimit, bridged_gaps, held_to_length
from deliverylab.core.vocabulary.segments import SEGMENTS
from deliverylab.core.workflow.detecting import frames_to_look_at
from deliverylab.core.workflow.segment_lengths import segment_lengths
from deliverylab.core.workflow.tracking_start import chosen_landmarks, torso_px

REFUSED_TEXT: dict[str, str] = {
    "long": "the gap is longer than what is bridged",
    "few": "too few known frames beside it",
    "unsure": "it moves too quickly there to be bridged",
    "length": "the limb would be longer than it is",
}
LARGEST_U_TORSO = 0.08
"""A bridge less sure than this share of the trunk (4 cm), and than twice the usual u of placing, is not
made."""
LONGER = 1.1
"""A limb nearer to the camera than the scale looks longer by so much at most: judgement."""
FILLED = ORIGINS.index("filled")
FloatArray = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class OpenGap:
    """A gap that stays open: which landmark, first and last frame, why (a key of `REFUSED_TEXT`)."""

    landmark: str
    first_frame: int
    last_frame: int
    reason: str


@dataclass(frozen=True, kw_only=True)
class Filling:
    """Bridged places with the origin ``filled``, by landmark and frame, and gaps that stay open."""

    positions: dict[str, dict[int, Position]]
    still_open: tuple[OpenGap, ...]


def fill(
    delivery: Delivery,
    camera: Camera,
    record: ProjectRecord | None = None,
    *,
    landmarks: Iterable[str] | None = None,
) -> Filling:
    """Bridge the short gaps of landmarks within the shown clip.

    Earlier bridges are made anew.  A gap is bridged from frames that are known, never before the first
    or after the last of them; limbs keep to their lengths.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
    record : ProjectRecord, optional
        Tells how long the athlete's limbs are; without it the longest seen in the clip do.
    landmarks : iterable of str, optional
        Keys; all but the ball without.
    """
    frames = np.array(frames_to_look_at(camera))
    times_s = camera.timing.real_s(camera.timing.times_s[frames])
    largest_px = LARGEST_U_TORSO * torso_px(delivery, camera)
    usual_px = default_u_px(delivery, camera)
    places = {key: _known(delivery, camera, key, frames) for key in camera.tracks}
    longest = _longest_px(delivery, camera, record)
    positions: dict[str, dict[int, Position]] = {}
    still_open: list[OpenGap] = []
    for key in chosen_landmarks(camera, landmarks):
        xy_px, u_px = places.get(key, (np.full((len(frames), 2), np.nan), np.ones(len(frames))))
        limit = FillLimit(u_px=max(largest_px, 2.0 * usual_px[key]))
        for gap in bridged_gaps(times_s, xy_px, u_px, limit):
            bridge = gap if gap.refusal else _held(gap, key, places, longest)
            at = frames[bridge.rows].tolist()
            if bridge.refusal:
                still_open.append(
                    OpenGap(
                        landmark=key, first_frame=at[0], last_frame=at[-1], reason=bridge.refusal
                    )
                )
                continue
            xy_px[bridge.rows], u_px[bridge.rows] = bridge.xy_px, bridge.u_px
            rows = zip(at, bridge.xy_px.tolist(), bridge.u_px.tolist(), strict=True)
            positions.setdefault(key, {}).update(
                {frame: Position(x, y, u, "filled") for frame, (x, y), u in rows}
            )
    return Filling(positions=positions, still_open=tuple(still_open))


def filling_change(
    delivery: Delivery, camera: Camera, filling: Filling, *, landmarks: Iterable[str] | None = None
) -> SetPositions:
    """Return the one change that takes bridges over, and earlier ones that do not hold away."""
    changes: dict[str, dict[int, Position | None]] = {}
    for key in chosen_landmarks(camera, landmarks):
        track = camera.track(key)
        places: dict[int, Position | None] = dict.fromkeys(
            track.frames[track.origins == FILLED].tolist()
        )
        places.update(filling.positions.get(key, {}))
        if places:
            changes[key] = places
    return SetPositions(
        delivery=delivery.name, camera=camera.name, positions=changes, what="Fill gaps"
    )


def _known(
    delivery: Delivery, camera: Camera, key: str, frames: NDArray[np.int64]
) -> tuple[FloatArray, FloatArray]:
    """Return places (NaN where none is known) and their u in these frames; no earlier bridges."""
    track = camera.track(key)
    xy_px = np.full((camera.timing.n_frames, 2), np.nan)
    u_px = np.full(camera.timing.n_frames, default_u_px(delivery, camera)[key])
    seen = track.origins != FILLED
    xy_px[track.frames[seen]] = track.xy_px[seen]
    stated = seen & np.isfinite(track.u_px) & (track.u_px > 0.0)
    u_px[track.frames[stated]] = track.u_px[stated]
    return xy_px[frames], u_px[frames]


def _longest_px(
    delivery: Delivery, camera: Camera, record: ProjectRecord | None
) -> dict[tuple[str, str], float]:
    """Return how long limbs are in the picture at most, by their ends, both ways round."""
    size = metres_per_px(delivery, camera)
    lengths = {} if record is None or size is None else segment_lengths(record, delivery)
    found: dict[tuple[str, str], float] = {}
    for segment in SEGMENTS:
        a, b = segment.proximal, segment.distal
        seen_px = longest_px(camera.track(a), camera.track(b))
        length = lengths.get(segment.key)
        told_px = 0.0 if length is None or size is None else LONGER * length.length_m / size
        if (longest := max(seen_px, told_px)) > 0.0:
            found[a, b] = found[b, a] = longest
    return found


def _held(
    bridge: Bridge,
    key: str,
    places: dict[str, tuple[FloatArray, FloatArray]],
    longest: dict[tuple[str, str], float],
) -> Bridge:
    """Return a bridge held to the lengths of all limbs that end in this landmark."""
    for (own, other), longest_px_ in longest.items():
        if own == key and other in places and not bridge.refusal:
            xy_px, u_px = places[other]
            bridge = held_to_length(bridge, xy_px[bridge.rows], u_px[bridge.rows], longest_px_)
    return bridge
