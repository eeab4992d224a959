"""What is left of each clicked control point: in pixels, in millimetres, and against its u."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.adjustment import Adjustment
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.pinhole import PinholeCamera

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class PointResidual:
    """One control point in one picture.

    Attributes
    ----------
    point, camera : str
        Key of the point and name of the camera.
    clicked_px, projected_px : tuple of float
        Where it was clicked, and where the solution puts it.
    gap_px, gap_mm : float
        How far these are apart, in the picture and at the point's distance.
    studentised : float
        The larger of both directions' studentised residuals; NaN where nothing else checks it.
    """

    point: str
    camera: str
    clicked_px: tuple[float, float]
    projected_px: tuple[float, float]
    gap_px: float
    gap_mm: float
    studentised: float


@dataclass(frozen=True, kw_only=True)
class PlaceResidual:
    """One control point against what was measured of it.

    Attributes
    ----------
    point : str
    studentised : float
        The largest over the measured directions; NaN where nothing else checks it.
    """

    point: str
    studentised: float


def click_residuals(
    set_ups: Sequence[CameraSetUp],
    cameras: Sequence[PinholeCamera],
    points_m: Mapping[str, Array],
    adjustment: Adjustment,
) -> tuple[PointResidual, ...]:
    """Return all clicks of a solution, of one camera or of several.

    Parameters
    ----------
    set_ups, cameras : sequence
        In the same order.
    points_m : mapping of str to ndarray, shape (3,), m
        Control points as the solution places them.
    adjustment : Adjustment
        The solution's.
    """
    found = []
    for number, (set_up, camera) in enumerate(zip(set_ups, cameras, strict=True)):
        for key, clicked in set_up.clicks_px.items():
            if key not in points_m:
                continue
            projected = camera.project(points_m[key])
            gap = float(np.hypot(*(projected - clicked)))
            depth_m = float(camera.to_camera(points_m[key])[2])
            found.append(
                PointResidual(
                    point=key,
                    camera=set_up.name,
                    clicked_px=clicked,
                    projected_px=(float(projected[0]), float(projected[1])),
                    gap_px=gap,
                    gap_mm=1e3 * gap * depth_m / camera.focal_px,
                    studentised=_largest(adjustment, "click", key, number),
                )
            )
    return tuple(found)


def place_residuals(adjustment: Adjustment) -> tuple[PlaceResidual, ...]:
    """Return all measured places of a solution, in the order of its points."""
    keys = dict.fromkeys(row.about for row in adjustment.rows if row.kind == "place")
    return tuple(
        PlaceResidual(point=key, studentised=_largest(adjustment, "place", key)) for key in keys
    )


def _largest(adjustment: Adjustment, kind: str, about: str, camera: int = -1) -> float:
    sizes = [
        abs(float(size))
        for row, size in zip(adjustment.rows, adjustment.studentised, strict=True)
        if (row.kind, row.about, row.camera) == (kind, about, camera) and np.isfinite(size)
    ]
    return max(sizes, default=float("nan"))
