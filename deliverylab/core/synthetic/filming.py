"""Film a delivery of known truth into positions: any view, place, lens, rate and shutter."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, Hand
from deliverylab.core.vocabulary.views import SIDE_VIEWS, view

Array = NDArray[np.float64]

FRAMED_WIDTH_M = 16.0 / 3.0
"""Width of what the picture shows at the athlete where no lens is given: a person zooms until the
whole delivery fills it."""
SIDE_TARGET_M = (0.85, 0.0)
"""Where a side camera points, m from the rubber: the middle of a usual stride."""
_RULER_M = {
    True: np.array([[-0.4, 0.0, 0.0], [2.1, 0.0, 0.0]]),
    False: np.array([[0.0, -0.6, 0.0], [0.0, 0.6, 0.0]]),
}


@dataclass(frozen=True, kw_only=True)
class FilmingSetUp:
    """Where the phone stands, and how it films.

    Attributes
    ----------
    view : str
        ``open-side``, ``closed-side``, ``rear`` or ``front``.
    distance_m : float
        Level distance from the plane of motion (side) or from the rubber (rear, front).
    yaw_deg : float
        Turn of the line of sight from square, anticlockwise from above positive.
    rate_hz : float
        True frames a second.
    width_px, height_px : int
        Size of the upright frame.
    focal_px, field_of_view_deg : float or None
        Lens, as focal length or as horizontal angle of view; without either the picture is
        `FRAMED_WIDTH_M` wide at the athlete.
    camera_height_m : float
        Of the lens above the rubber.
    row_time_s : float
        Rolling shutter: seconds from one image row to the next; a frame's time is that of its
        middle row.
    """

    view: str = "open-side"
    distance_m: float = 10.0
    yaw_deg: float = 0.0
    rate_hz: float = 240.0
    width_px: int = 1280
    height_px: int = 720
    focal_px: float | None = None
    field_of_view_deg: float | None = None
    camera_height_m: float = 1.1
    row_time_s: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what no phone can do.

        Raises
        ------
        InputValueError
            Naming the part that cannot be.
        """
        view(self.view)
        if self.view == "top":
            raise InputValueError(
                "a view from above is not simulated",
                where="view",
                remedy="choose side, rear, front",
            )
        checks = (
            (1.0 <= self.distance_m <= 200.0, "distance", "give metres between 1 and 200"),
            (abs(self.yaw_deg) <= 45.0, "yaw", "give degrees between -45 and 45"),
            (10.0 <= self.rate_hz <= 2000.0, "rate", "give frames a second between 10 and 2000"),
            (
                min(self.width_px, self.height_px) >= 100,
                "size",
                "give the picture's size in pixels",
            ),
            (self.focal_px is None or self.focal_px > 0.0, "focal", "give pixels above 0"),
            (
                self.field_of_view_deg is None or 1.0 <= self.field_of_view_deg <= 150.0,
                "field of view",
                "give degrees between 1 and 150",
            ),
            (0.0 <= self.row_time_s <= 1e-3, "row time", "give seconds a row, a few millionths"),
        )
        for is_right, where, remedy in checks:
            if not is_right:
                raise InputValueError("this set-up cannot be", where=where, remedy=remedy)

    @property
    def is_side(self) -> bool:
        """Whether the camera looks across the line to the plate."""
        return self.view in SIDE_VIEWS

    @property
    def lens_px(self) -> float:
        """Focal length, px."""
        if self.focal_px is not None:
            return self.focal_px
        if self.field_of_view_deg is not None:
            return 0.5 * self.width_px / math.tan(math.radians(0.5 * self.field_of_view_deg))
        return self.width_px * self.distance_m / FRAMED_WIDTH_M

    @property
    def metres_per_px(self) -> float:
        """Size of a pixel at the athlete, m."""
        return self.distance_m / self.lens_px

    def camera(self, hand: Hand) -> PinholeCamera:
        """Stand the camera for a thrower of this hand."""
        return camera_for_view(
            self.view,
            hand,
            distance_m=self.distance_m,
            height_m=self.camera_height_m,
            yaw_deg=self.yaw_deg,
            target_m=SIDE_TARGET_M if self.is_side else (0.0, 0.0),
            focal_px=self.lens_px,
            size_px=(self.width_px, self.height_px),
        )


def ruler_m(set_up: FilmingSetUp, off_plane_m: float = 0.0) -> Array:
    """Lay the two scale points in the plane of motion, shape (2, 3), m.

    Parameters
    ----------
    set_up : FilmingSetUp
        Whose view tells the plane: along the line to the plate, or across it at the rubber.
    off_plane_m : float
        How far they lie beside that plane after all, along Y (side) or X (rear, front).
    """
    ruler: Array = _RULER_M[set_up.is_side].copy()
    ruler[:, 1 if set_up.is_side else 0] += off_plane_m
    return ruler


def film_positions(
    truth: SyntheticDelivery,
    set_up: FilmingSetUp,
    *,
    offsets_m: Array | None = None,
) -> Array:
    """Place every landmark in every frame, as a perfect hand would.

    Parameters
    ----------
    truth : SyntheticDelivery
        Sampled at the set-up's rate.
    set_up : FilmingSetUp
        Where the phone stands, and how it films.
    offsets_m : Array, shape (n_landmarks, 3), m, optional
        How far what is seen of a landmark lies from the joint, in the field frame: clothing.

    Returns
    -------
    Array, shape (n_frames, n_landmarks, 2), px
        In the vocabulary's order; NaN where a landmark is not in space any more (the caught ball).

    Notes
    -----
    A rolling shutter takes each row later than the one above it: each landmark is seen where it is
    when its row is read, found by two rounds of looking where it falls.
    """
    camera = set_up.camera(truth.spec.hand)
    moved_m = 0.0 if offsets_m is None else offsets_m
    places: Array = camera.project(truth.stacked_m() + moved_m)
    if set_up.row_time_s == 0.0:
        return places
    for _ in range(2):
        late_s = set_up.row_time_s * np.nan_to_num(places[..., 1] - camera.centre_px[1])
        stacked = np.stack(
            [
                _at(truth, key, truth.times_s + late_s[:, column])
                for column, key in enumerate(LANDMARK_KEYS)
            ],
            axis=1,
        )
        places = camera.project(stacked + moved_m)
    return places


def _at(truth: SyntheticDelivery, key: str, times_s: Array) -> Array:
    """Return a landmark's places at instants between the samples, shape (n, 3), m."""
    xyz_m = truth.positions_m[key]
    return np.stack(
        [np.interp(times_s, truth.times_s, xyz_m[:, axis]) for axis in range(3)], axis=-1
    )


def clothing_offsets_m(rng: np.random.Generator, clothing_m: float) -> Array:
    """Draw how far clothing shifts each landmark throughout a delivery, (n_landmarks, 3), m."""
    drawn: Array = rng.normal(0.0, clothing_m, (len(LANDMARK_KEYS), 3))
    return drawn
