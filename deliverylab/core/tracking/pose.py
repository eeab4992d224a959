"""Body points in a picture by a network that somebody fetched: a suggestion, not a measurement.

It runs on OpenCV alone.  Its third coordinate and its own word on what is visible are not used:
neither holds in a delivery.  What does tell a right point from a wrong one are its maps: a point that
was made up lies where no map has a peak.  For most joints the middle of that peak is also nearer to
the truth than the network's own numbers.
"""

from __future__ import annotations

import threading
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import NamedTuple, Protocol

import cv2
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError
from deliverylab.core.tracking.pose_region import (
    INPUT_PX,
    Picture,
    Region,
    is_usable,
    region_of_points,
)

FloatArray = NDArray[np.float64]

N_POINTS = 33
_N_ROWS, _ROW = 39, 5
_MIDDLE, _ABOVE = 33, 34
"""Rows after the body's points: for the next region."""
_OUTPUTS = ("Identity", "Identity_1", "Identity_3")
"""Points, score, maps."""
_MAP_CELLS, _REACH_CELLS = 64, 3
_CELL_PX = INPUT_PX / _MAP_CELLS
_BY_MAP = [11, 12, 13, 14, *range(23, 33)]
"""Points that are put to the middle of their peak: shoulders, elbows, and all of the legs.

On rendered deliveries that halves their median error; ears, wrists and knuckles gain nothing."""
MIN_SCORE = 0.5
"""Below this the network itself says that nobody is there."""

_FACE = (0, 4, 5, 6, 1, 2, 3, 8, 7, 10, 9)
_BODY = [number + 1 if number % 2 else number - 1 for number in range(len(_FACE), N_POINTS)]
MIRRORED = np.array([*_FACE, *_BODY])
"""Which point of a mirrored body is which: left and right take turns."""


class BodyPoints(NamedTuple):
    """What the network says of one input.

    Attributes
    ----------
    points : ndarray, shape (35, 2)
        In the input, 0 to 256: the body's points, most of them put to the middle of their map's
        peak, then two for the next region.
    peaks : ndarray, shape (33,)
        Largest value of each point's map near it, 0 to 1.
    score : float
        How sure it is of a body, 0 to 1.
    """

    points: FloatArray
    peaks: FloatArray
    score: float


class BodyNetwork(Protocol):
    """What turns the input picture into body points; several threads may ask at once."""

    def run(self, cut: Picture) -> BodyPoints:
        """Return the points of an input, shape (256, 256, 3), uint8 RGB."""
        ...


class PoseNetwork:
    """The network on OpenCV; every thread that asks gets one of its own.

    OpenCV computes on one core for each asking thread and lets others run meanwhile, so that two
    threads get two answers in the time of one.

    Parameters
    ----------
    weights : bytes
        The content of the weights' file.

    Raises
    ------
    InputValueError
        OpenCV cannot make a network of it.
    """

    def __init__(self, weights: bytes) -> None:
        self._weights = np.frombuffer(weights, np.uint8)
        self._of_thread = threading.local()
        refusal = InputValueError(
            "the landmark detector cannot be loaded", where=f"OpenCV {cv2.__version__}",
            remedy="use OpenCV from 4.11 on and below 5, and get the detector again",
        )  # fmt: skip
        # older ones lack an operation of it, the next loses some of its outputs without a word
        if not (4, 11) <= tuple(map(int, cv2.__version__.split(".")[:2])) < (5, 0):
            raise refusal
        try:
            self._net()
        except cv2.error as problem:
            raise refusal from problem

    def run(self, cut: Picture) -> BodyPoints:
        """Return the points of an input, shape (256, 256, 3), uint8 RGB."""
        net = self._net()
        net.setInput(cv2.dnn.blobFromImage(cut, 1.0 / 255.0))
        points, score, maps = net.forward(_OUTPUTS)
        rows = points.reshape(_N_ROWS, _ROW)[: _ABOVE + 1, :2].astype(np.float64)
        middles, peaks = peaks_near(maps[0, :N_POINTS].astype(np.float32), rows[:N_POINTS])
        rows[_BY_MAP] = middles[_BY_MAP]
        return BodyPoints(rows, peaks, float(score.ravel()[0]))

    def _net(self) -> cv2.dnn.Net:
        """Return this thread's own network."""
        if not hasattr(self._of_thread, "net"):
            self._of_thread.net = cv2.dnn.readNetFromTFLite(self._weights)
        net: cv2.dnn.Net = self._of_thread.net
        return net


