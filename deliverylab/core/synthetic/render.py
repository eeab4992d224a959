"""Film a delivery: pictures as a phone would take them, with blur and noise, from known truth."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.ground import ground_height_m
from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.synthetic.backdrop import draw_backdrop
from deliverylab.core.synthetic.body import Uniform, clothe
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.synthetic.raster import Buffer, Cone, Limb, Solid
from deliverylab.core.synthetic.scene import (
    CONE_HEIGHT_M,
    CONE_RADIUS_M,
    STICK_RADIUS_M,
    LaidCone,
    ScaleStick,
)

Array = NDArray[np.float64]
Picture = NDArray[np.uint8]

_SPARE = 97  # px by which the noise field may be shifted
_STICK_BANDS = 5
_STICK_COLOURS = np.array([[214.0, 74.0, 52.0], [244.0, 240.0, 232.0]])
_CONE_COLOURS = np.array([[246.0, 150.0, 38.0], [250.0, 236.0, 206.0]])
_CONE_BAND = 0.62  # share of a cone's height from which its tip is light
_N_SAMPLES_LAID = 16


@dataclass(frozen=True, kw_only=True)
class Filming:
    """Say how the pictures are taken.

    Attributes
    ----------
    exposure_s : float, s
        Time a picture is exposed; moving limbs smear by what they move in it. A picture's time
        is the middle of its exposure.
    n_samples : int
        Instants averaged in one picture; they also smooth the edges.
    noise_levels : float
        Standard deviation of the sensor's noise, of 255.
    seed : int
        Of the noise.
    sun : tuple of float
        Level direction from which the light comes, and its rise, in the field frame.
    screen_m : float, m
        Distance of the windscreen behind the target.
    uniform : Uniform
    """

    exposure_s: float = 1 / 800
    n_samples: int = 4
    noise_levels: float = 1.6
    seed: int = 1
    sun: tuple[float, float, float] = (-0.55, -0.75, 0.85)
    screen_m: float = 7.5
    uniform: Uniform = field(default_factory=Uniform)


class Film:
    """Take pictures of one delivery through one camera.

    Parameters
    ----------
    delivery : SyntheticDelivery
    camera : PinholeCamera
    filming : Filming
    stick : ScaleStick or None
        Lies in the scene.
    cones : sequence of LaidCone
        Stand in the scene.
    target_m : tuple of float, m
        X and Y of the point the camera faces.
    """

    def __init__(
        self,
        delivery: SyntheticDelivery,
        camera: PinholeCamera,
        filming: Filming,
        *,
        stick: ScaleStick | None = None,
        cones: Sequence[LaidCone] = (),
        target_m: tuple[float, float] = (0.9, 0.0),
    ) -> None:
        self.delivery, self.camera, self.filming = delivery, camera, filming
        self._sun = np.array(filming.sun) / np.linalg.norm(filming.sun)
        self._colours = filming.uniform.colours()
        self._still = draw_backdrop(camera, screen_m=filming.screen_m, target_m=target_m)
        if stick is not None:
            self._lay(_bands(stick), _STICK_COLOURS)
        for cone in cones:
            foot_up = Cone(cone.foot_m, CONE_RADIUS_M, CONE_HEIGHT_M, 0, 1, _CONE_BAND)
            self._lay([foot_up], _CONE_COLOURS)
        width, height = camera.size_px
        field_size = (height + _SPARE, width + _SPARE)
        random = np.random.default_rng(filming.seed)
        self._noise = random.standard_normal(field_size, dtype=np.float32)
        self._noise *= np.float32(filming.noise_levels)

    def pictures(self) -> Iterator[Picture]:
        """Take all pictures in order.

        Yields
        ------
        NDArray, shape (height, width, 3), uint8 RGB
        """
        for frame in range(self.delivery.times_s.size):
            yield self.picture(frame)

    def picture(self, frame: int) -> Picture:
        """Take one picture.

        Parameters
        ----------
        frame : int

        Returns
        -------
        NDArray, shape (height, width, 3), uint8 RGB
            The same for the same arguments, in whatever order frames are asked for.
        """
        film, n = self.filming, self.filming.n_samples
        middle = float(self.delivery.times_s[frame])
        times = middle + film.exposure_s * ((np.arange(n) + 0.5) / n - 0.5)
        motion = self.delivery.motion
        points, gaze = motion.positions_at(times), motion.gaze_at(times)
        spec = self.delivery.spec
        sets = [
            clothe(
                {key: value[i] for key, value in points.items()},
                gaze[i],
                hand=spec.hand,
                height_m=spec.height_m,
            )
            for i in range(n)
        ]
        picture = self._still.copy()
        self._shade_ground(picture, sets[n // 2])
        window = self._window([solid for solids in sets for solid in solids])
        left, top, right, bottom = window
        if right > left and bottom > top:
            part = picture[top:bottom, left:right]
            total = np.zeros_like(part)
            for i, solids in enumerate(sets):
                total += self._sample(solids, part, window, _jitter(i, n))
            picture[top:bottom, left:right] = total / n
        return self._expose(picture, frame)

    def _sample(
        self,
        solids: Sequence[Solid],
        behind: NDArray[np.float32],
        window: tuple[int, int, int, int],
        offset: tuple[float, float],
    ) -> NDArray[np.float32]:
        buffer = Buffer(self.camera, window, offset)
        for solid in solids:
            buffer.draw(solid)
        return self._lit(buffer, behind, self._colours)

    def _lit(
        self, buffer: Buffer, behind: NDArray[np.float32], colours: Array
    ) -> NDArray[np.float32]:
        """Light the drawn surfaces: warm sun, cool sky, warm ground; farther parts darker."""
        seen = buffer.paint >= 0
        if not np.any(seen):
            return behind
        normal = buffer.normal[seen]
        sun = (self.camera.axes @ self._sun).astype(np.float32)
        up = (self.camera.axes @ np.array([0.0, 0.0, 1.0])).astype(np.float32)
        direct = np.clip(normal @ sun * 0.86 + 0.14, 0.0, 1.0)[:, None]
        sky = (0.5 + 0.5 * (normal @ up))[:, None]
        facing = np.clip(-normal[:, 2], 0.0, 1.0)[:, None]
        warm = np.array([1.06, 0.99, 0.88], dtype=np.float32)
        cool = np.array([0.92, 0.98, 1.06], dtype=np.float32)
        earth = np.array([1.02, 0.92, 0.80], dtype=np.float32)
        light = 0.66 * direct * warm + 0.44 * sky * cool + 0.26 * (1 - sky) * earth
        light *= 0.74 + 0.26 * facing
        depth = buffer.depth[seen]
        near = np.clip(1.0 - 0.55 * (depth - np.float32(np.median(depth))), 0.80, 1.05)
        out = behind.copy()
        paint = buffer.paint[seen]
        out[seen] = colours[paint].astype(np.float32) * light * near[:, None]
        return out

    def _window(self, solids: Sequence[Solid]) -> tuple[int, int, int, int]:
        rows = [(*centre, radius) for solid in solids for centre, radius in _reach(solid)]
        table = np.array(rows)
        inside = self.camera.to_camera(table[:, :3])
        where = self.camera.project(table[:, :3])
        reach = self.camera.focal_px * table[:, 3] / inside[:, 2] + 3.0
        low, high = (where - reach[:, None]).min(axis=0), (where + reach[:, None]).max(axis=0)
        width, height = self.camera.size_px
        x0, x1 = np.clip([low[0], high[0]], 0, width)
        y0, y1 = np.clip([low[1], high[1]], 0, height)
        return int(x0), int(y0), int(np.ceil(x1)), int(np.ceil(y1))

    def _shade_ground(self, picture: NDArray[np.float32], solids: Sequence[Solid]) -> None:
        """Darken the ground where the figure stands in the sun."""
        mask = np.zeros(picture.shape[:2], dtype=np.uint8)
        turns = np.linspace(0.0, 2 * np.pi, 12, endpoint=False)
        ring = np.stack([np.cos(turns), np.sin(turns), np.zeros_like(turns)], -1)
        slide = self._sun / self._sun[2]
        for solid in solids:
            spots = []
            for centre, radius in _shadow_balls(solid):
                foot = centre - slide * centre[2]
                for _ in range(3):
                    foot = centre - slide * (centre[2] - ground_height_m(foot[0], foot[1]))
                circle = foot + radius * ring
                circle[:, 2] = ground_height_m(circle[:, 0], circle[:, 1])
                spots.append(circle)
            outline = self.camera.project(np.concatenate(spots))
            if np.all(np.isfinite(outline)) and np.all(np.abs(outline) < 1e4):
                hull = cv2.convexHull(outline.astype(np.float32))
                cv2.fillConvexPoly(mask, np.round(hull * 16).astype(np.int32), 255, cv2.LINE_AA, 4)
        soft = cv2.GaussianBlur(mask, (0, 0), 1.8).astype(np.float32) / 255.0
        tint = np.array([0.50, 0.46, 0.40], dtype=np.float32)
        rows = np.flatnonzero(soft.any(axis=1))
        if rows.size:
            part = picture[rows[0] : rows[-1] + 1]
            part *= 1.0 - soft[rows[0] : rows[-1] + 1, :, None] * tint

    def _lay(self, solids: Sequence[Solid], colours: Array) -> None:
        """Draw what lies still, with its shadow, into the picture without the figure."""
        self._shade_ground(self._still, solids)
        left, top, right, bottom = window = self._window(solids)
        if right <= left or bottom <= top:
            return
        part = self._still[top:bottom, left:right].copy()
        total = np.zeros_like(part)
        for i in range(_N_SAMPLES_LAID):
            buffer = Buffer(self.camera, window, _jitter(i, _N_SAMPLES_LAID))
            for solid in solids:
                buffer.draw(solid)
            total += self._lit(buffer, part, colours)
        self._still[top:bottom, left:right] = total / _N_SAMPLES_LAID

    def _expose(self, picture: NDArray[np.float32], frame: int) -> Picture:
        """Add the sensor's noise: another part of one large random field for each frame."""
        height, width = picture.shape[:2]
        down, across = np.random.default_rng((self.filming.seed, frame)).integers(_SPARE, size=2)
        picture += self._noise[down : down + height, across : across + width, None]
        np.rint(picture, out=picture)
        return np.clip(picture, 0, 255).astype(np.uint8)


