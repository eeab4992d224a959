"""Evidence of the body: sight lines that must meet, height, feet on the ground, constant limbs."""

from __future__ import annotations

from copy import copy
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.adjustment import Row
from deliverylab.core.cameras.body_facts import (
    INDEX,
    LIMBS,
    FilmedDelivery,
    chain_m,
    limb_lengths_m,
)
from deliverylab.core.cameras.body_tracks import SmoothTracks, smooth_alike
from deliverylab.core.cameras.epipolar import (
    Sight,
    lines_of_sight,
    missing_distance,
    nearest_points,
    shift_slopes,
    shift_whitener,
    without_constant,
)
from deliverylab.core.cameras.ground import ground_height_m
from deliverylab.core.cameras.pinhole import (
    N_PARAMETERS,
    PinholeCamera,
    projection_jacobian,
)
from deliverylab.core.cameras.unknowns import Unknowns
from deliverylab.core.errors import InputValueError
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

Array = NDArray[np.float64]

U_CONTACT_M = 0.030
SOLE_M = 0.020
"""Heel and toe landmarks above the ground under a standing shoe: judgement."""
U_LENGTH_M = 0.040
N_LENGTHS = 4.0
"""A limb's lengths over a whole delivery count as this many independent ones: weak evidence."""
END_S = 0.010
"""Instants stay this far from ends and gaps, so that the offset can move."""
STEPS = np.array([1e-6] * 3 + [1e-5] * 3 + [1e-6])
OFFSET_STEP_S = 1e-5
FAR_OUT = 4.0
"""Residuals of single places beyond this many u are left out of the last solve."""


