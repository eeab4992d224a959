"""Where each unknown of a solve stands in the vector: cameras, clock offsets, control points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import N_PARAMETERS, PinholeCamera, camera_from

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Unknowns:
    """The order: seven numbers a camera, the offsets delivery by delivery, three a point.

    Attributes
    ----------
    sizes_px : tuple of tuple of int
        Picture size of each camera.
    radials : tuple of float
        Radial term of each camera; not solved for.
    n_deliveries : int
        Each has one offset for every camera but the first.
    point_keys : tuple of str
    """

    sizes_px: tuple[tuple[int, int], ...]
    radials: tuple[float, ...]
    n_deliveries: int
    point_keys: tuple[str, ...]

    @property
    def n_cameras(self) -> int:
        """Number of cameras."""
        return len(self.sizes_px)

    @property
    def n_calibration(self) -> int:
        """Number of unknowns that are not control points."""
        return N_PARAMETERS * self.n_cameras + self.n_deliveries * (self.n_cameras - 1)

    @property
    def n(self) -> int:
        """Number of all unknowns."""
        return self.n_calibration + 3 * len(self.point_keys)

    def camera_columns(self, number: int) -> slice:
        """Where a camera's seven numbers stand."""
        return slice(N_PARAMETERS * number, N_PARAMETERS * (number + 1))

    def offset_columns(self, delivery: int) -> slice:
        """Where a delivery's offsets stand, one for every camera but the first."""
        start = N_PARAMETERS * self.n_cameras + delivery * (self.n_cameras - 1)
        return slice(start, start + self.n_cameras - 1)

    def point_columns(self, key: str) -> slice:
        """Where a control point's place stands."""
        start = self.n_calibration + 3 * self.point_keys.index(key)
        return slice(start, start + 3)

    def delivery_columns(self, delivery: int) -> NDArray[np.intp]:
        """Where the numbers of all cameras and of one delivery's offsets stand."""
        offsets = self.offset_columns(delivery)
        return np.concatenate(
            [np.arange(N_PARAMETERS * self.n_cameras), np.arange(offsets.start, offsets.stop)]
        )

    def cameras(self, vector: Array) -> tuple[PinholeCamera, ...]:
        """Return the cameras of a vector."""
        return tuple(
            camera_from(vector[self.camera_columns(number)], size, radial)
            for number, (size, radial) in enumerate(zip(self.sizes_px, self.radials, strict=True))
        )

    def points_m(self, vector: Array) -> Array:
        """Return the control points of a vector, shape (n_points, 3), m."""
        return vector[self.n_calibration :].reshape(-1, 3)
