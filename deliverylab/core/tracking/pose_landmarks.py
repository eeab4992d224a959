"""Which of the network's 33 points make which landmark, and what is made of several.

The shoulders, elbows, wrists, hips, knees, ankles, heels and toes are points of their own.  The
third knuckle lies between those of the index and the little finger.  The top of the head and the
base of the neck are not among the points: they follow from ears and shoulders by the usual
proportions of a standing body, and are of use only where the ears are clearly seen.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.tracking.pose import N_POINTS

FloatArray = NDArray[np.float64]

# Left first; right is the next.
_DIRECT = {
    "shoulder": 11, "elbow": 13, "wrist": 15, "hip": 23, "knee": 25, "ankle": 27, "heel": 29,
    "toe": 31,
}  # fmt: skip
_LITTLE_KNUCKLE, _INDEX_KNUCKLE, _EAR = 17, 19, 7
# Shares of stature above the shoulders' line (0.82): ear hole 0.93, top 1, base of the neck 0.86.
# Common practice: rounded proportions of standing adults.
_TOP_OVER_EAR = 1.6
_NECK_OVER_EAR = 0.4


def _weights() -> tuple[tuple[str, ...], FloatArray]:
    rows: dict[str, FloatArray] = {}
    ears, shoulders = np.zeros(N_POINTS), np.zeros(N_POINTS)
    ears[[_EAR, _EAR + 1]] = 0.5
    first = _DIRECT["shoulder"]
    shoulders[[first, first + 1]] = 0.5
    rows["head_top"] = shoulders + _TOP_OVER_EAR * (ears - shoulders)
    rows["neck"] = shoulders + _NECK_OVER_EAR * (ears - shoulders)
    for number, side in enumerate(("left", "right")):
        for part, left in _DIRECT.items():
            rows[f"{side}_{part}"] = np.eye(N_POINTS)[left + number]
        hand = np.zeros(N_POINTS)
        hand[_INDEX_KNUCKLE + number], hand[_LITTLE_KNUCKLE + number] = 2 / 3, 1 / 3
        rows[f"{side}_hand"] = hand
    return tuple(rows), np.array(list(rows.values()))


KEYS, _WEIGHTS = _weights()
"""Landmarks that are suggested, in the order of the arrays."""
PART = {key: key.removeprefix("left_").removeprefix("right_") for key in KEYS}
"""What each is without its side."""
ROW = {key: row for row, key in enumerate(KEYS)}
"""Where each stands in the arrays."""


def _seen_by() -> NDArray[np.bool_]:
    """Return which points have to be clear for a landmark, shape (20, 33)."""
    enters: NDArray[np.bool_] = _WEIGHTS != 0.0
    # knuckles are small and seldom clear; they are right where the wrist is
    for side in ("left", "right"):
        enters[ROW[f"{side}_hand"]] = enters[ROW[f"{side}_wrist"]]
    return enters


_SEEN_BY = _seen_by()

LIMBS: dict[str, tuple[str, ...]] = {
    "arm": ("elbow", "wrist", "hand"),
    "leg": ("knee", "ankle", "heel", "toe"),
    "hand": ("wrist", "hand"),
    "foot": ("ankle", "heel", "toe"),
    "shoulder": ("shoulder",),
    "hip": ("hip",),
}
"""What changes sides together: whole limbs, their far ends, and the pairs that they hang on."""
_ROOTS = {"arm": ("shoulder",), "leg": ("hip",), "hand": ("elbow", "shoulder"), "foot": ("knee",)}
"""What a limb hangs on."""


WHOLE = {"hand": "arm", "foot": "leg"}
"""What each far end belongs to."""


def landmarks_of(points_px: FloatArray) -> FloatArray:
    """Return the landmarks of the network's points, shape (..., 33, 2) to (..., 20, 2), px."""
    made: FloatArray = _WEIGHTS @ points_px
    return made


def landmark_peaks(peaks: FloatArray) -> FloatArray:
    """Return how clearly each landmark is seen, shape (..., 33) to (..., 20): its poorest point."""
    least: FloatArray = np.where(_SEEN_BY, peaks[..., None, :], np.inf).min(axis=-1)
    return least


def pair_rows(limb: str) -> tuple[list[int], list[int]]:
    """Return the rows of a limb's landmarks, left and right."""
    left, right = ([ROW[f"{side}_{part}"] for part in LIMBS[limb]] for side in ("left", "right"))
    return left, right


def rows_beside(limb: str) -> list[int]:
    """Return the rows of the pair of landmarks that a limb hangs on; none for such a pair."""
    return [ROW[f"{side}_{part}"] for part in _ROOTS.get(limb, ()) for side in ("left", "right")]