class BodyEvidence:
    """The body's places in two cameras or more, for one delivery of a solve.

    Parameters
    ----------
    unknowns : Unknowns
    number : int
        Which delivery.
    delivery : FilmedDelivery
    smooth : tuple of SmoothTracks, optional
        The tracks where they are smoothed already.

    Attributes
    ----------
    is_used : ndarray of bool, shape (n_pairs, n_instants, n_landmarks)
        Which places take part.

    Raises
    ------
    InputValueError
        The cameras' tracks share no time at the offset they start from.
    """

    def __init__(
        self,
        unknowns: Unknowns,
        number: int,
        delivery: FilmedDelivery,
        smooth: tuple[SmoothTracks, ...] | None = None,
    ) -> None:
        self._unknowns, self._number, self.delivery = unknowns, number, delivery
        self._whitener: Array | None = None
        self.smooth = smooth or smooth_alike(delivery.tracks)
        self.pairs = tuple(combinations(range(unknowns.n_cameras), 2))
        self.instants_s = self._instants()
        self._times_s = np.concatenate([self.instants_s, [t for _, t in delivery.standing]])
        # there also when the offset has moved a little: no place comes or goes during a solve
        shifts = np.array([-END_S, 0.0, END_S])[:, None]
        places = self._places(np.array([delivery.offsets_s]) + shifts)
        n = len(self.instants_s)
        there = [np.isfinite(each[:, :n, :, 0]).all(axis=0) for each in places]
        self.is_used = np.stack([there[a] & there[b] for a, b in self.pairs])
        self.rows = self._row_names()

    @property
    def n_informative(self) -> float:
        """Sight lines that take part, and rows that are not empty; limbs count as weak."""
        n_limbs = N_LENGTHS * len(LIMBS) * bool(self.is_used.any())
        n_standing = len(self.delivery.standing)
        return float(self.is_used.sum() + self._has_height + n_standing + n_limbs)

    @property
    def _has_height(self) -> bool:
        return bool(np.isfinite(self.delivery.facts.height_m))

    def _instants(self) -> Array:
        shifts = (0.0, *self.delivery.offsets_s)
        start = max(s.start_s + shift for s, shift in zip(self.smooth, shifts, strict=True))
        end = min(s.end_s + shift for s, shift in zip(self.smooth, shifts, strict=True))
        instants = np.arange(start + END_S, end - END_S, max(s.apart_s for s in self.smooth))
        if len(instants) < 2:
            raise InputValueError(
                "the clips of these cameras share no time",
                where="clock offset",
                remedy="mark the same event in both clips",
            )
        return instants

    def _row_names(self) -> tuple[Row, ...]:
        n = len(self.instants_s)
        number = self._number
        sights = [Row("body", key, delivery=number) for key in LANDMARK_KEYS]
        limbs = [
            Row("segment", f"{LANDMARK_KEYS[a]}–{LANDMARK_KEYS[b]}", delivery=number)
            for a, b in LIMBS
        ]
        return (
            *(sights * (n * len(self.pairs))),
            Row("height", delivery=number),
            *(Row("contact", key, delivery=number) for key, _ in self.delivery.standing),
            *(limbs * n),
        )

    def _places(self, offsets_s: Array) -> list[Array]:
        """Read all cameras at all instants, each shape (batch or 1, n, n_landmarks, 2)."""
        first = self.smooth[0].at(self._times_s)[None]
        others = [
            smooth.at(self._times_s - offsets_s[:, row, None])
            for row, smooth in enumerate(self.smooth[1:])
        ]
        return [first, *others]

    def sights(self, numbers: Array) -> list[Sight]:
        """Return all lines of sight for a batch of cameras and offsets."""
        n_cameras = self._unknowns.n_cameras
        places = self._places(numbers[:, N_PARAMETERS * n_cameras :])
        return [
            lines_of_sight(
                numbers[:, self._unknowns.camera_columns(row)],
                self._unknowns.sizes_px[row],
                self._unknowns.radials[row],
                places[row],
            )
            for row in range(n_cameras)
        ]

    def misses(self, sights: list[Sight]) -> Array:
        """Return whitened distances of sight lines, shape (batch, n_pairs, n, n_landmarks)."""
        n = len(self.instants_s)
        out = []
        for row, (a, b) in enumerate(self.pairs):
            u = [(self.smooth[each].u_px, self.smooth[each].bias_px) for each in (a, b)]
            distance, ratio = missing_distance(sights[a], sights[b], *u)
            is_there = self.is_used[row] & np.isfinite(distance[:, :n]).all(axis=0)
            distance, ratio = np.nan_to_num(distance[:, :n]), np.nan_to_num(ratio[:, :n])
            if self._whitener is None:
                out.append(without_constant(distance, ratio, is_there))
            else:
                used = np.where(is_there, distance, 0.0)
                out.append(np.einsum("lij,bjl->bil", self._whitener[row], used))
        return np.stack(out, axis=1)

    def _batch(self, numbers: Array) -> Array:
        """Return all residuals for a batch, shape (batch, n_rows)."""
        sights = self.sights(numbers)
        misses = self.misses(sights).reshape(len(numbers), -1)
        near = [nearest_points(sights[a], sights[b]) for a, b in self.pairs]
        points = near[0] if len(near) == 1 else _mean_of(near)
        n = len(self.instants_s)
        return np.concatenate(
            [
                misses,
                self._height(points[:, :n])[:, None],
                self._contacts(points[:, n:]),
                _limb_changes(points[:, :n]),
            ],
            axis=1,
        )

    def _height(self, points: Array) -> Array:
        if not self._has_height:
            return np.zeros(len(points))
        facts, chain = self.delivery.facts, chain_m(points)
        known = np.isfinite(chain)
        n = np.maximum(known.sum(axis=1), 1)
        mean = np.where(known, chain, 0.0).sum(axis=1) / n
        error = (mean / facts.chain_m - 1.0) / facts.u_chain_share
        return np.asarray(np.where(known.any(axis=1), error, 0.0), dtype=np.float64)

    def _contacts(self, points: Array) -> Array:
        places = [points[:, row, INDEX[key]] for row, (key, _) in enumerate(self.delivery.standing)]
        if not places:
            return np.empty((len(points), 0))
        feet = np.stack(places, axis=1)
        ground = ground_height_m(feet[..., 0], feet[..., 1], self.delivery.facts.mound_height_m)
        error = (feet[..., 2] - ground - SOLE_M) / U_CONTACT_M
        return np.where(np.isfinite(error).all(axis=0), error, 0.0)

    def _numbers(self, unknowns: Array) -> Array:
        return np.take(unknowns, self._unknowns.delivery_columns(self._number))

    def residuals(self, unknowns: Array) -> Array:
        """Return all residuals, in u."""
        only: Array = self._batch(self._numbers(unknowns)[None])[0]
        return only

    def jacobian(self, unknowns: Array) -> Array:
        """Return slopes by the cameras' numbers and this delivery's offsets, by small steps."""
        numbers = self._numbers(unknowns)
        n_cameras = self._unknowns.n_cameras
        steps = np.concatenate([np.tile(STEPS, n_cameras), np.full(n_cameras - 1, OFFSET_STEP_S)])
        batch = self._batch(np.vstack([numbers, numbers + np.diag(steps)]))
        slopes = np.zeros((batch.shape[1], self._unknowns.n))
        columns = self._unknowns.delivery_columns(self._number)
        slopes[:, columns] = ((batch[1:] - batch[0]) / steps[:, None]).T
        return slopes

    def refined(self, unknowns: Array) -> BodyEvidence:
        """Return the evidence for a last solve that begins near its end.

        Places far from where the others put them are left out; and what is seen beside a joint is
        constant in space, not in the picture: it grows as the body comes nearer, as a wrong focal
        length would have it.
        """
        sights = self.sights(self._numbers(unknowns)[None])
        kept = copy(self)
        kept.is_used = self.is_used & (np.abs(self.misses(sights)[0]) <= FAR_OUT)
        n, cameras = len(self.instants_s), self._unknowns.cameras(unknowns)
        whitener = []
        for row, (a, b) in enumerate(self.pairs):
            points = nearest_points(sights[a], sights[b])[0]
            by_point = (_relative(cameras[a], points), _relative(cameras[b], points))
            u = [(self.smooth[each].u_px, self.smooth[each].bias_px) for each in (a, b)]
            slopes = shift_slopes(sights[a], sights[b], u[0], u[1], by_point)[:n]
            whitener.append(
                shift_whitener(np.where(kept.is_used[row][..., None], np.nan_to_num(slopes), 0.0))
            )
        kept._whitener = np.stack(whitener)  # noqa: SLF001 - a copy of ourselves
        return kept


