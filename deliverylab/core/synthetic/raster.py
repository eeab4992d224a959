"""Draw solid bodies into a small depth buffer: tapered limbs, ellipsoids and cones, softly lit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import PinholeCamera

Array = NDArray[np.float64]
Float32 = NDArray[np.float32]


@dataclass(frozen=True)
class Limb:
    """A tapered rod with round ends; the paint changes at the share ``split`` of its length."""

    start_m: Array
    end_m: Array
    start_radius_m: float
    end_radius_m: float
    paint: int
    paint_beyond: int = -1
    split: float = 2.0


@dataclass(frozen=True)
class Ellipsoid:
    """A ball stretched along three axes; the paint changes above ``split`` along the third.

    ``half_axes_m`` has the half axes as rows, shape (3, 3), m.
    """

    centre_m: Array
    half_axes_m: Array
    paint: int
    paint_beyond: int = -1
    split: float = 2.0


@dataclass(frozen=True)
class Cone:
    """A cone upright on its foot; the paint changes above the share ``split`` of its height."""

    foot_m: Array
    radius_m: float
    height_m: float
    paint: int
    paint_beyond: int = -1
    split: float = 2.0

    @property
    def tip_m(self) -> Array:
        """The tip, shape (3,), m."""
        tip: Array = self.foot_m + np.array([0.0, 0.0, self.height_m])
        return tip


Solid = Limb | Ellipsoid | Cone


class Buffer:
    """Hold depth, surface direction and paint of what has been drawn into one window.

    Parameters
    ----------
    camera : PinholeCamera
    window_px : tuple of int
        Left, top, right, bottom (the last two exclusive).
    offset_px : tuple of float
        Of the sampling points from the pixel centres.
    """

    def __init__(
        self,
        camera: PinholeCamera,
        window_px: tuple[int, int, int, int],
        offset_px: tuple[float, float] = (0.0, 0.0),
    ) -> None:
        self.camera, self.window = camera, window_px
        left, top, right, bottom = window_px
        self._x = np.arange(left, right, dtype=np.float32) + np.float32(offset_px[0])
        self._y = np.arange(top, bottom, dtype=np.float32) + np.float32(offset_px[1])
        shape = (bottom - top, right - left)
        self.depth: Float32 = np.full(shape, np.inf, dtype=np.float32)
        self.normal: Float32 = np.zeros((*shape, 3), dtype=np.float32)
        self.paint: NDArray[np.int16] = np.full(shape, -1, dtype=np.int16)

    def draw(self, solid: Solid) -> None:
        """Draw one solid where it is nearer than what is there.

        Parameters
        ----------
        solid : Limb, Ellipsoid or Cone
            A cone is seen from above its foot's level and from beside it.
        """
        if isinstance(solid, Limb):
            self._draw_limb(solid)
        elif isinstance(solid, Cone):
            self._draw_cone(solid)
        else:
            self._draw_ellipsoid(solid)

    def _box(self, low: Array, high: Array) -> tuple[slice, slice] | None:
        left, top, right, bottom = self.window
        x0, x1 = max(int(low[0]) - 1, left), min(int(high[0]) + 3, right)
        y0, y1 = max(int(low[1]) - 1, top), min(int(high[1]) + 3, bottom)
        if x0 >= x1 or y0 >= y1:
            return None
        return slice(y0 - top, y1 - top), slice(x0 - left, x1 - left)

    def _put(
        self,
        box: tuple[slice, slice],
        hit: NDArray[np.bool_],
        depth: Float32,
        normal: tuple[Float32, Float32, Float32],
        paint: NDArray[np.int16] | int,
    ) -> None:
        nearer = hit & (depth < self.depth[box])
        np.copyto(self.depth[box], depth, where=nearer)
        for k in range(3):
            np.copyto(self.normal[box][..., k], normal[k], where=nearer)
        np.copyto(self.paint[box], np.asarray(paint, dtype=np.int16), where=nearer)

    def _draw_limb(self, limb: Limb) -> None:
        ends = self.camera.to_camera(np.stack([limb.start_m, limb.end_m]))
        if np.any(ends[:, 2] < 0.05) or np.any(np.isnan(ends)):
            return
        focal = self.camera.focal_px
        middle = self.camera.centre_px + focal * ends[:, :2] / ends[:, 2:]
        radii_m = np.array([limb.start_radius_m, limb.end_radius_m])
        radii = focal * radii_m / ends[:, 2]
        box = self._box(
            (middle - radii[:, None]).min(axis=0), (middle + radii[:, None]).max(axis=0)
        )
        if box is None:
            return
        x = self._x[box[1]][None, :] - np.float32(middle[0, 0])
        y = self._y[box[0]][:, None] - np.float32(middle[0, 1])
        lean = (ends[1] - ends[0]) / max(float(np.linalg.norm(ends[1] - ends[0])), 1e-9)
        t, normal, hit = _rod(x, y, middle[1] - middle[0], radii, float(lean[2]))
        # from shares of the picture's length to shares of the rod's
        near, far = (np.float32(z) for z in ends[:, 2])
        t = t * near / (far + t * (near - far))
        radius_m = np.float32(radii_m[0]) + t * np.float32(radii_m[1] - radii_m[0])
        depth = np.float32(ends[0, 2]) + t * np.float32(ends[1, 2] - ends[0, 2])
        depth = depth + normal[2] * radius_m
        paint = np.where(t <= limb.split, limb.paint, limb.paint_beyond).astype(np.int16)
        self._put(box, hit, depth, normal, paint)

    def _draw_ellipsoid(self, solid: Ellipsoid) -> None:
        centre = self.camera.to_camera(solid.centre_m)
        if not centre[2] > 0.5:
            return
        axes = solid.half_axes_m @ self.camera.axes.T
        focal = self.camera.focal_px
        middle = self.camera.centre_px + focal * centre[:2] / centre[2]
        half = 1.12 * focal * np.sqrt(np.sum(axes[:, :2] ** 2, axis=0)) / centre[2] + 1.0
        box = self._box(middle - half, middle + half)
        if box is None:
            return
        x = (self._x[box[1]][None, :] - np.float32(self.camera.centre_px[0])) / np.float32(focal)
        y = (self._y[box[0]][:, None] - np.float32(self.camera.centre_px[1])) / np.float32(focal)
        # into the frame in which the ellipsoid is a unit ball
        squash = (axes / np.sum(axes**2, axis=1, keepdims=True)).astype(np.float32)
        from_centre = squash @ centre.astype(np.float32)
        ray = [squash[k, 0] * x + squash[k, 1] * y + squash[k, 2] for k in range(3)]
        a = ray[0] * ray[0] + ray[1] * ray[1] + ray[2] * ray[2]
        b = ray[0] * from_centre[0] + ray[1] * from_centre[1] + ray[2] * from_centre[2]
        inner = b * b - a * np.float32(from_centre @ from_centre - 1.0)
        depth = (b - np.sqrt(np.maximum(inner, 0.0))) / a
        place = [ray[k] * depth - from_centre[k] for k in range(3)]
        normal = [sum(place[k] * squash[k, j] for k in range(3)) for j in range(3)]
        norm = np.sqrt(normal[0] ** 2 + normal[1] ** 2 + normal[2] ** 2)
        paint = np.where(place[2] <= solid.split, solid.paint, solid.paint_beyond).astype(np.int16)
        lit = (normal[0] / norm, normal[1] / norm, normal[2] / norm)
        self._put(box, inner > 0.0, depth, lit, paint)

    def _draw_cone(self, cone: Cone) -> None:
        turns = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
        ring = np.stack([np.cos(turns), np.sin(turns), np.zeros_like(turns)], axis=-1)
        outline = self.camera.project([cone.tip_m, *(cone.foot_m + cone.radius_m * ring)])
        if np.any(np.isnan(outline)):
            return
        box = self._box(outline.min(axis=0), outline.max(axis=0))
        if box is None:
            return
        sight = self.camera.rays(*np.meshgrid(self._x[box[1]], self._y[box[0]]))
        from_tip = self.camera.position_m - cone.tip_m
        # a cone is where the distance from its axis is `widen` times the drop from its tip
        widen = (cone.radius_m / cone.height_m) ** 2
        form = np.array([1.0, 1.0, -widen])
        a, b = np.sum(form * sight**2, axis=-1), sight @ (form * from_tip)
        inner = b**2 - a * float(form @ from_tip**2)
        depth = (-b - np.sqrt(np.maximum(inner, 0.0))) / a
        place = from_tip + sight * depth[..., None]
        height = 1.0 + place[..., 2] / cone.height_m
        hit = (inner > 0.0) & (height >= 0.0) & (height <= 1.0)
        normal = (form * place / np.linalg.norm(form * place, axis=-1, keepdims=True)).astype("f4")
        lit = np.moveaxis(normal @ self.camera.axes.T.astype("f4"), -1, 0)
        paint = np.where(height <= cone.split, cone.paint, cone.paint_beyond).astype(np.int16)
        self._put(box, hit, depth.astype("f4"), (lit[0], lit[1], lit[2]), paint)


def _rod(
    x: Float32, y: Float32, axis: Array, radii: Array, lean: float
) -> tuple[Float32, tuple[Float32, Float32, Float32], NDArray[np.bool_]]:
    """Find where lines of sight meet a tapered rod with round ends.

    Parameters
    ----------
    x, y : Float32, shape (1, w) and (h, 1), px
        From the first end.
    axis : Array, shape (2,), px
        From the first end to the second.
    radii : Array, shape (2,), px
    lean : float
        Sine of the angle by which the rod leans away from the picture's plane.

    Returns
    -------
    tuple
        Share of the length, surface direction, and whether the rod is met at all.
    """
    length = float(np.hypot(*axis))
    is_ball = length < 1e-3
    length = max(length, 1e-3)
    ex, ey = (np.float32(v / length) for v in axis)
    growth = np.float32(radii[1] - radii[0])
    along = (x * ex + y * ey) / np.float32(length)
    off = y * ex - x * ey
    radius = np.float32(radii[0]) + growth * np.clip(along, 0.0, 1.0)
    sideways = off / radius
    q = np.sqrt(np.maximum(1.0 - sideways * sideways, 0.0))
    t = along - radius * q * np.float32(lean / length)
    on_side = (t >= 0.0) & (t <= 1.0) & (np.abs(sideways) < 1.0) & (not is_ball)
    t = np.clip(t, 0.0, 1.0) * np.float32(not is_ball)
    # beyond the sides: the ball at the nearer end
    end = np.float32(radii[0]) + growth * t
    bx = (x - t * np.float32(axis[0])) / end
    by = (y - t * np.float32(axis[1])) / end
    out = bx * bx + by * by
    level = np.float32(np.sqrt(max(1.0 - lean**2, 0.0)))
    nx = np.where(on_side, -sideways * ey + q * np.float32(lean) * ex, bx)
    ny = np.where(on_side, sideways * ex + q * np.float32(lean) * ey, by)
    nz = np.where(on_side, -q * level, -np.sqrt(np.maximum(1.0 - out, 0.0)))
    normal = (nx.astype(np.float32), ny.astype(np.float32), nz.astype(np.float32))
    return t.astype(np.float32), normal, on_side | (out <= 1.0)
