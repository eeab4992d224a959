"""One camera solved by itself: where it stood, how it was turned, and its focal length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.adjustment import Adjustment, Evidence, adjust
from deliverylab.core.cameras.control import ControlPoint, places_of
from deliverylab.core.cameras.evidence_field import (
    CameraSetUp,
    ClickEvidence,
    known_set_up,
    measured_places,
)
from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.cameras.starts import camera_from_points, nominal_camera
from deliverylab.core.cameras.unknowns import Unknowns
from deliverylab.core.errors import InputValueError

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Resection:
    """A camera solved alone.

    Attributes
    ----------
    camera : PinholeCamera
    covariance : Array, shape (7, 7)
        Of its seven numbers.
    points_m : dict of str to Array
        Control points as the solve places them.
    adjustment : Adjustment
        Rows, residuals and their studentised form.
    """

    camera: PinholeCamera
    covariance: Array
    points_m: dict[str, Array]
    adjustment: Adjustment


def clicked_points(
    points: tuple[ControlPoint, ...], set_ups: Sequence[CameraSetUp]
) -> tuple[ControlPoint, ...]:
    """Return the points that take part: clicked somewhere, or counted from by one that is.

    Raises
    ------
    InputValueError
        A click names no control point.
    """
    keys = {key for set_up in set_ups for key in set_up.clicks_px}
    strangers = keys - {point.key for point in points}
    if strangers:
        raise InputValueError(
            "a click names a point that the field does not hold",
            where=", ".join(sorted(strangers)),
            remedy="add the control point, or take the click away",
        )
    keys |= {point.above for point in points if point.key in keys and point.above}
    return tuple(point for point in points if point.key in keys)


def known_places(points: tuple[ControlPoint, ...]) -> dict[str, Array]:
    """Return the places of points that are known in all three directions, m."""
    known: dict[str, Array] = {}
    places = places_of(points)
    for point in points:
        is_held = not point.above or point.above in known
        if is_held and np.all(np.isfinite(point.u_m)):
            known[point.key] = np.array(places[point.key])
    return known


def solve_camera(set_up: CameraSetUp, points: tuple[ControlPoint, ...]) -> Resection:
    """Solve one camera from its clicks.

    Parameters
    ----------
    set_up : CameraSetUp
    points : tuple of ControlPoint
        Those of unknown place are left out: one camera cannot place them.

    Returns
    -------
    Resection
        The lowest of the minima found from the nominal set-up and from points alone.

    Raises
    ------
    InputValueError
        Too few points of known place are clicked.
    """
    known = known_places(points)
    used = tuple(p for p in clicked_points(points, (set_up,)) if p.key in known)
    unknowns = Unknowns(
        sizes_px=(set_up.size_px,),
        radials=(set_up.radial,),
        n_deliveries=0,
        point_keys=tuple(point.key for point in used),
    )
    evidence: list[Evidence] = [
        ClickEvidence(unknowns, 0, set_up),
        measured_places(unknowns, used),
        known_set_up(unknowns, (set_up,)),
    ]
    cameras = (nominal_camera(set_up, known), camera_from_points(set_up, known))
    places = [known[point.key] for point in used]
    solved = [
        adjust(evidence, np.concatenate([camera.parameters, *places]))
        for camera in cameras
        if camera is not None
    ]
    best = min(solved, key=lambda each: each.chi_square)
    return Resection(
        camera=unknowns.cameras(best.unknowns)[0],
        covariance=best.covariance[:7, :7],
        points_m={p.key: best.unknowns[unknowns.point_columns(p.key)] for p in used},
        adjustment=best,
    )