def _relative(camera: PinholeCamera, points: Array) -> Array:
    """Return how places move with points, relative to the mean scale of the picture."""
    by_point = projection_jacobian(camera, points)[2]
    depth_m = camera.to_camera(points)[..., 2]
    mean_m = float(np.mean(depth_m[np.isfinite(depth_m)])) if np.isfinite(depth_m).any() else 1.0
    out: Array = by_point * (mean_m / camera.focal_px)
    return out


def _mean_of(near: list[Array]) -> Array:
    """Average over pairs of cameras where they have something, without a warning where none has."""
    stacked = np.stack(near)
    known = np.isfinite(stacked)
    total = np.where(known, stacked, 0.0).sum(axis=0)
    n = known.sum(axis=0)
    out: Array = np.where(n > 0, total / np.maximum(n, 1), np.nan)
    return out


def _limb_changes(points: Array) -> Array:
    """Return each limb's lengths less their mean, in u and weak, shape (batch, n * n_limbs)."""
    lengths = limb_lengths_m(points)
    known = np.isfinite(lengths)
    n = np.maximum(known.sum(axis=1, keepdims=True), 1)
    mean = np.where(known, lengths, 0.0).sum(axis=1, keepdims=True) / n
    u = U_LENGTH_M * np.sqrt(np.maximum(n / N_LENGTHS, 1.0))
    out: Array = np.where(known, (lengths - mean) / u, 0.0).reshape(len(points), -1)
    return out
