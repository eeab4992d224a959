"""One camera and one plane: pixels to metres in the vertical plane the picture shows.

The camera stands at distance D from the plane of motion, its line of sight turned by the yaw ψ from
square.  A point of the plane at p (to the right) and v (up) from where the optical axis meets it,
lying q behind the plane, is seen at

    a = (p cos ψ + q sin ψ) / (1 + κ(q cos ψ − p sin ψ)),  b = v / (1 + κ(q cos ψ − p sin ψ)),

with κ = 1/D and a, b in metres at that distance.  Solved for p and v this turns pixels into metres;
q is not seen by one camera: it is zero, with an uncertainty.

References
----------
.. [1] Robertson DGE et al. (2014). Research Methods in Biomechanics, 2nd ed., ch. 2 (planar scaling).
   The formulas are the pinhole projection of a plane written out.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

UNKNOWN_NEARNESS_PER_M = 1.0 / 7.0
"""κ taken where the camera distance is not known: a phone at 1× is commonly about 7 m away."""
UNKNOWN_NEARNESS_U_PER_M = 0.04
"""Its standard uncertainty: covers 4.5 m to beyond 15 m at k = 2."""


@dataclass(frozen=True)
class PlanarCamera:
    """A camera over a plane; every field a scalar array or a batch of the same shape.

    Attributes
    ----------
    ruler_px : ndarray, shape (..., 2, 2), px
        The two scale points relative to the picture's middle, x right, y down.
    ruler_m : ndarray, shape (...)
        Their distance, m.
    vertical_deg : ndarray, shape (...)
        Lean of the true vertical from the picture's upward edge, clockwise positive.
    yaw_deg : ndarray, shape (...)
        Turn of the line of sight, anticlockwise from above positive.
    nearness_per_m : ndarray, shape (...)
        1/D; 0 is a camera infinitely far away.
    """

    ruler_px: FloatArray
    ruler_m: FloatArray
    vertical_deg: FloatArray
    yaw_deg: FloatArray
    nearness_per_m: FloatArray

    def rows(self, rows: slice | NDArray[np.intp]) -> PlanarCamera:
        """Return some rows of a batch, with the scale found for them."""
        some = PlanarCamera(**{f.name: getattr(self, f.name)[rows] for f in fields(self)})
        # a cached property's value lies in the instance; what is known is not worked out again
        vars(some)["_metres_per_px"] = self.metres_per_px()[rows]
        return some

    def metres_per_px(self) -> FloatArray:
        """Return the scale where the optical axis meets the plane, shape (...), m/px; found once.

        Notes
        -----
        With the yaw's cosine c and sine s, k = κs, and m metres per pixel, the ruler's ends x, y (px)
        map to mcx / (c + kmx) and mcy / (c + kmx).  The length is nearly proportional to m, so that
        Newton's method on its logarithm settles within 1e-9 in four steps for yaws up to 30° and
        rulers inside the picture.
        """
        return self._metres_per_px

    @cached_property
    def _metres_per_px(self) -> FloatArray:
        upright = _turned(self.ruler_px, self.vertical_deg[..., None])
        x_a, y_a = upright[..., 0, 0], upright[..., 0, 1]
        x_b, y_b = upright[..., 1, 0], upright[..., 1, 1]
        yaw = np.radians(self.yaw_deg)
        cos, turned = np.cos(yaw), self.nearness_per_m * np.sin(yaw)
        across, along = x_b - x_a, cos * (y_b - y_a)
        shear = turned * (x_a * y_b - x_b * y_a)
        scale = self.ruler_m * cos / np.hypot(across, along)
        for _ in range(4):
            rise = along + shear * scale
            square = across**2 + rise**2
            end_a, end_b = cos + turned * scale * x_a, cos + turned * scale * x_b
            length = scale * cos * np.sqrt(square) / np.abs(end_a * end_b)
            # d log length / d log scale: 1 for a camera far away or square; kept from running
            # away where a distance is stated that cannot be true.
            slope = scale * shear * rise / square + cos / end_a + cos / end_b - 1.0
            scale = scale * (self.ruler_m / length) ** (1.0 / np.maximum(slope, 0.3))
        return scale

    def forward_m_per_px(self, across_m: float) -> FloatArray:
        """Return how far a step of one pixel to the right goes along the plane, shape (...), m/px.

        Parameters
        ----------
        across_m : float
            Where in the plane, from where the optical axis meets it; by the batch's first row.

        Notes
        -----
        With a = mx the place seen, p = a / (cos ψ + κ a sin ψ), so
        dp/dx = m cos ψ / (cos ψ + κ a sin ψ)².  A turned camera sees a body on its way to the edge
        of the picture pass nearer or farther: off the middle the yaw enters to first order.
        """
        scale, yaw = self.metres_per_px(), np.radians(self.yaw_deg)
        cos, turned = np.cos(yaw), self.nearness_per_m * np.sin(yaw)
        x_px = across_m * cos.flat[0] / (1.0 - across_m * turned.flat[0]) / scale.flat[0]
        forward: FloatArray = scale * cos / (cos + turned * scale * x_px) ** 2
        return forward

    def to_plane(self, offset_px: FloatArray, depth_m: FloatArray) -> FloatArray:
        """Map picture points to the plane.

        Parameters
        ----------
        offset_px : ndarray, shape (..., n, 2), px
            Points relative to the picture's middle, x right, y down.
        depth_m : ndarray, shape (..., n) or broadcastable, m
            How far each lies behind the plane of motion.

        Returns
        -------
        ndarray, shape (..., n, 2), m
            Right along the plane, and up, from where the optical axis meets the plane.
        """
        upright = _turned(offset_px, self.vertical_deg[..., None])
        return self._to_plane(upright, self.metres_per_px(), depth_m)

    def _to_plane(
        self, upright_px: FloatArray, scale: FloatArray, depth_m: FloatArray
    ) -> FloatArray:
        yaw = np.radians(self.yaw_deg)[..., None]
        cos, sin = np.cos(yaw), np.sin(yaw)
        near = self.nearness_per_m[..., None]
        a = scale[..., None] * upright_px[..., 0]
        b = scale[..., None] * upright_px[..., 1]
        p = (a * (1.0 + near * depth_m * cos) - depth_m * sin) / (cos + near * a * sin)
        v = b * (1.0 + near * (depth_m * cos - p * sin))
        return np.stack((p, v), axis=-1)


def _turned(offset_px: FloatArray, vertical_deg: FloatArray) -> FloatArray:
    """Return picture offsets (x right, y down) as (right, up) along the true horizontal."""
    lean = np.radians(vertical_deg)
    cos, sin = np.cos(lean), np.sin(lean)
    x, up = offset_px[..., 0], -offset_px[..., 1]
    return np.stack((x * cos - up * sin, x * sin + up * cos), axis=-1)
