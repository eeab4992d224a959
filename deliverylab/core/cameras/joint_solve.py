"""All cameras of a delivery or a session in one least squares: places, clocks, points, body.

Cameras left in place while several deliveries are filmed share one solve; each further clip has an
offset of its own.  The clocks' rates are taken as equal: two phones part by less than 0.1 ms within
the seconds of a delivery.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.adjustment import Adjustment, Evidence, adjust
from deliverylab.core.cameras.body_facts import FilmedDelivery
from deliverylab.core.cameras.body_tracks import SmoothTracks, smooth_alike
from deliverylab.core.cameras.control import ControlPoint
from deliverylab.core.cameras.evidence_body import BodyEvidence
from deliverylab.core.cameras.evidence_field import (
    CameraSetUp,
    ClickEvidence,
    known_offsets,
    known_set_up,
    measured_places,
)
from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.cameras.resection import clicked_points, known_places
from deliverylab.core.cameras.starts import camera_from_points, nominal_camera
from deliverylab.core.cameras.synchronise import find_offset
from deliverylab.core.cameras.unknowns import Unknowns
from deliverylab.core.errors import InputValueError

Array = NDArray[np.float64]

BODY_OVER_HEIGHT = 0.95
"""Extent of the landmarks of a standing figure in the picture, over standing height."""


U_CLOCK_S = 6e-5
"""What smoothing, and a constant beside a joint that is not constant in the picture, add to an
offset's u: own simulation, n = 50."""


@dataclass(frozen=True, kw_only=True)
class Solution:
    """Cameras on one clock.

    Attributes
    ----------
    cameras : tuple of PinholeCamera
    offsets_s : Array, shape (n_deliveries, n_cameras), s
        Added to a camera's clock they give the first camera's; 0 for the first.
    covariance : Array, shape (n, n)
        Of the calibration vector: seven numbers a camera, then the offsets delivery by delivery.
    points_m : dict of str to Array
        Control points as the solve places them.
    adjustment : Adjustment
        Rows, residuals and their studentised form.
    unknowns : Unknowns
        Where each number stands.
    n_starts : int
        How many starts were tried.
    n_agreeing : int
        How many of them led to this minimum.
    left_out_shares : tuple of float
        Of each delivery's places, the share that lies too far off to take part.
    """

    cameras: tuple[PinholeCamera, ...]
    offsets_s: Array
    covariance: Array
    points_m: dict[str, Array]
    adjustment: Adjustment
    unknowns: Unknowns
    n_starts: int
    n_agreeing: int
    left_out_shares: tuple[float, ...]

    def delivery_covariance(self, number: int) -> Array:
        """Return the covariance of all cameras' numbers and one delivery's offsets."""
        columns = self.unknowns.delivery_columns(number)
        return self.covariance[np.ix_(columns, columns)]

    def u_offset_s(self, number: int) -> Array:
        """Return the standard uncertainty of a delivery's offsets, shape (n_cameras - 1,), s."""
        columns = self.unknowns.offset_columns(number)
        out: Array = np.sqrt(np.diag(self.covariance)[columns])
        return out


def solve_cameras(
    set_ups: Sequence[CameraSetUp],
    points: tuple[ControlPoint, ...],
    deliveries: Sequence[FilmedDelivery] = (),
    *,
    search_s: float = 0.0,
) -> Solution:
    """Solve all cameras of a session together.

    Parameters
    ----------
    set_ups : sequence of CameraSetUp
        Two or more, that see the same field.
    points : tuple of ControlPoint
    deliveries : sequence of FilmedDelivery
        What the cameras saw of bodies; without any, the clicks alone decide.
    search_s : float, s
        The offset is looked for within this on both sides of where it starts; 0: the start is good
        to some frames (event marks).

    Returns
    -------
    Solution
        The lowest of the minima that two or three starts lead to.

    Raises
    ------
    InputValueError
        Too few points clicked to tell where a camera stood, or clips that share no time.
    """
    used = clicked_points(points, set_ups)
    unknowns = Unknowns(
        sizes_px=tuple(each.size_px for each in set_ups),
        radials=tuple(each.radial for each in set_ups),
        n_deliveries=len(deliveries),
        point_keys=tuple(point.key for point in used),
    )
    field: list[Evidence] = [
        *(ClickEvidence(unknowns, number, each) for number, each in enumerate(set_ups)),
        measured_places(unknowns, used),
        known_set_up(unknowns, set_ups),
        known_offsets(unknowns, deliveries),
    ]
    starts = _starts(set_ups, used, deliveries)
    smooth = [smooth_alike(each.tracks) for each in deliveries]
    if search_s:
        deliveries = [
            _searched(starts[0], each, ready, search_s)
            for each, ready in zip(deliveries, smooth, strict=True)
        ]
    bodies = [BodyEvidence(unknowns, row, each, smooth[row]) for row, each in enumerate(deliveries)]
    offsets = [np.array(each.offsets_s) for each in deliveries]
    solved = [
        adjust(
            [*field, *bodies],
            np.concatenate(
                [
                    *(camera.parameters for camera in cameras),
                    *offsets,
                    *_point_starts(cameras, used, set_ups),
                ]
            ),
        )
        for cameras in starts
    ]
    best = min(solved, key=lambda each: each.chi_square)
    close = 1.0 + 0.01 * best.chi_square
    n_agreeing = sum(each.chi_square - best.chi_square < close for each in solved)
    left_out: list[float] = []
    if bodies:
        # once more without the single places that lie far from where the others put them
        kept = [body.refined(best.unknowns) for body in bodies]
        left_out = [
            float(np.sum(all_of.is_used & ~some.is_used)) / max(int(all_of.is_used.sum()), 1)
            for all_of, some in zip(bodies, kept, strict=True)
        ]
        best = adjust([*field, *kept], best.unknowns)
    found = _solution(unknowns, best, len(solved), n_agreeing)
    return replace(found, left_out_shares=tuple(left_out))


