"""The pictures of a project's clips, by delivery, camera and frame."""

from __future__ import annotations

from pathlib import Path
from types import TracebackType
from typing import Self

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import ClipError
from deliverylab.core.model.delivery import Camera, ClipReference, Delivery
from deliverylab.core.store.clips import resolve_clip
from deliverylab.core.video.index import build_index
from deliverylab.core.video.reader import FrameReader


class ProjectFrames:
    """Give upright pictures of frames; None where there is no clip, or it cannot be read.

    A clip is opened when its first picture is asked for and stays open until `close`.  For one
    thread only.

    Parameters
    ----------
    project_path : str or pathlib.Path or None
        The project file, which the clips' paths are relative to.

    Attributes
    ----------
    problems : dict of str to str
        Why a clip gives no pictures, by its stored path.
    """

    def __init__(self, project_path: str | Path | None) -> None:
        self._project_path = project_path
        self._readers: dict[ClipReference, FrameReader | None] = {}
        self.problems: dict[str, str] = {}

    def __enter__(self) -> Self:
        """Return itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close the clips."""
        self.close()

    def __call__(self, _delivery: Delivery, camera: Camera, frame: int) -> NDArray[np.uint8] | None:
        """Return a frame, shape (h, w, 3), RGB; None without a clip.

        Parameters
        ----------
        camera : Camera
            Whose clip.
        frame : int
            Which frame, from 0.
        """
        if camera.clip is None:
            return None
        if camera.clip not in self._readers:
            self._readers[camera.clip] = self._opened(camera.clip)
        reader = self._readers[camera.clip]
        if reader is None or not 0 <= frame < reader.index.n_frames:
            return None
        try:
            return reader.read(frame)
        except ClipError as problem:
            self.problems[camera.clip.path] = str(problem)
            return None

    def close(self) -> None:
        """Close the clips; a later call opens them again."""
        for reader in self._readers.values():
            if reader is not None:
                reader.close()
        self._readers.clear()

    def _opened(self, reference: ClipReference) -> FrameReader | None:
        path = resolve_clip(self._project_path, reference)
        if path is None:
            self.problems[reference.path] = "the clip cannot be found"
            return None
        try:
            return FrameReader(build_index(path))
        except ClipError as problem:
            self.problems[reference.path] = str(problem)
            return None
