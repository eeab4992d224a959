"""What points in space say of themselves: limbs that keep their length, places that do not fit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.body_facts import LIMBS, limb_lengths_m
from deliverylab.core.cameras.triangulate import SpacePoints
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class LimbLength:
    """One limb over a delivery.

    Attributes
    ----------
    start, end : str
        Landmarks.
    length_m : float, m
        Mean.
    spread_m : float, m
        Standard deviation over the instants; a limb has one length, so it is error of placing.
    n : int
        Instants at which both ends are known.
    """

    start: str
    end: str
    length_m: float
    spread_m: float
    n: int


@dataclass(frozen=True, kw_only=True)
class Misplaced:
    """A place in one instant that the views do not agree on.

    Attributes
    ----------
    instant : int
        Row of what was asked.
    landmark : str
    misfit : float
        Root of the squared residuals, in units of u.
    camera : int
        View with the largest residual; with two views it may be either.
    """

    instant: int
    landmark: str
    misfit: float
    camera: int


def limb_constancy(space: SpacePoints) -> tuple[LimbLength, ...]:
    """Return how constant the limbs are, for points of shape (n, n_landmarks).

    Returns
    -------
    tuple of LimbLength
        Limbs known in fewer than two instants are left out.
    """
    lengths = limb_lengths_m(space.points_m)
    found = []
    for column, (start, end) in enumerate(LIMBS):
        known = lengths[np.isfinite(lengths[:, column]), column]
        if len(known) >= 2:
            found.append(
                LimbLength(
                    start=LANDMARK_KEYS[start],
                    end=LANDMARK_KEYS[end],
                    length_m=float(np.mean(known)),
                    spread_m=float(np.std(known, ddof=1)),
                    n=len(known),
                )
            )
    return tuple(found)


def misplaced(space: SpacePoints) -> tuple[Misplaced, ...]:
    """List the places that the views contradict, or that one was left out of; worst first.

    Parameters
    ----------
    space : SpacePoints
        Of shape (n, n_landmarks), landmarks in the vocabulary's order.
    """
    size = np.nan_to_num(np.sum(space.residuals_px**2, axis=-1))
    is_seen = np.isfinite(space.residuals_px).all(axis=-1)
    is_left_out = np.any(is_seen & ~space.is_used, axis=0) & np.isfinite(space.chi_square)
    rows = np.argwhere(space.is_suspect | is_left_out)
    found = [
        Misplaced(
            instant=int(instant),
            landmark=LANDMARK_KEYS[column],
            misfit=float(np.sqrt(space.misfit[instant, column])),
            camera=int(np.argmax(size[:, instant, column])),
        )
        for instant, column in rows
    ]
    return tuple(sorted(found, key=lambda each: -each.misfit))