def peaks_near(maps: NDArray[np.float32], points: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the middle of each map's peak near its point, and the peak's height.

    Parameters
    ----------
    maps : ndarray, shape (n, 64, 64)
        As the network gives them: logits.
    points : ndarray, shape (n, 2)
        In the input, 0 to 256.

    Returns
    -------
    middles : ndarray, shape (n, 2)
        In the input; weighted by the map over seven by seven cells.
    heights : ndarray, shape (n,)
        0 to 1.
    """
    window = np.arange(-_REACH_CELLS, _REACH_CELLS + 1)
    first = np.clip(points // _CELL_PX, 0, _MAP_CELLS - 1).astype(np.int64)
    # beyond the edge its cells are seen again, which pulls the middle inwards a little
    cells = np.clip(first[..., None] + window, 0, _MAP_CELLS - 1)
    columns, rows = cells[:, 0, None, :], cells[:, 1, :, None]
    logits = maps[np.arange(len(maps))[:, None, None], rows, columns].astype(np.float64)
    shown = 0.5 * (1.0 + np.tanh(0.5 * logits))
    total = shown.sum(axis=(1, 2))
    middles = np.column_stack(
        [(shown * columns).sum(axis=(1, 2)) / total, (shown * rows).sum(axis=(1, 2)) / total]
    )
    return _CELL_PX * (middles + 0.5), shown.max(axis=(1, 2))


@dataclass(frozen=True, kw_only=True)
class PoseAnswer:
    """What the network says of one picture, asked both ways round.

    Attributes
    ----------
    points_px, mirrored_px : ndarray, shape (33, 2), px
        Of the picture, and of its mirrored image turned back.
    peaks : ndarray, shape (33,)
        The lower of both answers' peaks, 0 to 1.
    score : float
        The lower of both scores, 0 to 1.
    region : Region
        Where it looked.
    next_region : Region
        Where the body is, for the next frame.
    """

    points_px: FloatArray
    mirrored_px: FloatArray
    peaks: FloatArray
    score: float
    region: Region
    next_region: Region

    def is_found(self, size_px: tuple[int, int]) -> bool:
        """Return whether a body is there, in a picture of this width and height."""
        return self.score >= MIN_SCORE and is_usable(self.next_region, size_px)


def ask(
    network: BodyNetwork, picture: Picture, region: Region, beside: Executor | None = None
) -> PoseAnswer:
    """Ask the network about a region, and about its mirrored image.

    Parameters
    ----------
    network : BodyNetwork
    picture : ndarray, shape (h, w, 3), uint8
        RGB.
    region : Region
    beside : Executor, optional
        Whose thread is asked about the mirrored image meanwhile; the same thread, after the other,
        without.
    """
    cut = region.cut_out(picture)
    back_cut = np.ascontiguousarray(cut[:, ::-1])
    waiting = None if beside is None else beside.submit(network.run, back_cut)
    straight = network.run(cut)
    flipped = network.run(back_cut) if waiting is None else waiting.result()
    points, back = straight.points, flipped.points.copy()
    back[:, 0] = INPUT_PX - back[:, 0]
    middle, above = region.placed(0.5 * (points + back)[_MIDDLE : _ABOVE + 1])
    return PoseAnswer(
        points_px=region.placed(points[:N_POINTS]),
        mirrored_px=region.placed(back[:N_POINTS][MIRRORED]),
        peaks=np.minimum(straight.peaks, flipped.peaks[MIRRORED]),
        score=min(straight.score, flipped.score),
        region=region,
        next_region=region_of_points(middle, above),
    )
