"""What a solve made of the cameras of a delivery: their places, their clocks, and how sure.

It is kept with the delivery, not worked out again when a file is opened, and it names the inputs it
was made from, so that it can say when it is out of date.
"""

from __future__ import annotations

import math
from typing import Literal

import msgspec

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.field import Place
from deliverylab.core.model.scale import Point

Severity = Literal["refused", "doubtful"]
Trust = Literal["good", "doubtful", "refused"]

N_NUMBERS = 7
"""Numbers of a solved camera: azimuth, pitch, roll (rad), place (m), logarithm of its focal length."""


class SolvedCamera(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A camera as a solve found it.

    Attributes
    ----------
    name : str
    numbers : tuple of float
        Azimuth, pitch, roll (rad), place (m, three), logarithm of the focal length (px).
    width_px, height_px : int
    radial : float
        Radial term of the lens.
    offset_s : float, s
        Added to its real time it gives the first camera's.
    """

    name: str
    numbers: tuple[float, ...]
    width_px: int
    height_px: int
    radial: float = 0.0
    offset_s: float = 0.0


class ControlResidual(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a solve leaves of one click.

    Attributes
    ----------
    point, camera : str
        Key of the point, name of the camera.
    clicked, projected : Point
        Where it was clicked, and where the solution puts it.
    gap_px, gap_mm : float
        How far these are apart in the picture, and at the point's distance.
    studentised : float or None
        Against its u; None where nothing else checks it.
    """

    point: str
    camera: str
    clicked: Point
    projected: Point
    gap_px: float
    gap_mm: float
    studentised: float | None


class SetUpFinding(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is wrong or doubtful with a set-up: what, where, what to do."""

    key: str
    severity: Severity
    what: str
    where: str
    remedy: str


class SpaceSolution(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Cameras and clocks of a delivery, as solved.

    Attributes
    ----------
    cameras : tuple of SolvedCamera
        The first gives the clock.
    covariance : tuple of tuple of float
        Of seven numbers a camera, then the offsets of all cameras but the first.
    points_m : dict of str to tuple of float, m
        Points of the field as the solve places them.
    residuals : tuple of ControlResidual
    worst_deg : float or None
        Predicted standard deviation of the body's directions by the cameras alone; None where a
        camera does not see where the athlete throws.
    trust : {"good", "doubtful", "refused"}
    field_misfit, body_misfit : float, float or None
        Sum of squares per degree of freedom of the field's evidence, and of the body's.
    findings : tuple of SetUpFinding
        Empty where the solution can be used as it is.
    deliveries : tuple of str
        Names of the deliveries that were solved together.
    field_inputs, body_inputs : str
        Fingerprints of what it was solved from.
    n_starts, n_agreeing : int
        Starts that were tried, and how many led here.
    has_body : bool
        Whether the body's own lines of sight took part.
    """

    cameras: tuple[SolvedCamera, ...]
    covariance: tuple[tuple[float, ...], ...]
    points_m: dict[str, Place]
    residuals: tuple[ControlResidual, ...]
    worst_deg: float | None
    trust: Trust
    field_misfit: float
    body_misfit: float | None = None
    findings: tuple[SetUpFinding, ...] = ()
    deliveries: tuple[str, ...] = ()
    field_inputs: str = ""
    body_inputs: str = ""
    n_starts: int = 1
    n_agreeing: int = 1
    has_body: bool = False

    def __post_init__(self) -> None:
        """Refuse numbers that do not belong together.

        Raises
        ------
        InputValueError
            Fewer than two cameras, or a covariance of another size.
        """
        n = (N_NUMBERS + 1) * len(self.cameras) - 1
        sizes = {len(self.covariance), *map(len, self.covariance)}
        if len(self.cameras) < 2 or {len(each.numbers) for each in self.cameras} != {N_NUMBERS}:
            raise InputValueError("a solution has two cameras or more, of seven numbers each")
        if sizes != {n}:
            raise InputValueError(
                "the covariance does not fit the cameras", where=f"{sorted(sizes)} instead of {n}"
            )

    @property
    def is_refused(self) -> bool:
        """Whether nothing may be shown from it."""
        return self.trust == "refused" or any(f.severity == "refused" for f in self.findings)

    def camera(self, name: str) -> SolvedCamera:
        """Return the solved camera of this name.

        Raises
        ------
        NotFoundError
            No such camera.
        """
        for camera in self.cameras:
            if camera.name == name:
                return camera
        names = ", ".join(camera.name for camera in self.cameras)
        raise NotFoundError("no such solved camera", where=name, remedy=f"the cameras are: {names}")

    def u_offset_s(self, name: str) -> float:
        """Return the standard uncertainty of a camera's offset, s; 0 for the first."""
        number = self.cameras.index(self.camera(name))
        if number == 0:
            return 0.0
        row = N_NUMBERS * len(self.cameras) + number - 1
        return math.sqrt(self.covariance[row][row])
