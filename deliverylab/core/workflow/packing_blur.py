"""Blur the heads in a clip's pictures: the athlete's by landmarks, others as far as they are seen."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import Final

import msgspec
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.detector_files import detector_weights
from deliverylab.core.tracking.faces import Disc, FaceFinder, blurred, blurred_all
from deliverylab.core.tracking.pose_landmarks import ROW
from deliverylab.core.workflow import detecting
from deliverylab.core.workflow.packing_cut import Cut
from deliverylab.core.workflow.packing_faces import HEAD, HeadCourse, head_course

replace = msgspec.structs.replace
LOOK_EVERY_S: Final = 0.05
"""Real seconds between two looks of the detector: a disc grows for longer than that."""
FIND_EVERY_S: Final = 0.1
"""Real seconds between two looks of the face finder, which is slow."""
_HELD: Final = 2
"""Looks for which a face that it saw stays covered."""


class FaceBlur:
    """An edit of pictures, called with the clip's frames in order.

    Where landmarks, or the detector where it is installed, tell where the athlete's head is, it is
    blurred; where they do not, the whole picture is.  Other faces are blurred where the finder sees
    them, which is no promise.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Whose clip.
    project_path : str, pathlib.Path or None
        The project file.
    cut : Cut
        The frames that will come.
    keep_on : callable, optional
        Called now and then while the detector looks; what it raises ends the work.

    Attributes
    ----------
    n_located, n_coarse : int
        Pictures in which the head was located, and pictures that were blurred all over.
    """

    def __init__(
        self,
        delivery: Delivery,
        camera: Camera,
        project_path: str | Path | None,
        cut: Cut,
        keep_on: Callable[[], object] | None = None,
    ) -> None:
        self.n_located = self.n_coarse = 0
        self._course = head_course(camera)
        rate_hz = camera.timing.true_rate_hz
        self._every = max(1, round(FIND_EVERY_S * rate_hz))
        step = max(1, round(LOOK_EVERY_S * rate_hz))
        if detector_weights() is not None:
            for stretch in _unlocated(self._course, cut):
                camera = _with_detected(delivery, camera, project_path, stretch, step, keep_on)
            self._course = head_course(camera)
        self._finder = FaceFinder()
        self._seen: deque[list[Disc]] = deque(maxlen=_HELD)
        self._n_called = 0

    def head(self, frame: int) -> Disc | None:
        """Return the disc that holds the athlete's head in a frame; None where it is not located."""
        return self._course.disc(frame)

    def __call__(self, frame: int, picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return the picture of a frame with heads blurred."""
        if self._n_called % self._every == 0:
            self._seen.append(self._finder.find(picture))
        self._n_called += 1
        head = self.head(frame)
        if head is None:
            self.n_coarse += 1
            return blurred_all(picture)
        self.n_located += 1
        return blurred(picture, [head, *(disc for discs in self._seen for disc in discs)])


def _unlocated(course: HeadCourse, cut: Cut) -> list[tuple[int, int]]:
    """Return the stretches of frames in which the head is not located, first and last of each."""
    frames = range(cut.first_frame, cut.last_frame + 1)
    missing = np.array([frame for frame in frames if course.disc(frame) is None], dtype=np.int64)
    parts = np.split(missing, np.flatnonzero(np.diff(missing) > 1) + 1)
    return [(int(part[0]), int(part[-1])) for part in parts if len(part)]


def _with_detected(
    delivery: Delivery,
    camera: Camera,
    project_path: str | Path | None,
    frames: tuple[int, int],
    step: int,
    keep_on: Callable[[], object] | None,
) -> Camera:
    """Return the camera with the detector's places of the head where nothing else tells."""
    try:
        found = detecting.detect(
            delivery,
            camera,
            project_path,
            detecting.installed_network(),
            frames=frames,
            step=step,
            progress=None if keep_on is None else (lambda _share: keep_on()),
        )
    except DeliveryLabError:
        # several people, nobody, or no detector that works: it is optional here
        return camera
    tracks = dict(camera.tracks)
    for key in HEAD:
        track = camera.track(key)
        xy_px = found.poses.xy_px[:, ROW[key]].tolist()
        places: dict[int, Position | None] = {
            frame: Position(xy_px[number][0], xy_px[number][1], None, "detected")
            for number, frame in enumerate(found.frames.tolist())
            if found.poses.is_believed[number, ROW[key]] and track.at(frame) is None
        }
        tracks[key] = (
            track.updated(places)
            if len(track)
            else Track.of((frame, place) for frame, place in places.items() if place is not None)
        )
    return replace(camera, tracks=tracks)
