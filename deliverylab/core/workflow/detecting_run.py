"""One pass of the detector through a clip: where it begins, how it goes on, what it keeps."""

from __future__ import annotations

import math
from collections.abc import Callable
from concurrent.futures import Executor, ThreadPoolExecutor
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.store.detected_answers import (
    Answers,
    answers_file,
    keep_answers,
    kept_answers,
)
from deliverylab.core.tracking.pose import N_POINTS, BodyNetwork, PoseAnswer, ask
from deliverylab.core.tracking.pose_checks import RawPoses
from deliverylab.core.tracking.pose_region import Picture, Region, region_of_box
from deliverylab.core.tracking.pose_scan import people
from deliverylab.core.workflow.frames import ProjectFrames
from deliverylab.core.workflow.pictures_ahead import PicturesAhead

FloatArray = NDArray[np.float64]
Progress = Callable[[float], object]
Box = tuple[float, float, float, float]

KEEP_EVERY = 60
"""Frames after which what was done is kept on disk."""
SCAN_EVERY = 10
"""Frames between scans of the whole picture while nobody is found: a scan takes a second or two."""
_N_BESIDE = 2
"""Threads that look at mirrored pictures, and at the windows of a scan."""
_N_FLAT = 2 * N_POINTS
_N_ROW = 2 * _N_FLAT + N_POINTS + 5
"""Numbers kept of a frame: places of both answers, peaks, input pixel, next region."""


class SeveralPeopleError(InputValueError):
    """Several people are in the first picture, and nothing says which is the athlete.

    Attributes
    ----------
    boxes : tuple of tuple of float
        Left, top, width and height about each, px; the largest first.
    """

    boxes: tuple[Box, ...] = ()


