"""Where following a clip's landmarks starts: which positions, which frames, how large the body is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from deliverylab.core.metrics.inputs import default_u_px, longest_px, metres_per_px
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.precision import REPLACED_ORIGINS as BY_HAND
from deliverylab.core.tracking.flow import Anchors
from deliverylab.core.tracking.pose_checks import TORSO_OVER_HEIGHT
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.vocabulary.landmarks import landmark as landmark_entry
from deliverylab.core.workflow.detecting import frames_to_look_at

_TORSO_OVER_PICTURE = 0.15
"""Trunk over the picture's height, where nothing else tells: a person who fills half of it."""


def gaps_around(
    camera: Camera, landmark: str, frame: int, *, from_detected: bool = True
) -> tuple[int, int]:
    """Return the frames between a landmark's neighbouring places before and after this one.

    After one corrected point only these need to be gone through anew.  Where there is no place on a
    side, the shown clip's end is the end.
    """
    known = camera.track(landmark)
    origins = _started_from(from_detected)
    frames = [at for at, position in known if position.origin in origins]
    before = max((at for at in frames if at < frame), default=camera.first_frame)
    after = min((at for at in frames if at > frame), default=camera.end_frame)
    return min(before, frame), max(after, frame)


def torso_px(delivery: Delivery, camera: Camera) -> float:
    """Return the length of the trunk in the picture, px: as seen, else by the height, else a guess."""
    seen = max(longest_px(camera.track(f"{side}_shoulder"), camera.track(f"{side}_hip"))
               for side in ("left", "right"))  # fmt: skip
    if seen > 0.0:
        return seen
    size, height_m = metres_per_px(delivery, camera), delivery.athlete.height_m
    if size is not None and height_m is not None:
        return TORSO_OVER_HEIGHT * height_m / size
    return _TORSO_OVER_PICTURE * camera.height_px


def chosen_landmarks(camera: Camera, landmarks: Iterable[str] | None) -> list[str]:
    """Return the landmarks to follow: those asked for, else all that something is placed of but the ball.

    Raises
    ------
    NotFoundError
        No such landmark.
    """
    if landmarks is None:
        return [key for key in LANDMARK_KEYS if key != "ball" and len(camera.track(key))]
    return list(dict.fromkeys(landmark_entry(key).key for key in landmarks))


def _started_from(from_detected: bool) -> frozenset[str]:
    return BY_HAND | {"detected"} if from_detected else BY_HAND


def anchors_of(
    delivery: Delivery, camera: Camera, key: str, wanted: Sequence[int], from_detected: bool
) -> Anchors:
    """Return the places within these frames, and the nearest ones beside them."""
    track_ = camera.track(key)
    origins, hidden = _started_from(from_detected), set(camera.occluded.get(key, ()))
    repeats = set(camera.duplicate_frames)
    rows = [
        row
        for row, (frame, position) in enumerate(track_)
        if position.origin in origins and frame not in hidden and frame not in repeats
        and camera.first_frame <= frame <= camera.end_frame
    ]  # fmt: skip
    at = track_.frames[rows]
    first = int(np.searchsorted(at, wanted[0]))
    last = int(np.searchsorted(at, wanted[-1], side="right"))
    rows = rows[max(0, first - 1) : last + 1]
    u_px = track_.u_px[rows]
    usual = default_u_px(delivery, camera)[key]
    return Anchors(
        frames=track_.frames[rows], xy_px=track_.xy_px[rows],
        u_px=np.where(np.isnan(u_px), usual, u_px),
    )  # fmt: skip


def up_to_anchors(camera: Camera, wanted: Sequence[int], starts: Iterable[Anchors]) -> list[int]:
    """Return the frames to go through: those wanted, and on to the places beside them."""
    ends = [int(frame) for anchors in starts for frame in anchors.frames[[0, -1]]]
    return frames_to_look_at(camera, (min(wanted[0], *ends), max(wanted[-1], *ends)))
