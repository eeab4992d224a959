"""What of the network's answers is believed: lengths, the mirrored answer, sides, courses.

The network's own word on how sure it is of a point does not say where it is wrong.  These do.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.tracking.pose_landmarks import (
    KEYS,
    LIMBS,
    PART,
    ROW,
    WHOLE,
    landmark_peaks,
    landmarks_of,
    pair_rows,
    rows_beside,
)
from deliverylab.core.tracking.pose_sides import (
    SideAnswer,
    SideQuestion,
    is_other_way,
    questions_of,
    side_changes,
)

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
Reason = Literal["", "nobody", "outside", "mirror", "sides", "length", "course", "peak", "alone"]
REASONS: tuple[Reason, ...] = get_args(Reason)

MIRROR_SHARE = 0.2
"""Farther off than this in the mirrored image, of a torso, a point is not believed."""
MIN_PEAKS = {
    "head_top": 0.65, "neck": 0.65, "shoulder": 0.6, "elbow": 0.77, "wrist": 0.67, "hand": 0.7,
    "hip": 0.7, "knee": 0.65, "ankle": 0.5, "heel": 0.6, "toe": 0.6,
}  # fmt: skip
"""A point whose map has no peak of this height near it, in either image, is made up.

Chosen on rendered deliveries as the least from which few points taken over are far off."""
U_INPUT_PX = {
    "head_top": 1.5, "neck": 1.1, "shoulder": 1.5, "elbow": 1.9, "wrist": 3.2, "hand": 3.2,
    "hip": 2.8, "knee": 1.6, "ankle": 1.0, "heel": 2.5, "toe": 1.3,
}  # fmt: skip
"""What both answers share and their difference does not show, standard uncertainty in pixels of the
network's input (about 9 mm each on a standing adult).