class DetectorRun:
    """Ask the detector frame by frame, and keep its answers for the next run.

    Parameters
    ----------
    delivery, camera, project_path
        Whose clip.
    network : BodyNetwork
    box : tuple of float or None
        About the athlete in the first frame; None scans for them.
    answers_folder : pathlib.Path or None
        Where answers are kept; None for the user's cache folder.

    Raises
    ------
    ClipError
        There is no clip.
    """

    def __init__(
        self,
        delivery: Delivery,
        camera: Camera,
        project_path: str | Path | None,
        network: BodyNetwork,
        box: Box | None,
        answers_folder: Path | None = None,
    ) -> None:
        if camera.clip is None:
            raise ClipError(
                "there is no clip to look at", where=f"{delivery.name}: {camera.name}",
                remedy="positions from elsewhere need no detector",
            )  # fmt: skip
        self._delivery, self._camera, self._project_path = delivery, camera, project_path
        self._network, self._box = network, box
        self._file = answers_file(camera.clip, box, answers_folder)
        self._rows = _rows_of(kept_answers(self._file))
        self._region: Region | None = None
        self._lost: Region | None = None
        self._next_scan = 0

    def through(
        self,
        frames: list[int],
        progress: Progress | None = None,
        is_cancelled: Callable[[], bool] | None = None,
    ) -> list[int]:
        """Go through frames in order; return those that were done before it ended.

        Raises
        ------
        ClipError
            The clip cannot be read.
        InputValueError
            Several people are there and no box says who; or the box is too small.
        """
        done: list[int] = []
        n_new = 0
        unseen = [frame for frame in frames if frame not in self._rows]
        with (
            ProjectFrames(self._project_path) as reader,
            PicturesAhead(
                lambda frame: reader(self._delivery, self._camera, frame), unseen
            ) as pictures,
            ThreadPoolExecutor(_N_BESIDE) as beside,
        ):
            try:
                for number, frame in enumerate(frames):
                    if is_cancelled is not None and is_cancelled():
                        break
                    if frame not in self._rows:
                        picture = pictures(frame)
                        if picture is None and not done:
                            raise self._unreadable(reader)
                        self._rows[frame] = self._looked_at(picture, number, beside)
                        n_new += 1
                        if n_new % KEEP_EVERY == 0:
                            self._keep()
                    self._go_on_from(self._rows[frame], number)
                    done.append(frame)
                    if progress is not None:
                        progress((number + 1) / len(frames))
            finally:
                if n_new:
                    self._keep()
        return done

    def raw(self, frames: list[int]) -> RawPoses:
        """Return the answers for frames that were done."""
        rows = np.array([self._rows[frame] for frame in frames])
        n = len(rows)
        return RawPoses(
            frames=np.array(frames, dtype=np.int64),
            points_px=rows[:, :_N_FLAT].reshape(n, N_POINTS, 2),
            mirrored_px=rows[:, _N_FLAT : 2 * _N_FLAT].reshape(n, N_POINTS, 2),
            peaks=rows[:, 2 * _N_FLAT : 2 * _N_FLAT + N_POINTS],
            pixel_px=rows[:, -5],
        )

    def _looked_at(self, picture: Picture | None, number: int, beside: Executor) -> FloatArray:
        """Return the row of a frame; NaN where nobody is found, or it cannot be decoded."""
        nothing = np.full(_N_ROW, np.nan)
        if picture is None:
            return nothing
        size = picture.shape[1], picture.shape[0]
        if self._region is None:
            self._region = self._start(picture, number, beside)
        if self._region is None:
            return nothing
        answer = ask(self._network, picture, self._region, beside)
        return _row(answer) if answer.is_found(size) else nothing

    def _start(self, picture: Picture, number: int, beside: Executor) -> Region | None:
        """Return where the athlete is in a picture before any other, or after they were lost."""
        if self._box is not None and self._lost is None and number == 0:
            drawn = region_of_box(self._box)
            # its own answer frames the body better than a hand does
            answer = ask(self._network, picture, drawn, beside)
            size = picture.shape[1], picture.shape[0]
            return answer.next_region if answer.is_found(size) else drawn
        if number < self._next_scan:
            return None
        self._next_scan = number + SCAN_EVERY
        found = people(self._network, picture, beside)
        if self._lost is not None:
            last = self._lost
            near = [one for one in found if _away(one, last) < last.side_px]
            return min(near, key=lambda one: _away(one, last), default=None)
        if len(found) > 1:
            raise _several(found)
        return found[0] if found else None

    def _go_on_from(self, row: FloatArray, number: int) -> None:
        """Take up where the body is after a frame."""
        if np.isnan(row[0]):
            if self._region is not None:
                self._lost = self._region
                # the next frame is scanned; after that only now and then
                self._next_scan = number + 1
            self._region = None
            return
        x_px, y_px, side_px, turn_rad = row[-4:].tolist()
        self._region = Region(x_px=x_px, y_px=y_px, side_px=side_px, turn_rad=turn_rad)

    def _keep(self) -> None:
        frames = sorted(self._rows)
        rows = np.array([self._rows[frame] for frame in frames])
        keep_answers(self._file, {"frames": np.array(frames, dtype=np.float64), "rows": rows})

    def _unreadable(self, reader: ProjectFrames) -> ClipError:
        return ClipError(
            "the landmarks cannot be looked for",
            where=f"{self._delivery.name}: {self._camera.name}",
            remedy=next(iter(reader.problems.values()), "the frame cannot be read"),
        )


def _row(answer: PoseAnswer) -> FloatArray:
    """Return an answer as the plain numbers that are kept."""
    ahead = answer.next_region
    return np.concatenate(
        [
            answer.points_px.ravel(),
            answer.mirrored_px.ravel(),
            answer.peaks,
            [answer.region.pixel_px, ahead.x_px, ahead.y_px, ahead.side_px, ahead.turn_rad],
        ]
    )


def _rows_of(answers: Answers | None) -> dict[int, FloatArray]:
    """Return kept rows by frame; none where the file holds something else."""
    if answers is None or set(answers) != {"frames", "rows"}:
        return {}
    frames, rows = answers["frames"], answers["rows"]
    if frames.ndim != 1 or rows.shape != (len(frames), _N_ROW):
        return {}
    return dict(zip(frames.astype(int).tolist(), rows, strict=True))


def _away(a: Region, b: Region) -> float:
    return math.hypot(a.x_px - b.x_px, a.y_px - b.y_px)


def _several(found: list[Region]) -> SeveralPeopleError:
    boxes = "; ".join(",".join(f"{number:.0f}" for number in one.box) for one in found)
    error = SeveralPeopleError(
        f"there are {len(found)} people in the first picture", where=boxes,
        remedy="say which is the athlete: --box with one of these, or one drawn closer",
    )  # fmt: skip
    error.boxes = tuple(one.box for one in found)
    return error
