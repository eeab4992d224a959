"""Which part of each clip a walkthrough shows: both bodies as large, on the same ground."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.report.figures import Box, Picture

MARGIN = 0.06
"""Room around what the bodies need, as a share of the picture's smaller side."""
MOST_ZOOM = 4.0
"""A clip is not enlarged more than this: it would only get softer."""
LEAST_DIRECT_ZOOM = 0.6
"""A clip that is made smaller than this is halved first, so that no detail flickers."""
_FEET = ("ankle", "heel", "toe")


class Placement(NamedTuple):
    """How a clip's frame lies in its part of the picture.

    ``x = zoom × x_frame + left`` and ``y = zoom × y_frame + top``, px, where a mirrored frame counts
    from its last column; pixel centres are at whole numbers on both sides.

    Attributes
    ----------
    zoom, left, top : float
    frame_width : int
        Of the upright frame, px.
    is_mirrored : bool
    """

    zoom: float
    left: float
    top: float
    frame_width: int
    is_mirrored: bool = False

    def to_picture(self, x_px: float, y_px: float) -> tuple[float, float]:
        """Return where a place of the upright frame lies in the part of the picture."""
        if self.is_mirrored:
            x_px = self.frame_width - 1.0 - x_px
        return self.zoom * x_px + self.left, self.zoom * y_px + self.top

    def shown(
        self, frame: Picture, width: int, height: int, ground: tuple[int, int, int]
    ) -> Picture:
        """Return the part of the picture that shows a frame; plain ground where it does not reach."""
        zoom = self.zoom
        # a pixel of the halved frame lies at twice its place
        while zoom < LEAST_DIRECT_ZOOM and min(frame.shape[:2]) > 1:
            frame = cv2.pyrDown(frame).astype(np.uint8, copy=False)
            zoom *= 2.0
        turn = -1.0 if self.is_mirrored else 1.0
        offset = self.left + (self.zoom * (self.frame_width - 1.0) if self.is_mirrored else 0.0)
        matrix = np.array([[turn * zoom, 0.0, offset], [0.0, zoom, self.top]])
        part = cv2.warpAffine(
            frame,
            matrix,
            (width, height),
            flags=cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_CONSTANT,
            borderValue=ground,
        )
        return part.astype(np.uint8, copy=False)


class _Body(NamedTuple):
    """What a body takes of its frame over the pictures that are shown, in mirrored px."""

    box: Box
    size_px: float


def placements(
    sides: Sequence[tuple[Delivery, Camera, Sequence[int], bool]],
    size: tuple[int, int],
    headroom: float = 0.0,
) -> tuple[Placement, ...]:
    """Return how the clips lie in parts of the picture that are all of one size.

    Parameters
    ----------
    sides : sequence of (Delivery, Camera, sequence of int, bool)
        Each with the frames that are shown, and whether it is mirrored.
    size : (int, int)
        Width and height of a part, px.
    headroom : float
        Rows at the top that no body reaches into, px: names stand there.

    Notes
    -----
    A body is as large as its scale and its height say, where both are known of all sides, else as
    its landmarks stand at their tallest.  All bodies get the same size, as large as the movement of
    each fits in; the lowest point of each lies in the same row.  A clip without landmarks is shown
    whole.
    """
    bodies = [_body(*side) for side in sides]
    known = [body for body in bodies if body is not None]
    by_scale = [_size_by_scale_px(delivery, camera) for delivery, camera, _, _ in sides]
    if all(size_px is not None for size_px in by_scale):
        pairs = zip(bodies, by_scale, strict=True)
        bodies = [body and body._replace(size_px=size_px) for body, size_px in pairs]  # type: ignore[arg-type]
        known = [body for body in bodies if body is not None]
    if not known:
        return tuple(_whole(camera, turned, size) for _, camera, _, turned in sides)
    width, height = size
    room = MARGIN * min(size)
    body_px = min(
        min(
            (width - 2.0 * room) * body.size_px / body.box.width,
            (height - headroom - 2.0 * room) * body.size_px / body.box.height,
            MOST_ZOOM * body.size_px,
        )
        for body in known
    )
    tallest = max(body_px * body.box.height / body.size_px for body in known)
    ground = 0.5 * (headroom + height + tallest)
    return tuple(
        _whole(camera, turned, size)
        if body is None
        else _standing(body, body_px / body.size_px, ground, width, camera, is_mirrored=turned)
        for body, (_, camera, _, turned) in zip(bodies, sides, strict=True)
    )


def _standing(
    body: _Body, zoom: float, ground: float, width: int, camera: Camera, *, is_mirrored: bool
) -> Placement:
    left = 0.5 * width - zoom * 0.5 * (body.box.left + body.box.right)
    # a body near the frame's edge is moved off the middle rather than showing nothing beside it
    reach = zoom * camera.width_px
    edges = (0.5 * zoom - 0.5, width - reach + 0.5 * zoom - 0.5)
    if reach >= width:
        left = min(max(left, edges[1]), edges[0])
    top = ground - zoom * body.box.bottom
    return Placement(zoom, left, top, camera.width_px, is_mirrored)


def _whole(camera: Camera, is_mirrored: bool, size: tuple[int, int]) -> Placement:
    zoom = min(size[0] / camera.width_px, size[1] / camera.height_px)
    left, top = (
        0.5 * (room - 1.0) - zoom * 0.5 * (length - 1.0)
        for room, length in zip(size, (camera.width_px, camera.height_px), strict=True)
    )
    return Placement(zoom, left, top, camera.width_px, is_mirrored)


def _body(
    _delivery: Delivery, camera: Camera, frames: Sequence[int], is_mirrored: bool
) -> _Body | None:
    first, last = min(frames), max(frames)
    places: dict[str, NDArray[np.float64]] = {}
    for key, track in camera.tracks.items():
        is_shown = (track.frames >= first) & (track.frames <= last)
        if key != "ball" and is_shown.any():
            places[key] = track.xy_px[is_shown]
    if not places:
        return None
    every = np.concatenate(list(places.values()))
    if is_mirrored:
        every = np.column_stack([camera.width_px - 1.0 - every[:, 0], every[:, 1]])
    (left, top), (right, bottom) = every.min(axis=0), every.max(axis=0)
    box = Box(float(left), float(top), float(max(right, left + 1.0)), float(max(bottom, top + 1.0)))
    return _Body(box, _standing_px(camera, first, last) or box.height)


def _standing_px(camera: Camera, first: int, last: int) -> float | None:
    """Return how tall the landmarks stand at their tallest, px; None without head or foot."""
    lows = np.full(last - first + 1, -math.inf)
    for key, track in camera.tracks.items():
        if key.partition("_")[2] in _FEET:
            is_shown = (track.frames >= first) & (track.frames <= last)
            rows = track.frames[is_shown] - first
            lows[rows] = np.maximum(lows[rows], track.xy_px[is_shown, 1])
    head = camera.track("head_top")
    is_shown = (head.frames >= first) & (head.frames <= last)
    heights = lows[head.frames[is_shown] - first] - head.xy_px[is_shown, 1]
    heights = heights[np.isfinite(heights)]
    return float(heights.max()) if len(heights) and heights.max() > 1.0 else None


def _size_by_scale_px(delivery: Delivery, camera: Camera) -> float | None:
    """Return a body's height in the picture by the scale; None where that is not known."""
    scale, height_m = camera.scale, delivery.athlete.height_m
    if scale is None or height_m is None:
        return None
    along = math.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px)
    return height_m * along / scale.length_m
