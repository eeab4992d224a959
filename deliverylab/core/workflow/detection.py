"""What the landmark detector found in a clip: what is believed, what waits, what has to be asked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.tracking.pose_checks import (
    REASONS,
    CheckedPoses,
    RawPoses,
    Reason,
    check_poses,
)
from deliverylab.core.tracking.pose_landmarks import KEYS
from deliverylab.core.tracking.pose_sides import SideAnswer, SideQuestion
from deliverylab.core.workflow.placing_needs import n_results_at

REASON_TEXT: dict[Reason, str] = {
    "nobody": "nobody was found in the frame",
    "outside": "it lies outside the picture",
    "mirror": "the mirrored picture gives another place",
    "sides": "left and right may have changed places",
    "length": "the limb would be too short or too long",
    "course": "it leaves its own course",
    "peak": "the detector sees no clear point there",
    "alone": "the frames beside it are not believed",
}
LIMB_TEXT = {
    "arm": "arms", "leg": "legs", "hand": "hands", "foot": "feet", "shoulder": "shoulders",
    "hip": "hips",
}  # fmt: skip
"""Pairs of which a `SideQuestion` asks, in words."""
OWN: frozenset[str] = frozenset({"detected"})
"""Origins that a detection may replace."""


@dataclass(frozen=True, kw_only=True)
class Waiting:
    """A landmark in a frame that a person has to place.

    Attributes
    ----------
    landmark : str
        Key.
    frame : int
    reason : str
        Why the detector's place is not taken; a key of `REASON_TEXT`.
    n_results : int
        How many results of the catalogue need it in this frame; 0 between the events.
    """

    landmark: str
    frame: int
    reason: Reason
    n_results: int


@dataclass(frozen=True, kw_only=True)
class Detection:
    """What the detector suggests in a clip.

    Attributes
    ----------
    frames : ndarray of int, shape (n,)
        Frames that were looked at.
    poses : CheckedPoses
        Landmarks in them, each believed or not.
    is_complete : bool
        Whether all frames asked for were looked at; what was done is kept either way.
    waiting : tuple of Waiting
        What a person has to place: first what results need at the events, by how many.
    raw : RawPoses
        What the detector answered, before any check.
    side_answers : tuple of SideAnswer
        What a person said of left and right since.
    """

    frames: NDArray[np.int64]
    poses: CheckedPoses
    is_complete: bool
    waiting: tuple[Waiting, ...]
    raw: RawPoses
    side_answers: tuple[SideAnswer, ...] = ()

    @property
    def side_questions(self) -> tuple[SideQuestion, ...]:
        """Stretches of frames whose left and right only a person can tell; `answered` takes it."""
        return self.poses.side_questions


def judged(
    delivery: Delivery,
    camera: Camera,
    raw: RawPoses,
    *,
    is_complete: bool,
    answers: tuple[SideAnswer, ...] = (),
) -> Detection:
    """Return the detector's answers with all checks made, and what waits.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Whose clip.
    raw : RawPoses
    is_complete : bool
        Whether these are all the frames that were asked for.
    answers : tuple of SideAnswer
        What a person said of left and right.
    """
    poses = check_poses(
        raw, (camera.width_px, camera.height_px), stature_px=_stature_px(delivery, camera),
        side_answers=answers,
    )  # fmt: skip
    return Detection(
        frames=raw.frames, poses=poses, is_complete=is_complete, raw=raw, side_answers=answers,
        waiting=_waiting(delivery, camera, raw.frames, poses),
    )  # fmt: skip


def answered(
    delivery: Delivery, camera: Camera, found: Detection, question: SideQuestion, is_swapped: bool
) -> Detection:
    """Return a detection with one of its questions of left and right answered.

    All checks are made again, so that further questions may fall away, or come up.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Whose clip it is.
    found : Detection
    question : SideQuestion
        One of ``found.side_questions``.
    is_swapped : bool
        Whether left and right are exchanged in that stretch, as it is shown.
    """
    answer = SideAnswer(question=question, is_swapped=is_swapped)
    others = tuple(each for each in found.side_answers if each.question != question)
    return judged(
        delivery, camera, found.raw, is_complete=found.is_complete, answers=(*others, answer)
    )


def _stature_px(delivery: Delivery, camera: Camera) -> float | None:
    """Return the athlete's height in the picture where height and scale tell it."""
    scale, height_m = camera.scale, delivery.athlete.height_m
    if scale is None or height_m is None:
        return None
    length_px = math.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px)
    return height_m * length_px / scale.length_m


def _waiting(
    delivery: Delivery, camera: Camera, frames: NDArray[np.int64], poses: CheckedPoses
) -> tuple[Waiting, ...]:
    """Return what is not believed and has no place yet, by how many results need it."""
    needs = _needs_by_frame(delivery, camera, frames.tolist())
    waiting = []
    for row, key in enumerate(KEYS):
        placed = {frame for frame, position in camera.track(key) if position.origin not in OWN}
        placed.update(camera.occluded.get(key, ()))
        for number in np.flatnonzero(poses.reasons[:, row]).tolist():
            frame = int(frames[number])
            if frame not in placed:
                reason = REASONS[poses.reasons[number, row]]
                n_results = needs.get(frame, {}).get(key, 0)
                waiting.append(
                    Waiting(landmark=key, frame=frame, reason=reason, n_results=n_results)
                )
    return tuple(sorted(waiting, key=lambda one: (-one.n_results, one.frame, one.landmark)))


def _needs_by_frame(
    delivery: Delivery, camera: Camera, frames: Sequence[int]
) -> dict[int, dict[str, int]]:
    """Return, for the frames at the marked events, how many results need each landmark.

    An event before the first of the frames or after the last one needs none of them.
    """
    needs: dict[int, dict[str, int]] = {}
    for event, mark in camera.marks.items():
        at = camera.timing.frame_at(mark.time_s)
        if not frames[0] <= at <= frames[-1]:
            continue
        nearest = min(frames, key=lambda frame: abs(frame - at))
        here = needs.setdefault(nearest, {})
        counts = n_results_at(
            event, delivery.athlete.hand, camera.view, is_in_space=_is_in_space(delivery, camera)
        )
        for key, n in counts.items():
            here[key] = here.get(key, 0) + n
    return needs


def _is_in_space(delivery: Delivery, camera: Camera) -> bool:
    """Return whether a camera is one of several that are solved and may be used."""
    space = delivery.space
    return (
        space is not None
        and not space.is_refused
        and camera.name in {solved.name for solved in space.cameras}
    )
