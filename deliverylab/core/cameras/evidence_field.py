"""Evidence of the field and of the set-up: clicks, measured places, focal length, level."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.adjustment import Row
from deliverylab.core.cameras.body_facts import FilmedDelivery
from deliverylab.core.cameras.control import ControlPoint
from deliverylab.core.cameras.pinhole import (
    LOG_FOCAL,
    PITCH,
    ROLL,
    projection_jacobian,
)
from deliverylab.core.cameras.unknowns import Unknowns

Array = NDArray[np.float64]

U_CLICK_PX = 1.0
FAR_PX = 1e4
"""Residual given to a point behind the camera: such a place must not look good."""


@dataclass(frozen=True, kw_only=True)
class CameraSetUp:
    """What is known of a camera before anything is clicked.

    Attributes
    ----------
    name : str
    azimuth_deg : float
        Where it looks, from the part it plays (`square_azimuth_deg`): a start, not evidence.
    size_px : tuple of int
    focal_px : float
        From the phone's lens, or as usual for a phone.
    u_focal_share : float
        Relative standard uncertainty of it.
    pitch_deg, roll_deg, u_level_deg : float
        Tilt as far as it was levelled; infinite u where nobody looked.
    radial : float
        Known radial term; 0 without.
    clicks_px : dict of str to tuple of float
        Places of control points in its picture, by key.
    u_click_px : float
    u_clicks_px : dict of str to float
        Of single clicks, where it differs.
    """

    name: str
    azimuth_deg: float
    size_px: tuple[int, int]
    focal_px: float
    u_focal_share: float = 0.10
    pitch_deg: float = 0.0
    roll_deg: float = 0.0
    u_level_deg: float = 1.0
    radial: float = 0.0
    clicks_px: dict[str, tuple[float, float]] = field(default_factory=dict)
    u_click_px: float = U_CLICK_PX
    u_clicks_px: dict[str, float] = field(default_factory=dict)

    @property
    def is_levelled(self) -> bool:
        """Whether somebody looked at a level."""
        return bool(np.isfinite(self.u_level_deg))


class ClickEvidence:
    """Clicked places of control points in one camera's picture."""

    def __init__(self, unknowns: Unknowns, number: int, set_up: CameraSetUp) -> None:
        self._unknowns, self._number = unknowns, number
        keys = [key for key in set_up.clicks_px if key in unknowns.point_keys]
        self._clicks_px = np.array([set_up.clicks_px[key] for key in keys]).reshape(-1, 2)
        self._points = np.array([unknowns.point_keys.index(key) for key in keys], dtype=np.intp)
        self._u_px = np.array(
            [set_up.u_clicks_px.get(key, set_up.u_click_px) for key in keys for _ in range(2)]
        )
        self.rows = tuple(Row("click", key, number) for key in keys for _ in range(2))
        self.n_informative = float(len(self.rows))

    def residuals(self, unknowns: Array) -> Array:
        """Return clicks less projections, in u."""
        camera = self._unknowns.cameras(unknowns)[self._number]
        seen = camera.project(self._unknowns.points_m(unknowns)[self._points])
        out: Array = np.nan_to_num((seen - self._clicks_px).ravel() / self._u_px, nan=FAR_PX)
        return out

    def jacobian(self, unknowns: Array) -> Array:
        """Return the slopes by this camera's numbers and by the points."""
        camera = self._unknowns.cameras(unknowns)[self._number]
        points = self._unknowns.points_m(unknowns)[self._points]
        _, by_camera, by_point = projection_jacobian(camera, points)
        slopes = np.zeros((len(points), 2, self._unknowns.n))
        slopes[..., self._unknowns.camera_columns(self._number)] = np.nan_to_num(by_camera)
        for row, point in enumerate(self._points):
            start = self._unknowns.n_calibration + 3 * point
            slopes[row, :, start : start + 3] = np.nan_to_num(by_point[row])
        out: Array = slopes.reshape(-1, self._unknowns.n) / self._u_px[:, None]
        return out


class LinearEvidence:
    """Known values of unknowns, or of differences of two."""

    def __init__(self, matrix: Array, values: Array, rows: tuple[Row, ...]) -> None:
        self._matrix, self._values, self.rows = matrix, values, rows
        self.n_informative = float(len(rows))

    def residuals(self, unknowns: Array) -> Array:
        """Return what the unknowns say less what is known, in u."""
        out: Array = self._matrix @ unknowns - self._values
        return out

    def jacobian(self, unknowns: Array) -> Array:
        """Return the same slopes everywhere."""
        del unknowns
        return self._matrix


def measured_places(unknowns: Unknowns, points: Sequence[ControlPoint]) -> LinearEvidence:
    """Return the evidence of rule book and tape; axes with infinite u give none."""
    table = _Table(unknowns)
    for point in points:
        for axis in range(3):
            if np.isfinite(point.u_m[axis]):
                columns = {unknowns.point_columns(point.key).start + axis: 1.0}
                if point.above:
                    columns[unknowns.point_columns(point.above).start + axis] = -1.0
                table.add(Row("place", point.key), columns, point.place_m[axis], point.u_m[axis])
    return table.evidence


def known_set_up(unknowns: Unknowns, set_ups: Sequence[CameraSetUp]) -> LinearEvidence:
    """Return the evidence of lenses and levels."""
    table = _Table(unknowns)
    for number, camera in enumerate(set_ups):
        first = unknowns.camera_columns(number).start
        focal = float(np.log(camera.focal_px))
        table.add(
            Row("focal", camera=number), {first + LOG_FOCAL: 1.0}, focal, camera.u_focal_share
        )
        if camera.is_levelled:
            u_level = np.radians(camera.u_level_deg)
            for column, value_deg in ((PITCH, camera.pitch_deg), (ROLL, camera.roll_deg)):
                row = Row("level", camera=number)
                table.add(row, {first + column: 1.0}, np.radians(value_deg), u_level)
    return table.evidence


def known_offsets(unknowns: Unknowns, deliveries: Sequence[FilmedDelivery]) -> LinearEvidence:
    """Return the evidence of events marked in several clips; a guessed start gives none."""
    table = _Table(unknowns)
    for number, delivery in enumerate(deliveries):
        if np.isfinite(delivery.u_offset_s):
            first = unknowns.offset_columns(number).start
            for row, offset_s in enumerate(delivery.offsets_s):
                about = Row("mark", camera=row + 1, delivery=number)
                table.add(about, {first + row: 1.0}, offset_s, delivery.u_offset_s)
    return table.evidence


class _Table:
    """Rows of linear evidence as they come."""

    def __init__(self, unknowns: Unknowns) -> None:
        self._n = unknowns.n
        self._lines: list[Array] = []
        self._values: list[float] = []
        self._rows: list[Row] = []

    def add(self, row: Row, columns: dict[int, float], value: float, u: float) -> None:
        line = np.zeros(self._n)
        for column, weight in columns.items():
            line[column] = weight / u
        self._lines.append(line)
        self._values.append(value / u)
        self._rows.append(row)

    @cached_property
    def evidence(self) -> LinearEvidence:
        """All rows; made once, when the table is full."""
        matrix = np.array(self._lines).reshape(-1, self._n)
        return LinearEvidence(matrix, np.array(self._values), tuple(self._rows))
