"""Make the walkthrough clip: both deliveries side by side, standing still where it matters."""

from __future__ import annotations

import math
import os
import tempfile
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.compare.difference import differences as measured_differences
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.compare.walkthrough_plan import RATE_HZ
from deliverylab.core.errors import ClipError, OutputError, UsageError
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.walkthrough import Walkthrough
from deliverylab.core.report.walkthrough_frame import Walk, draw_frame, prepared_walk
from deliverylab.core.report.walkthrough_layout import DEFAULT_SIZE, walk_layout
from deliverylab.core.store.clips import files_of, project_folder, resolve_clip
from deliverylab.core.video.voice import Voice, read_voice
from deliverylab.core.video.writer import write_clip
from deliverylab.core.workflow.frames import ProjectFrames

CRF = 20.0
KEY_EVERY_S = 1
ENCODING = {"preset": "veryfast", "profile": "high"}
Picture = NDArray[np.uint8]


class _CancelledError(Exception):
    """Somebody does not want the clip any more."""


def prepared(
    record: ProjectRecord,
    script: Walkthrough,
    *,
    size: tuple[int, int] = DEFAULT_SIZE,
    differences: Sequence[Difference] | None = None,
) -> Walk:
    """Return a walkthrough of a project that is ready to be drawn picture by picture.

    Parameters
    ----------
    record : ProjectRecord
    script : Walkthrough
    size : (int, int)
        Width and height, px, both even.
    differences : sequence of Difference, optional
        Of the pair; measured where not given.

    Raises
    ------
    NotFoundError, UsageError, InputValueError
        No such delivery; too few common events, or a stop at one that is not marked; a size that
        cannot be.
    """
    project = Project(record)
    a, b = (project.delivery(name) for name in script.pair)
    found = measured_differences(a, b) if differences is None else differences
    layout = walk_layout(size)
    return prepared_walk(script, a, b, layout, found, record.unit_system, rate_hz=RATE_HZ)


def make_walkthrough(
    record: ProjectRecord,
    project_path: str | Path | None,
    script: Walkthrough,
    out_path: str | Path,
    *,
    size: tuple[int, int] = DEFAULT_SIZE,
    differences: Sequence[Difference] | None = None,
    progress: Callable[[float], None] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    problems: dict[str, str] | None = None,
) -> Path | None:
    """Write the walkthrough of two deliveries as an MP4 that plays everywhere.

    Parameters
    ----------
    record : ProjectRecord
    project_path : str or pathlib.Path or None
        The project file, which clips and voice are relative to.
    script : Walkthrough
    out_path : str or pathlib.Path
        Ends in ``.mp4``; an older file is replaced once the new one is whole.
    size : (int, int)
        Width and height, px, both even.
    differences : sequence of Difference, optional
        Of the pair; measured where not given.
    progress : callable, optional
        Takes the share that is done, 0 to 1.
    is_cancelled : callable, optional
        Asked before each picture.
    problems : dict of str to str, optional
        Takes why a clip gave no pictures, by its path; the skeleton is then shown alone.

    Returns
    -------
    pathlib.Path or None
        `out_path`; None where it was cancelled, and an older file of that name is as it was.

    Raises
    ------
    UsageError
        Too few common events, a stop at one that is not marked, or the clip would be written over
        a file that it is made from.
    NotFoundError, InputValueError, ClipError, OutputError
        No such delivery; a size that cannot be; the voice cannot be read; the file cannot be
        written.

    Notes
    -----
    H.264 High, 4:2:0, BT.709, 30 pictures a second of even length.  A voice is AAC at 48 kHz and as
    long as the pictures: where it is longer, the last picture stands until it ends; where it is
    shorter, silence follows.
    """
    target = Path(out_path)
    walk = prepared(record, script, size=size, differences=differences)
    voice_place = voice_path(script, project_path)
    _check_target(target, _sources(record, project_path, walk, voice_place))
    n_frames = len(walk.cues)
    voice = None if voice_place is None else read_voice(voice_place)
    if voice is not None:
        needed_s = script.voice_offset_s + voice.duration_s
        n_frames = max(n_frames, math.ceil(needed_s * RATE_HZ))
        voice = voice.laid(script.voice_offset_s, n_frames / RATE_HZ)
    with ProjectFrames(project_path) as frames:
        pictures = _pictures(walk, frames, n_frames, progress, is_cancelled)
        try:
            _write(target, pictures, voice)
        except _CancelledError:
            return None
        finally:
            if problems is not None:
                problems.update(frames.problems)
    return target


def _pictures(
    walk: Walk,
    frames: ProjectFrames,
    n_frames: int,
    progress: Callable[[float], None] | None,
    is_cancelled: Callable[[], bool] | None,
) -> Iterator[Picture]:
    """Give the clip's pictures in order: the very same one while nothing moves."""
    pair = walk.pair
    shown, picture = None, None
    for number in range(n_frames):
        if is_cancelled is not None and is_cancelled():
            raise _CancelledError
        cue = walk.cues[min(number, len(walk.cues) - 1)]
        if picture is None or cue != shown:
            both = (
                frames(pair.a, pair.camera_a, cue.athlete_frame),
                frames(pair.b, pair.camera_b, cue.model_frame),
            )
            shown, picture = cue, draw_frame(walk, cue, both)
        yield picture
        if progress is not None:
            progress((number + 1) / n_frames)


def _write(target: Path, pictures: Iterator[Picture], voice: Voice | None) -> None:
    """Write the clip beside its place, and put it there once it is whole."""
    try:
        with tempfile.TemporaryDirectory(prefix=".walkthrough-", dir=target.parent) as folder:
            aside = write_clip(
                Path(folder) / target.name,
                pictures,
                Fraction(RATE_HZ),
                crf=CRF,
                gop=KEY_EVERY_S * RATE_HZ,
                options=ENCODING,
                voice=voice,
                is_faststart=True,
            )
            aside.replace(target)
    except (OSError, ClipError) as problem:
        told = problem.remedy if isinstance(problem, ClipError) else problem.strerror or problem
        raise OutputError(
            "the walkthrough cannot be written",
            where=str(target),
            remedy=f"check the folder and its free space ({told})",
        ) from problem


def voice_path(script: Walkthrough, project_path: str | Path | None) -> Path | None:
    """Return where a script's voice is, seen from the project's folder; None without one."""
    if not script.voice:
        return None
    folder = Path() if project_path is None else project_folder(project_path)
    return folder / script.voice


def _sources(
    record: ProjectRecord, project_path: str | Path | None, walk: Walk, voice: Path | None
) -> list[Path]:
    """Return the files that a walkthrough is made from, also clips that were moved."""
    found = [] if project_path is None else files_of(record, project_path)
    for camera in (walk.pair.camera_a, walk.pair.camera_b):
        clip = None if camera.clip is None else resolve_clip(project_path, camera.clip)
        found += [] if clip is None else [clip]
    return found if voice is None else [*found, voice]


def _check_target(target: Path, sources: Sequence[Path]) -> None:
    """Refuse to write over what the clip is made from, and names that are no MP4."""
    if target.suffix.lower() != ".mp4":
        raise OutputError(
            "a walkthrough is an MP4 file", where=str(target), remedy="let its name end in .mp4"
        )
    if os.path.realpath(target) in {os.path.realpath(path) for path in sources}:
        raise UsageError(
            "the walkthrough would be written over a file that it is made from",
            where=str(target),
            remedy="choose another name",
        )
