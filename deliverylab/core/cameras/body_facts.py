"""What is known of a filmed body, and lengths taken from its places in space.

References
----------
.. [1] de Leva P (1996). J Biomech 29:1223-1230, table 4: head and neck-to-hip length with the neck at
   the seventh cervical vertebra, thigh and shank over stature.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_tracks import CameraTracks
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

Array = NDArray[np.float64]

CHAIN_OVER_HEIGHT = {
    "male": (242.9 + 603.3 + 422.2 + 434.0) / 1741.0,
    "female": (243.7 + 614.8 + 368.5 + 432.3) / 1735.0,
}
"""Head top to neck to middle of the hips to knee to ankle, over standing height [1]_."""
U_HEIGHT_SHARE = 0.015
INDEX = {key: row for row, key in enumerate(LANDMARK_KEYS)}
LIMBS = tuple(
    (INDEX[f"{side}_{a}"], INDEX[f"{side}_{b}"])
    for side in ("left", "right")
    for a, b in (("shoulder", "elbow"), ("elbow", "wrist"), ("hip", "knee"), ("knee", "ankle"))
)


@dataclass(frozen=True, kw_only=True)
class BodyFacts:
    """What is known of the athlete and of the ground.

    Attributes
    ----------
    height_m : float
        Standing height; NaN where it is not known.
    u_height_share : float
        Of the body's length against its height, relative.
    female_share : float
        1 for a woman, 0 for a man, 0.5 where it is not known.
    mound_height_m : float
        Of the rubber above the field.
    """

    height_m: float = float("nan")
    u_height_share: float = U_HEIGHT_SHARE
    female_share: float = 0.5
    mound_height_m: float = 0.254

    @property
    def chain_m(self) -> float:
        """Usual length of head, trunk, thigh and shank together."""
        share = self.female_share
        mix = share * CHAIN_OVER_HEIGHT["female"] + (1.0 - share) * CHAIN_OVER_HEIGHT["male"]
        return self.height_m * mix

    @property
    def u_chain_share(self) -> float:
        """Relative u of that length: wider where it is not known whose table holds."""
        apart = CHAIN_OVER_HEIGHT["male"] / CHAIN_OVER_HEIGHT["female"] - 1.0
        doubt = apart * np.sqrt(self.female_share * (1.0 - self.female_share))
        return float(np.hypot(self.u_height_share, doubt))


@dataclass(frozen=True, kw_only=True)
class FilmedDelivery:
    """One delivery as all cameras saw it.

    Attributes
    ----------
    tracks : tuple of CameraTracks
        One a camera; landmarks in the vocabulary's order.
    offsets_s : tuple of float, s
        Start for what is added to each further camera's clock to give the first camera's.
    u_offset_s : float, s
        How well that start is known: from an event marked in both clips; infinite where it is a
        guess.
    standing : tuple of (str, float)
        Landmarks that touch the ground at an instant of the first camera's clock.
    facts : BodyFacts
    """

    tracks: tuple[CameraTracks, ...]
    offsets_s: tuple[float, ...]
    u_offset_s: float = float("inf")
    standing: tuple[tuple[str, float], ...] = ()
    facts: BodyFacts = BodyFacts()


def length_m(vectors: Array) -> Array:
    """Return the length of vectors, shape (..., 3), m."""
    out: Array = np.sqrt(np.einsum("...i,...i->...", vectors, vectors))
    return out


def chain_m(points: Array) -> Array:
    """Return head to neck to hips to knee to ankle, mean of both legs, from (..., n_landmarks, 3)."""
    hips = 0.5 * (points[..., INDEX["left_hip"], :] + points[..., INDEX["right_hip"], :])
    neck = points[..., INDEX["neck"], :]
    chain = length_m(points[..., INDEX["head_top"], :] - neck) + length_m(neck - hips)
    for side in ("left", "right"):
        hip, knee, ankle = (points[..., INDEX[f"{side}_{p}"], :] for p in ("hip", "knee", "ankle"))
        chain = chain + 0.5 * (length_m(hip - knee) + length_m(knee - ankle))
    return chain


def limb_lengths_m(points: Array) -> Array:
    """Return the lengths of `LIMBS` from (..., n_landmarks, 3), shape (..., n_limbs), m."""
    return np.stack([length_m(points[..., a, :] - points[..., b, :]) for a, b in LIMBS], axis=-1)