def _solution(unknowns: Unknowns, best: Adjustment, n_starts: int, n_agreeing: int) -> Solution:
    n_calibration = unknowns.n_calibration
    offsets = [best.unknowns[unknowns.offset_columns(row)] for row in range(unknowns.n_deliveries)]
    covariance = best.covariance[:n_calibration, :n_calibration].copy()
    clocks = np.arange(unknowns.camera_columns(unknowns.n_cameras).start, n_calibration)
    covariance[clocks, clocks] += U_CLOCK_S**2
    return Solution(
        cameras=unknowns.cameras(best.unknowns),
        offsets_s=np.array([np.concatenate([[0.0], each]) for each in offsets]).reshape(
            -1, unknowns.n_cameras
        ),
        covariance=covariance,
        points_m={key: best.unknowns[unknowns.point_columns(key)] for key in unknowns.point_keys},
        adjustment=best,
        unknowns=unknowns,
        n_starts=n_starts,
        n_agreeing=n_agreeing,
        left_out_shares=(),
    )


def _starts(
    set_ups: Sequence[CameraSetUp],
    points: tuple[ControlPoint, ...],
    deliveries: Sequence[FilmedDelivery],
) -> list[tuple[PinholeCamera, ...]]:
    """Return the nominal set-up, and cameras by points alone where they have enough of them."""
    known = known_places(points)
    nominal = tuple(
        nominal_camera(each, known, _distance_by_body(each, number, deliveries))
        for number, each in enumerate(set_ups)
    )
    by_points = tuple(
        camera_from_points(each, known) or there
        for each, there in zip(set_ups, nominal, strict=True)
    )
    is_new = any(a is not b for a, b in zip(by_points, nominal, strict=True))
    return [nominal, by_points] if is_new else [nominal]


def _distance_by_body(
    set_up: CameraSetUp, number: int, deliveries: Sequence[FilmedDelivery]
) -> float | None:
    """Tell a camera's distance by the largest extent of a body of known height."""
    for delivery in deliveries:
        y_px = delivery.tracks[number].places_px[..., 1]
        seen = y_px[np.isfinite(y_px).sum(axis=1) > 0.7 * np.isfinite(y_px).sum(axis=1).max()]
        if np.isfinite(delivery.facts.height_m) and len(seen):
            extent = float(np.max(np.nanmax(seen, axis=1) - np.nanmin(seen, axis=1)))
            return set_up.focal_px * BODY_OVER_HEIGHT * delivery.facts.height_m / extent
    return None


def _searched(
    cameras: tuple[PinholeCamera, ...],
    delivery: FilmedDelivery,
    smooth: tuple[SmoothTracks, ...],
    search_s: float,
) -> FilmedDelivery:
    """Return the delivery with the offsets at which its lines of sight meet best."""
    offsets = []
    for row in range(1, len(cameras)):
        pair = (cameras[0], cameras[row])
        found = find_offset(pair, delivery, row, search_s=search_s, smooth=smooth)
        offsets.append(found.offset_s)
    return replace(delivery, offsets_s=tuple(offsets))


def _point_starts(
    cameras: tuple[PinholeCamera, ...],
    points: tuple[ControlPoint, ...],
    set_ups: Sequence[CameraSetUp],
) -> list[Array]:
    """Return where control points may be: as measured, or where lines of sight come nearest."""
    known = known_places(points)
    places: dict[str, Array] = {}
    for point in points:
        if point.key in known:
            places[point.key] = known[point.key]
        elif point.above:
            places[point.key] = places[point.above] + np.array(point.place_m)
        else:
            places[point.key] = _crossing(cameras, set_ups, point)
    return list(places.values())


def _crossing(
    cameras: tuple[PinholeCamera, ...], set_ups: Sequence[CameraSetUp], point: ControlPoint
) -> Array:
    lines = [
        (camera.position_m, camera.rays(*each.clicks_px[point.key]))
        for camera, each in zip(cameras, set_ups, strict=True)
        if point.key in each.clicks_px
    ]
    if len(lines) < 2:
        raise InputValueError(
            "a point of unknown place must be clicked in two pictures",
            where=point.name,
            remedy="click it in the other picture too, or measure where it is",
        )
    across = [np.eye(3) - np.outer(ray, ray) / (ray @ ray) for _, ray in lines]
    origins = np.array([origin for origin, _ in lines])
    values = np.einsum("nij,nj->i", np.array(across), origins)
    out: Array = np.linalg.solve(np.sum(across, axis=0), values)
    return out