From rendered deliveries: how far points taken over are off beyond what that difference says.  Most
of it stays from frame to frame: the network's hip and top of the head are not quite the model's, and
along a forearm it says the wrist to a few centimetres only.  A real body has landmarks under clothes
and skin, so this is the least."""
COURSE_SHARE = 0.2
"""Farther than this off the middle of its neighbours in time, of a torso, it is not believed."""
TORSO_OVER_HEIGHT = 0.288
"""Mid-shoulder to mid-hip over stature (Winter's rounded proportions: 0.818 - 0.530)."""

MOST_SHARE = 1.25
"""A segment longer than this, of its usual length, is wrong."""
_SEGMENTS: tuple[tuple[str, str, float, float, tuple[str, ...], tuple[str, ...]], ...] = (
    ("shoulder", "elbow", 0.56, 0.35, ("elbow",), ("shoulder", "elbow", "wrist", "hand")),
    ("elbow", "wrist", 0.54, 0.35, ("elbow", "wrist", "hand"), ("elbow", "wrist", "hand")),
    ("hip", "knee", 0.82, 0.5, ("hip", "knee"), ("hip", "knee")),
    ("knee", "ankle", 0.87, 0.5, ("knee",), ("knee",)),
    ("ankle", "toe", 0.44, 0.7, ("toe",), ("toe",)),
    ("heel", "toe", 0.53, 0.7, ("toe",), ("toe",)),
)
"""Ends; usual length over that of the torso, rounded; the share of it from which it is believed; what
falls with it where it is too short, and where it is too long.

A limb may point at the camera, but then nothing tells one that is foreshortened from one that
collapsed onto its neighbour, and toes are seldom right: a person has to look.  An upper arm too long
hangs on the other shoulder: all of that arm is the other one."""


_PEAKS = np.array([MIN_PEAKS[PART[key]] for key in KEYS])
_SHARED = np.array([U_INPUT_PX[PART[key]] for key in KEYS])


@dataclass(frozen=True, kw_only=True)
class CheckedPoses:
    """Landmarks of a row of frames, each believed or not.

    Attributes
    ----------
    xy_px : ndarray, shape (n, 20, 2), px
        In the order of `KEYS`; the mean of both answers.
    u_px : ndarray, shape (n, 20), px
        Standard uncertainty of either coordinate.
    reasons : ndarray of uint8, shape (n, 20)
        Indices into `REASONS`; 0 where the point is believed.
    torso_px : float
        Length of the trunk in the picture.
    side_questions : tuple of SideQuestion
        Stretches whose left and right a person has to tell.
    """

    xy_px: FloatArray
    u_px: FloatArray
    reasons: NDArray[np.uint8]
    torso_px: float
    side_questions: tuple[SideQuestion, ...]

    @property
    def is_believed(self) -> BoolArray:
        """Where the point is believed, shape (n, 20)."""
        believed: BoolArray = self.reasons == 0
        return believed


@dataclass(frozen=True, kw_only=True)
class RawPoses:
    """The network's answers for a row of frames, in order of time.

    Attributes
    ----------
    frames : ndarray of int, shape (n,)
        Which frames, ascending.
    points_px, mirrored_px : ndarray, shape (n, 33, 2), px
        NaN where nobody was found.
    peaks : ndarray, shape (n, 33)
        How clearly the network sees each point there, 0 to 1.
    pixel_px : ndarray, shape (n,), px
        Size of the network's input pixel in the picture.
    """

    frames: NDArray[np.int64]
    points_px: FloatArray
    mirrored_px: FloatArray
    peaks: FloatArray
    pixel_px: FloatArray


def check_poses(
    raw: RawPoses,
    size_px: tuple[int, int],
    *,
    stature_px: float | None = None,
    side_answers: Sequence[SideAnswer] = (),
) -> CheckedPoses:
    """Return landmarks with u, and say which of them are not believed and why.

    Parameters
    ----------
    raw : RawPoses
    size_px : tuple of int
        Width and height of the picture.
    stature_px : float, optional
        The athlete's height in the picture, where the scale tells it; else the longest that is
        seen of the trunk stands for it.
    side_answers : sequence of SideAnswer
        What a person said of stretches that were asked about.
    """
    seen = ~np.isnan(raw.points_px[:, 0, 0])
    answers, mirrored = landmarks_of(raw.points_px), landmarks_of(raw.mirrored_px)
    torso_px = _torso_px(answers[seen], stature_px)
    reasons = np.zeros(answers.shape[:2], dtype=np.uint8)
    questions: list[SideQuestion] = []
    _mark(reasons, ~seen[:, None], "nobody")
    if seen.any():
        part = reasons[seen]
        own, other = answers[seen].copy(), mirrored[seen].copy()
        frames = raw.frames[seen]
        questions = _settle_sides(own, other, part, torso_px, frames, side_answers)
        middle = 0.5 * (own + other)
        _mark(part, landmark_peaks(raw.peaks[seen]) < _PEAKS, "peak")
        _judge(middle, _length(own - other), part, torso_px, size_px, frames)
        reasons[seen] = part
        answers[seen], mirrored[seen] = own, other
    return CheckedPoses(
        xy_px=0.5 * (answers + mirrored),
        u_px=_uncertainty(_length(answers - mirrored), raw.pixel_px),
        reasons=reasons,
        torso_px=torso_px,
        side_questions=tuple(questions),
    )


def _mark(reasons: NDArray[np.uint8], is_wrong: BoolArray, reason: Reason) -> None:
    """Note a reason where there is none yet, in place."""
    reasons[is_wrong & (reasons == 0)] = REASONS.index(reason)


def _length(vectors: FloatArray) -> FloatArray:
    length: FloatArray = np.hypot(vectors[..., 0], vectors[..., 1])
    return length


def _torso_px(landmarks: FloatArray, stature_px: float | None) -> float:
    if stature_px is not None:
        return TORSO_OVER_HEIGHT * stature_px
    if not len(landmarks):
        return float("nan")
    ends = [
        0.5 * (landmarks[:, ROW[f"left_{part}"]] + landmarks[:, ROW[f"right_{part}"]])
        for part in ("shoulder", "hip")
    ]
    return float(np.percentile(_length(ends[0] - ends[1]), 90))


def _settle_sides(
    own: FloatArray,
    other: FloatArray,
    reasons: NDArray[np.uint8],
    torso_px: float,
    frames: NDArray[np.int64],
    answers: Sequence[SideAnswer],
) -> list[SideQuestion]:
    """Put left and right in their places, in place; return what only a person can tell."""
    asked: dict[str, list[SideQuestion]] = {}
    for limb in LIMBS:
        left, right = pair_rows(limb)
        turned = is_other_way(own[:, left], own[:, right], other[:, left], other[:, right])
        _swap(other, turned, left, right)
        middle = 0.5 * (own + other)
        changed, uncertain = side_changes(middle[:, left], middle[:, right], torso_px)
        for answer in answers:
            # who told the arms apart told their hands apart too
            of_whole = answer.covers(WHOLE.get(limb, ""), frames)
            is_told = answer.covers(limb, frames) | of_whole
            uncertain = uncertain & ~is_told
            changed = np.where(is_told, answer.is_swapped & ~of_whole, changed)
        _swap(own, changed, left, right)
        _swap(other, changed, left, right)
        # where arms may have changed sides the shoulders may too, and the hips with the legs
        for row in (*left, *right, *rows_beside(limb)):
            _mark(reasons[:, row], uncertain | turned, "sides")
        # what is asked of the whole arm need not be asked of its hand
        known = asked.get(WHOLE.get(limb, ""), [])
        asked[limb] = [
            one
            for one in questions_of(limb, uncertain, frames)
            if not any(_overlap(one, whole) for whole in known)
        ]
    return [one for questions in asked.values() for one in questions]


def _overlap(one: SideQuestion, other: SideQuestion) -> bool:
    return one.first_frame <= other.last_frame and other.first_frame <= one.last_frame


def _swap(points: FloatArray, where: BoolArray, left: list[int], right: list[int]) -> None:
    rows = np.flatnonzero(where)[:, None]
    points[rows, left], points[rows, right] = points[rows, right], points[rows, left].copy()


def _judge(
    middle: FloatArray,
    apart: FloatArray,
    reasons: NDArray[np.uint8],
    torso_px: float,
    size_px: tuple[int, int],
    frames: NDArray[np.int64],
) -> None:
    """Note what the picture's edge, the mirrored answer, lengths and courses speak against."""
    edge = np.array(size_px) - 0.5
    beyond: BoolArray = np.any((middle < -0.5) | (middle > edge), axis=-1)
    _mark(reasons, beyond, "outside")
    _mark(reasons, apart > MIRROR_SHARE * torso_px, "mirror")
    for side in ("left", "right"):
        for near, far, usual, least, with_short, with_long in _SEGMENTS:
            length = _length(middle[:, ROW[f"{side}_{far}"]] - middle[:, ROW[f"{side}_{near}"]])
            share = length / (usual * torso_px)
            for falling, is_wrong in (with_short, share < least), (with_long, share > MOST_SHARE):
                for part in falling:
                    _mark(reasons[:, ROW[f"{side}_{part}"]], is_wrong, "length")
    is_fine = reasons == 0
    off = np.zeros(middle.shape[:2])
    late = ((frames[1:-1] - frames[:-2]) / (frames[2:] - frames[:-2]))[:, None, None]
    off[1:-1] = _length(middle[1:-1] - (1.0 - late) * middle[:-2] - late * middle[2:])
    # only between two that are believed: a wrong neighbour says nothing
    off[1:-1][~(is_fine[:-2] & is_fine[2:])] = 0.0
    _mark(reasons, off > COURSE_SHARE * torso_px, "course")
    is_wrong = reasons != 0
    alone = np.zeros_like(is_wrong)
    alone[1:-1] = is_wrong[:-2] & is_wrong[2:]
    _mark(reasons, alone, "alone")


def _uncertainty(apart: FloatArray, pixel_px: FloatArray) -> FloatArray:
    """Return u from how far both answers are apart, and from the input's pixel, px."""
    # of the mean of two: half of the difference, whose length counts both coordinates
    u: FloatArray = np.hypot(apart / math.sqrt(8.0), pixel_px[:, None] * _SHARED)
    return u
