"""The still part of the picture: a bullpen in the evening, seen through a known camera."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.ground import (
    MOUND_CENTRE_X_M,
    MOUND_HEIGHT_M,
    MOUND_RADIUS_M,
    ground_height_m,
)
from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.synthetic.scene import plate_corners_m, rubber_corners_m

Array = NDArray[np.float64]

_GRASS = np.array([98.0, 126.0, 66.0])
_DIRT = np.array([168.0, 122.0, 86.0])
_WHITE = np.array([238.0, 236.0, 228.0])
_SCREEN = np.array([72.0, 100.0, 88.0])
_SKY_LOW = np.array([246.0, 222.0, 190.0])
_SKY_HIGH = np.array([158.0, 186.0, 212.0])
_TREES = np.array([70.0, 92.0, 62.0])
_N_STEPS = 72
_ROW = 2048
_FINE = 2  # samples per pixel and direction


def _noise(x_m: Array, y_m: Array, cell_m: float, seed: int) -> Array:
    """Give smooth random values between -1 and 1 over the ground."""
    table = np.random.default_rng(seed).uniform(-1.0, 1.0, (256, 256)).astype(np.float32)
    n = x_m.size
    square = (-(-n // _ROW), _ROW)  # remap takes pictures, not endless rows
    uv = np.zeros((2, square[0] * _ROW), dtype=np.float32)
    uv[0, :n] = np.mod(x_m.ravel() / cell_m, 256.0)
    uv[1, :n] = np.mod(y_m.ravel() / cell_m, 256.0)
    u, v = uv.reshape(2, *square)
    out = cv2.remap(table, u, v, cv2.INTER_LINEAR, borderMode=cv2.BORDER_WRAP)
    return np.asarray(out, dtype=float).ravel()[:n].reshape(x_m.shape)


def ground_hits(camera: PinholeCamera, rays: Array) -> Array:
    """Follow lines of sight to the ground.

    Parameters
    ----------
    camera : PinholeCamera
    rays : Array, shape (..., 3)
        As ``PinholeCamera.rays`` gives them.

    Returns
    -------
    Array, shape (...), m
        Depth at which each meets the field or the mound; inf above the horizon.
    """
    eye = camera.position_m
    falling = rays[..., 2] < -1e-9
    down = np.where(falling, rays[..., 2], -1.0)
    depth: Array = np.where(falling, (-MOUND_HEIGHT_M - eye[2]) / down, np.inf)
    # the stretch of each line above the mound's circle
    start = eye[:2] - np.array([MOUND_CENTRE_X_M, 0.0])
    a = np.sum(rays[..., :2] ** 2, axis=-1) + 1e-12
    b = rays[..., :2] @ start
    c = float(start @ start) - MOUND_RADIUS_M**2
    inner = b**2 - a * c
    above = falling & (inner > 0.0)
    root = np.sqrt(inner[above])
    enter = np.maximum((-b[above] - root) / a[above], 0.0)
    leave = np.maximum((-b[above] + root) / a[above], 0.0)
    leave = np.minimum(leave, depth[above])
    chosen = rays[above]
    found = depth[above]
    open_ = np.ones(found.shape, dtype=bool)
    gap_before = np.ones_like(found)
    for k in range(_N_STEPS + 1):
        at = enter + (leave - enter) * k / _N_STEPS
        point = eye + chosen * at[:, None]
        gap = point[:, 2] - ground_height_m(point[:, 0], point[:, 1])
        hit = open_ & (gap <= 0.0) & (leave > enter)
        share = np.where(hit, gap / np.where(hit, gap - gap_before, 1.0), 0.0)
        found = np.where(hit, at - share * (leave - enter) / _N_STEPS, found)
        open_ &= ~hit
        gap_before = gap
    depth[above] = np.minimum(found, depth[above])
    return depth


def draw_backdrop(
    camera: PinholeCamera, *, screen_m: float = 7.5, target_m: tuple[float, float] = (0.9, 0.0)
) -> NDArray[np.float32]:
    """Paint ground, rubber, plate, windscreen, trees and sky.

    Parameters
    ----------
    camera : PinholeCamera
    screen_m : float, m
        Distance of the windscreen behind the target.
    target_m : tuple of float, m
        X and Y of the point the camera faces.

    Returns
    -------
    NDArray, shape (height, width, 3), float32 RGB 0 to 255
    """
    width, height = camera.size_px
    xs = (np.arange(width * _FINE) + 0.5) / _FINE - 0.5
    ys = (np.arange(height * _FINE) + 0.5) / _FINE - 0.5
    rays = camera.rays(*np.meshgrid(xs, ys))
    out = _sky(rays)
    sight = camera.axes[2]
    reach = float((np.array([*target_m, 0.0]) - camera.position_m) @ sight) + screen_m
    if abs(sight[2]) < 0.5:
        _screen(out, camera, rays, reach)
    depth = ground_hits(camera, rays)
    seen = depth < (reach if abs(sight[2]) < 0.5 else np.inf)
    where = camera.position_m + rays[seen] * depth[seen][:, None]
    out[seen] = _ground(where[:, 0][None], where[:, 1][None])[0]
    small = cv2.resize(out.astype(np.float32), (width, height), interpolation=cv2.INTER_AREA)
    return np.asarray(small, dtype=np.float32)


def _sky(rays: Array) -> Array:
    rise = rays[..., 2] / np.hypot(rays[..., 0], rays[..., 1])
    share = np.clip(rise / 0.35, 0.0, 1.0)[..., None]
    return np.asarray(_SKY_LOW + (_SKY_HIGH - _SKY_LOW) * share)


def _screen(out: Array, camera: PinholeCamera, rays: Array, reach: float) -> None:
    """Hang a windscreen on posts across the picture, trees behind it."""
    point = camera.position_m + rays * reach
    along = (point - camera.position_m) @ camera.axes[0]
    z = point[..., 2]
    for seed, far, size in ((11, 0.58, 1.25), (12, 0.34, 0.85)):
        leaf = _noise(along, z, 0.10, seed + 20) + 0.6 * _noise(along, z, 0.035, seed + 30)
        wood = z < 1.9 + _crowns(along[0], seed) * size + 0.05 * leaf
        shade = 1 + 0.07 * leaf + 0.10 * np.clip((z - 1.9) / 1.5, 0.0, 1.0)
        trees = _TREES * shade[..., None] + (_SKY_LOW - _TREES) * far
        out[wood] = trees[wood]
    cloth = (z < 1.86) & (z > -1.0)
    fold = np.sin(2 * np.pi * along / 0.42) * 0.018 + 0.03 * _noise(along, z, 0.5, 14)
    lit = np.clip(0.90 + 0.10 * (z / 1.86), 0.7, 1.05)
    out[cloth] = (_SCREEN * ((1 + fold) * lit)[..., None])[cloth]
    post = (np.abs(np.mod(along + 1.2, 2.4) - 1.2) < 0.032) & (z < 1.98)
    out[post] = np.array([108.0, 112.0, 108.0])
    out[(np.abs(z - 1.90) < 0.028)] = np.array([132.0, 134.0, 128.0])


def _crowns(along_m: Array, seed: int) -> Array:
    """Give the height of a row of round tree tops over a level line, about 0.4 to 1.2 m."""
    random = np.random.default_rng(seed)
    height = np.full(along_m.shape, 0.35)
    for middle in np.arange(-24.0, 24.0, 0.8):
        centre, half, tall = (
            middle + random.uniform(-0.4, 0.4),
            *random.uniform((0.6, 0.5), (1.3, 1.2)),
        )
        arch = np.maximum(1.0 - ((along_m - centre) / half) ** 2, 0.0)
        np.maximum(height, tall * np.sqrt(arch), out=height)
    return height


def _ground(x: Array, y: Array) -> Array:
    edge = 0.05 * _noise(x, y, 0.25, 21) + 0.03 * _noise(x, y, 0.07, 22)
    radius = np.hypot(x - MOUND_CENTRE_X_M, y)
    lane = (np.abs(y) < 0.95 + edge) & (x > 0) & (x < 19.6)
    dirt = (radius < MOUND_RADIUS_M + edge) | lane | (np.hypot(x - 18.3, y) < 2.0 + edge)
    stripe = np.where(np.mod(np.floor((x + 0.3 * y) / 1.1), 2) < 1, 1.0, 0.93)
    blade = 0.10 * _noise(x, y, 0.035, 23) + 0.06 * _noise(x, y, 0.4, 24)
    grass = _GRASS * ((1 + blade) * stripe)[..., None]
    grain = 0.045 * _noise(x, y, 0.02, 25) + 0.05 * _noise(x, y, 0.12, 26)
    grain = grain + 0.04 * _noise(x, y, 0.9, 27)
    slope = np.where(radius < MOUND_RADIUS_M, 1.0 - 0.05 * np.tanh((x - 0.1524) / 0.05), 0.97)
    out = np.where(dirt[..., None], _DIRT * ((1 + grain) * slope)[..., None], grass)
    for corners, dirtiness in ((rubber_corners_m(), 0.10), (plate_corners_m(), 0.05)):
        inside = _inside(x, y, corners)
        wear = 1 - dirtiness * (1 + _noise(x, y, 0.06, 28))
        out[inside] = (_WHITE * wear[..., None])[inside]
    return np.asarray(out)


def _inside(x: Array, y: Array, corners_m: Array) -> NDArray[np.bool_]:
    """Tell which points lie within a convex outline, seen from above."""
    signs = []
    for p, q in zip(corners_m, np.roll(corners_m, -1, axis=0), strict=True):
        signs.append((q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]))
    stacked = np.stack(signs)
    return np.asarray(np.all(stacked <= 0.0, axis=0) | np.all(stacked >= 0.0, axis=0))
