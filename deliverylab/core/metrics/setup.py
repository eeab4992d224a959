"""What turns one camera's pixels into places of the field: view, scale, and who threw."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from deliverylab.core.cameras.planar import (
    UNKNOWN_NEARNESS_PER_M,
    UNKNOWN_NEARNESS_U_PER_M,
    PlanarCamera,
)
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.vocabulary.views import Direction, Plane, view


@dataclass(frozen=True)
class Setup:
    """A camera as stated, without its positions; hashable, so that results can be remembered.

    Attributes
    ----------
    view : str
        Where it stood.
    width_px, height_px : int
        Size of the upright frame.
    scale : PlanarScale
        Pixels to metres.
    athlete : Athlete
        Who threw.
    plate_side : {"left", "right"} or None
        Side of the picture on which the plate lies; None off the side views.
    """

    view: str
    width_px: int
    height_px: int
    scale: PlanarScale
    athlete: Athlete
    plate_side: Direction | None

    @cached_property
    def _hash(self) -> int:
        return hash(
            (self.view, self.width_px, self.height_px, self.scale, self.athlete, self.plate_side)
        )

    def __hash__(self) -> int:
        """Hash by content, once: results are looked up by their setup many times."""
        return self._hash

    @classmethod
    def of(cls, delivery: Delivery, camera: Camera, scale: PlanarScale) -> Setup:
        """Return a delivery's camera with this scale."""
        return cls(
            camera.view, camera.width_px, camera.height_px, scale, delivery.athlete,
            delivery.plate_side(camera),
        )  # fmt: skip

    @cached_property
    def middle_px(self) -> FloatArray:
        """The picture's middle, shape (2,), px: where the optical axis is taken to be."""
        return np.array([(self.width_px - 1) / 2, (self.height_px - 1) / 2])

    @cached_property
    def plane(self) -> Plane:
        """The plane of the field that the picture shows."""
        return view(self.view).plane

    @cached_property
    def across(self) -> tuple[int, float]:
        """The field axis along the picture's right, 0 for X or 1 for Y, and its sign there.

        Y points to the glove side, so a left-hander's picture from behind or ahead is turned round.
        """
        if self.plane == "sagittal":
            return 0, (1.0 if self.plate_side == "right" else -1.0)
        is_glove_right = (self.view == "front") == (self.athlete.hand == "right")
        return 1, (1.0 if is_glove_right else -1.0)

    @cached_property
    def camera(self) -> PlanarCamera:
        """The camera as stated, a batch of one."""
        middle, scale = self.middle_px, self.scale
        return PlanarCamera(
            np.array([[np.array(scale.a) - middle, np.array(scale.b) - middle]]),
            np.array([scale.length_m]),
            np.array([scale.vertical_deg]),
            np.array([scale.yaw_deg]),
            np.array([nearness(scale)[0]]),
        )

    def field_m(self, plane_m: FloatArray) -> FloatArray:
        """Return places of the seen plane, shape (..., 2), in the field frame, shape (..., 3), m.

        The coordinate that is not seen is zero.
        """
        axis, sign = self.across
        xyz_m = np.zeros((*plane_m.shape[:-1], 3))
        xyz_m[..., axis] = sign * plane_m[..., 0]
        xyz_m[..., 2] = plane_m[..., 1]
        return xyz_m


def nearness(scale: PlanarScale) -> tuple[float, float]:
    """Return κ = 1/D and its standard uncertainty, 1/m."""
    if scale.distance_m is None:
        return UNKNOWN_NEARNESS_PER_M, UNKNOWN_NEARNESS_U_PER_M
    u_distance_m = scale.u_distance_m if scale.u_distance_m is not None else 0.05 * scale.distance_m
    return 1.0 / scale.distance_m, u_distance_m / scale.distance_m**2
