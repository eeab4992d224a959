"""How a camera turned or shook while it filmed: what brings each frame's places to one frame.

Positions stay stored in the pixels of their own frame, as they were clicked.  The scale and the clicks
on the field count as in the reference frame.  A homography is exact for a camera that turns where it
stands; one that also moves along shifts what is nearer than the background by more.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

import msgspec
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.model.track import Track

FloatArray = NDArray[np.float64]
Homography = tuple[float, float, float, float, float, float, float, float]


class CameraMotion(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, dict=True
):
    """Homographies of a clip's frames onto one of them.

    Attributes
    ----------
    reference_frame : int
        The frame whose pixels all are brought to.
    frames : tuple of int
        Frames for which it is known, ascending.
    homographies : tuple of tuple of float
        One a frame: rows of the matrix that takes its pixels to the reference frame's, the ninth number
        being 1.
    u_px : tuple of float
        Standard uncertainty of a place so brought over, from the background's scatter, px: the largest
        over the middle of the picture.
    """

    reference_frame: int
    frames: tuple[int, ...]
    homographies: tuple[Homography, ...]
    u_px: tuple[float, ...]

    @cached_property
    def _matrices(self) -> FloatArray:
        """Matrices by frame, shape (n, 3, 3)."""
        numbers = np.array(self.homographies, dtype=np.float64).reshape(-1, 8)
        return np.concatenate((numbers, np.ones((len(numbers), 1))), axis=1).reshape(-1, 3, 3)

    @cached_property
    def _frames(self) -> NDArray[np.int64]:
        return np.array(self.frames, dtype=np.int64)

    def __hash__(self) -> int:
        """Hash by what it is for and how long."""
        return hash((self.reference_frame, self.frames, self.homographies[-1:]))

    def steadied(self, track: Track) -> Track:
        """Return a track in the reference frame's pixels, without frames that do not tell.

        A position's own u grows by the motion's; where the landmark's default holds, it stays the
        default, beside which the motion's u (some hundredths of a pixel) is nothing.
        """
        is_known = np.isin(track.frames, self._frames)
        rows = np.searchsorted(self._frames, track.frames[is_known])
        xy_px = _carried(self._matrices[rows], track.xy_px[is_known])
        u_px = np.hypot(track.u_px[is_known], np.array(self.u_px)[rows])
        return Track(track.frames[is_known], xy_px, u_px, track.origins[is_known])

    def in_frame(self, frame: int, xy_px: Any) -> tuple[float, float] | None:
        """Return where a place of the reference frame lies in another; None where that is not told."""
        row = int(np.searchsorted(self._frames, frame))
        if row >= len(self.frames) or self.frames[row] != frame:
            return None
        back = np.linalg.inv(self._matrices[row])
        x_px, y_px = _carried(back[None], np.asarray(xy_px, dtype=np.float64)[None])[0].tolist()
        return x_px, y_px


def _carried(matrices: FloatArray, xy_px: FloatArray) -> FloatArray:
    """Return places taken through one homography each, shape (n, 2)."""
    ones = np.ones((len(xy_px), 1))
    mapped = np.einsum("nij,nj->ni", matrices, np.concatenate((xy_px, ones), axis=1))
    return np.asarray(mapped[:, :2] / mapped[:, 2:])
