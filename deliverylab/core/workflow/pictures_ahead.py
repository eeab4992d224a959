"""Pictures read in a thread of their own, the next ones while the last one is worked on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from itertools import pairwise
from types import TracebackType
from typing import Self

import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8] | None
N_AHEAD = 4
"""Pictures read before they are asked for: a colour picture at 1080p takes 6 MB."""


class PicturesAhead:
    """Give pictures by frame, and read on in the order in which they will be asked for.

    Parameters
    ----------
    read : callable
        Reads a frame; it is only called from one thread, which is not the caller's.
    frames : sequence of int
        Frames in the order of going through them, ascending.
    """

    def __init__(self, read: Callable[[int], Picture], frames: Sequence[int]) -> None:
        self._read = read
        self._after = dict(pairwise(frames))
        self._thread = ThreadPoolExecutor(max_workers=1)
        self._waiting: dict[int, Future[Picture]] = {}

    def __enter__(self) -> Self:
        """Return itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Stop reading."""
        self._thread.shutdown(cancel_futures=True)

    def __call__(self, frame: int) -> Picture:
        """Return a frame's picture; None where it cannot be read."""
        if frame not in self._waiting:
            # somebody went elsewhere: what was read ahead is not what is wanted
            for future in self._waiting.values():
                future.cancel()
            self._waiting.clear()
        ahead: int | None = frame
        for _ in range(N_AHEAD + 1):
            if ahead is None:
                break
            if ahead not in self._waiting:
                self._waiting[ahead] = self._thread.submit(self._read, ahead)
            ahead = self._after.get(ahead)
        return self._waiting.pop(frame).result()
