"""Open a clip with plain reasons when it cannot be opened, and read what its head says."""

from __future__ import annotations

import math
import os
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import av
import numpy as np
from av.sidedata.sidedata import Type as SideDataType

from deliverylab.core.errors import ClipError

if TYPE_CHECKING:
    from av.container import InputContainer
    from av.video.frame import VideoFrame
    from av.video.stream import VideoStream

# Text and still-art decoders that claim plain text files.
_TEXT_CODECS = frozenset({"ansi", "bintext", "idf", "xbin"})
_ANOTHER_FILE = "choose a video file such as MP4, MOV, MKV or AVI"
# Local files only: a playlist inside a clip must never reach for the network.
_OPTIONS = {"protocol_whitelist": "file"}
# Titles in no known encoding must not keep a clip shut; PyAV 19 does that by itself.
_LENIENT: dict[str, Any] = (
    {"metadata_errors": "replace"} if int(av.__version__.partition(".")[0]) < 19 else {}
)


@dataclass(frozen=True)
class Orientation:
    """Say how a stored picture becomes the upright one.

    Attributes
    ----------
    rotation_deg : int
        Clockwise turn to apply (0, 90, 180, 270), after the mirroring.
    is_mirrored : bool
        Whether left and right are exchanged first.
    """

    rotation_deg: int = 0
    is_mirrored: bool = False


def open_clip(path: str | Path) -> tuple[InputContainer, VideoStream]:
    """Open a clip and choose its moving-picture stream.

    Parameters
    ----------
    path : str or pathlib.Path
        The file; only this file is read, whatever it refers to.

    Returns
    -------
    container, stream : av.container.InputContainer, av.video.stream.VideoStream
        To be closed by the caller.

    Raises
    ------
    ClipError
        The file is missing, empty, cut off before its table of contents, no video, has no
        moving picture, or its codec is unknown.
    """
    file = Path(path).absolute()
    _check_file(file)
    try:
        container = open_local(file)
    except (av.error.FFmpegError, OSError) as problem:
        raise _opening_error(file, problem) from problem
    try:
        return container, _choose_stream(container, file)
    except BaseException:
        container.close()
        raise


def open_local(file: Path) -> InputContainer:
    """Open a file with pictures or sound; nothing that it refers to elsewhere is fetched.

    Raises
    ------
    OSError, av.error.FFmpegError
        It is none, or cannot be read.
    """
    opened: InputContainer = av.open(
        str(file.absolute()), "r", container_options=dict(_OPTIONS), **_LENIENT
    )
    return opened


def _check_file(file: Path) -> None:
    # unlike the method of a Path, this holds for names of any length
    if not os.path.exists(file):  # noqa: PTH110
        raise ClipError(
            "the clip does not exist",
            where=str(file),
            remedy="check the name, or relink the clip if it was moved",
        )
    if not file.is_file():
        raise ClipError("this is not a file", where=str(file), remedy=_ANOTHER_FILE)
    if file.stat().st_size == 0:
        raise ClipError(
            "the clip is empty (zero bytes)",
            where=str(file),
            remedy="copy or download it again",
        )


def _opening_error(file: Path, problem: Exception) -> ClipError:
    if isinstance(problem, PermissionError):
        return ClipError(
            "the clip may not be read", where=str(file), remedy="check the file's permissions"
        )
    with file.open("rb") as stream:
        head = stream.read(12)
    if head[4:8] in {b"ftyp", b"moov", b"mdat", b"wide", b"free"}:
        return ClipError(
            "the clip is cut off: its table of contents is missing",
            where=str(file),
            remedy="copy or download it again; the recording or transfer was not finished",
        )
    return ClipError("this is not a video that can be read", where=str(file), remedy=_ANOTHER_FILE)


def _choose_stream(container: InputContainer, file: Path) -> VideoStream:
    moving = [
        stream
        for stream in container.streams.video
        if not stream.disposition & av.stream.Disposition.attached_pic
        and not stream.disposition & av.stream.Disposition.still_image
    ]
    if not moving:
        raise ClipError("the file holds no moving picture", where=str(file), remedy=_ANOTHER_FILE)
    # None for a codec that this build does not know, which the library's type hints leave out.
    readable = [stream for stream in moving if getattr(stream, "codec_context", None) is not None]
    if not readable:
        raise ClipError(
            "the clip's video codec is unknown here",
            where=str(file),
            remedy="convert it to H.264 in an MP4 file",
        )
    # A phone may add a small preview track; the largest picture is the recording.
    best = max(readable, key=lambda stream: (stream.width or 0) * (stream.height or 0))
    if best.codec_context.name in _TEXT_CODECS:
        raise ClipError(
            "this is not a video that can be read", where=str(file), remedy=_ANOTHER_FILE
        )
    return best


def stamp_of(frame: VideoFrame) -> int | None:
    """Return a decoded frame's presentation stamp in stream units, None if it has none."""
    return frame.pts if frame.pts is not None else frame.dts


def orientation_of(frame: VideoFrame) -> Orientation:
    """Read the display matrix of a decoded frame; the identity when there is none.

    Notes
    -----
    The first two columns are 16.16 fixed-point numbers (ISO/IEC 14496-12, track header): a stored
    point (x, y) is shown at (a x + c y, b x + d y).  With y pointing down, atan2(b, a) is the
    clockwise turn.  A negative determinant is a mirror image.  Angles are rounded to quarter turns.
    """
    found: Any = frame.side_data  # a mapping, which the library's type hints do not say
    if SideDataType.DISPLAYMATRIX not in found:
        return Orientation()
    matrix = bytes(found[SideDataType.DISPLAYMATRIX])
    a, b, _, c, d = np.frombuffer(matrix, np.int32)[:5].astype(float)
    is_mirrored = a * d - b * c < 0
    if is_mirrored:
        a, b = -a, -b
    quarter_turns = round(math.degrees(math.atan2(b, a)) / 90) % 4
    return Orientation(90 * quarter_turns, is_mirrored)


def pixel_aspect_of(stream: VideoStream) -> Fraction:
    """Return width over height of one stored pixel; 1 when unknown or implausible."""
    aspect = stream.sample_aspect_ratio
    if aspect is None or not Fraction(1, 4) <= aspect <= 4:
        return Fraction(1)
    return Fraction(aspect)
