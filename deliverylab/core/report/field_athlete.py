"""The invented athlete on the field set-up sheet: grey figures as a phone that stands well sees them."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.report.field_layout import FieldLayout, StoodView
from deliverylab.core.vocabulary.landmarks import Hand

if TYPE_CHECKING:
    from deliverylab.core.synthetic.figure import Motion
    from deliverylab.core.synthetic.raster import Ellipsoid, Limb

Array = NDArray[np.float64]
Solids = list["Limb | Ellipsoid"]

_HEIGHTS_M = {
    "baseball": 1.85,
    "youth-50": 1.55,
    "youth-46": 1.40,
    "softball-43": 1.70,
    "softball-40": 1.60,
}
"""Of the athlete, by field size: invented."""
_SET_S, _LEAD_IN_S = 0.1, 0.8
"""The figure stands with both feet down this long after, and leg lift comes that long after, the start."""
_FAINT, _FULL = 0.45, 1.0
_GREYS = np.array([112, 226, 196, 84, 60, 104, 250, 112, 70, 226], dtype=np.float32)
"""Of jersey, trousers, skin, cap, shoe, glove, ball, sock, belt and trim, in the order of the paints."""
_OUTLINE = 52.0
_OUTLINE_PX = 5
_FINENESS = 2
"""Pixels of the phone's picture for one of the figure."""
_MARGIN_PX = 8


class DrawnAthlete(NamedTuple):
    """An athlete at one instant, cut out of a picture.

    Attributes
    ----------
    png : bytes
        Greys; what is beside the body is clear.
    left, top, right, bottom : float, px
        Its edges in the picture, pixel centres at whole numbers.
    """

    png: bytes
    left: float
    top: float
    right: float
    bottom: float


@lru_cache(maxsize=32)
def drawn_athletes(layout: FieldLayout, view: StoodView) -> tuple[DrawnAthlete, ...]:
    """Return the athlete where the delivery begins, faint, and at the stride's end.

    On a mound these are leg lift and foot contact; on a flat field, where an overhand throw would
    mislead, the same standing figure at either end of the stride.
    """
    # loads what only building a delivery needs
    from deliverylab.core.synthetic.figure import Motion
    from deliverylab.core.synthetic.spec import DeliverySpec

    height_m = _HEIGHTS_M[layout.field.key]
    spec = DeliverySpec(hand=layout.hand, height_m=height_m, lead_in_s=_LEAD_IN_S)
    motion = Motion(spec)
    if layout.field.rubber_height_m:
        times = spec.key_times()
        poses = [_solids(motion, times["leg_lift"]), _solids(motion, times["foot_contact"])]
    else:
        poses = [_solids(motion, _SET_S), _solids(motion, _SET_S, ahead_m=spec.stride_m)]
    camera = layout.camera(view)
    opacities = (_FAINT, _FULL)
    return tuple(
        _cut_out(camera, solids, opacity) for solids, opacity in zip(poses, opacities, strict=True)
    )


def _solids(motion: Motion, time_s: float, ahead_m: float = 0.0) -> Solids:
    """Build the body at an instant, moved ahead."""
    from deliverylab.core.synthetic.body import clothe

    hand: Hand = motion.spec.hand
    places = motion.positions_at([time_s])
    points = {key: place[0] + [ahead_m, 0.0, 0.0] for key, place in places.items()}
    return clothe(points, motion.gaze_at([time_s])[0], hand=hand, height_m=motion.spec.height_m)


def _cut_out(camera: PinholeCamera, solids: Solids, opacity: float) -> DrawnAthlete:
    """Draw a body as the camera sees it and cut it out along its outline."""
    from deliverylab.core.synthetic.raster import Buffer

    width, height = camera.size_px
    seen = Buffer(camera, (0, 0, width, height))
    for solid in solids:
        seen.draw(solid)
    body = (seen.paint >= 0).astype(np.uint8)
    brush = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (_OUTLINE_PX, _OUTLINE_PX))
    whole = cv2.dilate(body, brush)
    left, top, n_across, n_down = cv2.boundingRect(whole)
    left, top = max(0, left - _MARGIN_PX), max(0, top - _MARGIN_PX)
    across = _FINENESS * ((min(width - left, n_across + 2 * _MARGIN_PX)) // _FINENESS)
    down = _FINENESS * ((min(height - top, n_down + 2 * _MARGIN_PX)) // _FINENESS)
    part = np.s_[top : top + down, left : left + across]
    # lit from the camera and from above; normals run right, down and away from it
    light = 0.66 - 0.24 * seen.normal[part][..., 2] - 0.10 * seen.normal[part][..., 1]
    grey = np.where(body[part] > 0, _GREYS[seen.paint[part]] * light, _OUTLINE)
    shade = np.clip(grey, 0.0, 255.0).astype(np.uint8)
    clear = (255.0 * opacity * whole[part]).astype(np.uint8)
    small = cv2.resize(
        np.dstack([shade, shade, shade, clear]),
        (across // _FINENESS, down // _FINENESS),
        interpolation=cv2.INTER_AREA,
    )
    _, encoded = cv2.imencode(".png", small)
    return DrawnAthlete(
        png=encoded.tobytes(),
        left=left - 0.5,
        top=top - 0.5,
        right=left + across - 0.5,
        bottom=top + down - 0.5,
    )
