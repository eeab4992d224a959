"""The fourth word of each point of a C3D file, where its residual stands: written and read as bytes.

The low byte holds the residual in steps of |POINT:SCALE|, the high one which cameras saw the point; the
whole is below zero where the point is not known [1]_.  The library that does the rest (ezc3d 1.7) has
the two bytes the other way round.

References
----------
.. [1] The C3D File Format: User Guide (c3d.org), "3D Point Residuals" and the notes for programmers on
   integer and on floating-point 3D data.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError
from deliverylab.core.store.trajectories import Trajectories

Array = NDArray[np.float64]

_BLOCK = 512
_SCALE_AT, _DATA_BLOCK_AT = 12, 16
_INTEL, _DEC = 84, 85
_MOST_FRAMES = 0xFFFF
_WHOLE_RANGE = 32000
_BYTE = 0xFF


def residual_step_m(trajectories: Trajectories) -> float:
    """Return the step that residuals are stored in, m: fine, and the largest still fits a byte.

    It is at least the farthest coordinate over 32000, which the format asks for in case that somebody
    turns the file into whole numbers.
    """
    farthest = np.nanmax(np.abs(trajectories.points_m), initial=0.001)
    largest = np.nanmax(trajectories.residuals_m, initial=0.0)
    # the format's numbers are of single precision
    return float(np.float32(max(farthest / _WHOLE_RANGE, largest / _BYTE)))


def put_residuals(data: bytearray, trajectories: Trajectories, step_m: float) -> None:
    """Write the residuals into a file of floating-point numbers, and their step into its header.

    Parameters
    ----------
    data : bytearray
        The file, whose points are those of the trajectories, without other channels.
    trajectories : Trajectories
    step_m : float, m
        As in POINT:SCALE.
    """
    struct.pack_into("<f", data, _SCALE_AT, -step_m)
    shape = trajectories.residuals_m.shape
    words = np.ndarray((*shape, 4), "<f4", data, _Layout.of(data).data_start)
    residuals = np.nan_to_num(trajectories.residuals_m)
    # none that is measured becomes 0, which would call the point worked out
    steps = np.clip(np.round(residuals / step_m), residuals > 0.0, _BYTE)
    is_known = np.all(np.isfinite(trajectories.points_m), axis=-1)
    words[..., 3] = np.where(is_known, steps, -1.0)


def residuals_of(data: bytes, scale: float, as_read: Array) -> Array:
    """Read the residuals of a file.

    Parameters
    ----------
    data : bytes
        The file.
    scale : float
        Its POINT:SCALE, below zero where its numbers are floating-point.
    as_read : ndarray, shape (n_frames, n_points)
        What the library read, right only where it is below zero.

    Returns
    -------
    ndarray, shape (n_frames, n_points)
        In the file's unit; below zero where there is no point, NaN where the numbers are those of a
        machine that we do not read.

    Raises
    ------
    InputValueError
        The file holds fewer frames than it says.
    """
    n_frames, n_points = as_read.shape
    layout = _Layout.of(data)
    if n_frames < layout.n_frames:
        raise InputValueError(
            f"the file is cut off: it holds {n_frames} of {layout.n_frames} frames",
            remedy="copy it anew",
        )
    is_whole = scale > 0.0
    if layout.processor != _INTEL and not (is_whole and layout.processor == _DEC):
        return np.where(as_read < 0.0, as_read, np.nan)
    shape, kind = (n_frames, layout.n_words), "<i2" if is_whole else "<f4"
    frames = np.ndarray(shape, kind, data, layout.data_start)
    words = frames[:, 3 : 4 * n_points : 4].astype(np.int64)
    return np.where(words < 0, -1.0, abs(scale) * (words & _BYTE))


@dataclass(frozen=True)
class _Layout:
    """Where things stand in a file; `n_frames` is 0 where the header has no room to say it."""

    processor: int
    n_frames: int
    n_words: int
    data_start: int

    @classmethod
    def of(cls, data: bytes | bytearray) -> _Layout:
        """Read it from the header, whose whole numbers begin with their low byte."""
        _, n_points, n_analog, first, last = struct.unpack_from("<5H", data)
        (data_block,) = struct.unpack_from("<H", data, _DATA_BLOCK_AT)
        return cls(
            processor=data[_BLOCK * (data[0] - 1) + 3],
            n_frames=last - first + 1 if last < _MOST_FRAMES else 0,
            n_words=4 * n_points + n_analog,
            data_start=_BLOCK * (data_block - 1),
        )