def _bands(stick: ScaleStick) -> list[Solid]:
    """Cut a stick into bands of two colours."""
    start_m, end_m = stick.ends_m
    cuts = start_m + np.linspace(0.0, 1.0, _STICK_BANDS + 1)[:, None] * (end_m - start_m)
    pairs = enumerate(itertools.pairwise(cuts))
    return [Limb(a, b, STICK_RADIUS_M, STICK_RADIUS_M, k % 2) for k, (a, b) in pairs]


def _reach(solid: Solid) -> list[tuple[Array, float]]:
    """Give balls that a solid lies in, or whose hull it lies in: centre and radius, m."""
    if isinstance(solid, Limb):
        radius_m = max(solid.start_radius_m, solid.end_radius_m)
        return [(solid.start_m, radius_m), (solid.end_m, radius_m)]
    if isinstance(solid, Cone):
        return [(solid.foot_m, solid.radius_m), (solid.tip_m, 0.0)]
    return [(solid.centre_m, float(np.linalg.norm(solid.half_axes_m, axis=1).max()))]


def _shadow_balls(solid: Solid) -> list[tuple[Array, float]]:
    """Give balls whose hull casts about the solid's shadow: centre and radius, m."""
    if isinstance(solid, Limb):
        return [(solid.start_m, solid.start_radius_m), (solid.end_m, solid.end_radius_m)]
    if isinstance(solid, Cone):
        return _reach(solid)
    wide = float(np.sort(np.linalg.norm(solid.half_axes_m, axis=1))[1])
    long = solid.half_axes_m[2] * max(1 - wide / np.linalg.norm(solid.half_axes_m[2]), 0)
    return [(solid.centre_m - long, wide), (solid.centre_m + long, wide)]


def _jitter(i: int, n: int) -> tuple[float, float]:
    """Spread sampling points evenly over a pixel."""
    return (i + 0.5) / n - 0.5, (i * 0.618034 + 0.31) % 1.0 - 0.5
