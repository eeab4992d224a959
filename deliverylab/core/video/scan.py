"""Scan a clip: its packets' stamps, its first picture, and what is wrong with the file."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

import av
import numpy as np

from deliverylab.core.errors import ClipError
from deliverylab.core.video.opening import (
    Orientation,
    open_clip,
    orientation_of,
    pixel_aspect_of,
    stamp_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from av.container import InputContainer
    from av.video.frame import VideoFrame
    from av.video.stream import VideoStream
    from numpy.typing import NDArray

# Written by Android cameras into slow-motion files.
_CAPTURE_RATE_TAG = "com.android.capture.fps"


@dataclass
class ClipScan:
    """Hold what a scan found; stamps are in units of `time_base`, in presentation order."""

    time_base: Fraction
    average_rate: Fraction | None
    codec: str
    container: str
    pixel_aspect: Fraction
    stated_capture_rate_hz: float | None
    n_declared: int
    promised_s: float
    stamps: NDArray[np.int64]
    key_stamps: NDArray[np.int64]
    n_hidden: int = 0
    is_suspect: bool = False
    is_cut_off: bool = False
    width_px: int = 0
    height_px: int = 0
    orientation: Orientation = field(default_factory=Orientation)
    pixel_format: str = ""
    notes: list[str] = field(default_factory=list)


def scan_clip(path: str | Path) -> ClipScan:
    """Read all packets and the first picture of a clip.

    Raises
    ------
    ClipError
        The clip cannot be opened, or no frame of it can be decoded, or its frames carry no times.
    """
    container, stream = open_clip(path)
    with container:
        found = _scan_packets(container, stream)
    if found.pixel_aspect != 1:
        found.notes.append(
            f"Its pixels are not square ({found.pixel_aspect}); pictures are stretched to be true."
        )
    if found.is_suspect:
        _keep_decodable(path, found)
    _read_first_picture(path, found)
    # Some containers promise a length, others the time of the end.
    first_s, last_s = (float(stamp * found.time_base) for stamp in found.stamps[[0, -1]].tolist())
    end_s = max(last_s, last_s - first_s)
    if not found.is_cut_off and found.promised_s - end_s > max(0.5, 0.2 * found.promised_s):
        found.notes.append(
            f"Its pictures end after {end_s:.1f} s although the file says {found.promised_s:.1f} s; "
            "it may be cut off."
        )
    if found.n_hidden:
        found.notes.append(f"{found.n_hidden} frames were trimmed away by the phone.")
    return found


def decode_all(container: InputContainer, stream: VideoStream) -> Iterator[VideoFrame]:
    """Yield every frame that decodes, in presentation order, passing over damaged packets."""
    context = stream.codec_context
    with contextlib.suppress(av.error.FFmpegError):
        for packet in container.demux(stream):
            # A decoder would make up the rest of an incomplete picture.
            if packet.size == 0 or packet.is_corrupt:
                continue
            try:
                frames = context.decode(packet)
            except av.error.FFmpegError:
                continue
            yield from frames
    # Without this the last good frames of a truncated file stay inside the decoder.
    with contextlib.suppress(av.error.FFmpegError):
        yield from context.decode(None)


def _scan_packets(container: InputContainer, stream: VideoStream) -> ClipScan:
    shown: list[int] = []
    keys: list[int] = []
    n_hidden = n_odd = 0
    is_cut_off = False
    try:
        for packet in container.demux(stream):
            if packet.size == 0:
                continue
            n_odd += packet.is_corrupt or packet.pts is None
            if packet.pts is None:
                continue
            if packet.is_keyframe:
                keys.append(packet.pts)
            if packet.is_discard:
                n_hidden += 1
            elif keys and packet.pts >= keys[0]:
                shown.append(packet.pts)
            else:
                # Before the first key frame: nothing to decode it from.
                n_odd += 1
    except av.error.FFmpegError:
        is_cut_off = True
    stamps = np.unique(np.asarray(shown, np.int64))
    n_declared = int(stream.frames or 0)
    is_cut_off |= 0 < len(shown) + n_hidden + n_odd < n_declared
    return ClipScan(
        time_base=Fraction(stream.time_base or 0),
        average_rate=Fraction(stream.average_rate) if stream.average_rate else None,
        codec=str(stream.codec_context.name),
        container=str(container.format.name),
        pixel_aspect=pixel_aspect_of(stream),
        stated_capture_rate_hz=_stated_rate(container, stream),
        n_declared=n_declared,
        promised_s=(container.duration or 0) / av.time_base,
        stamps=stamps,
        key_stamps=np.unique(np.asarray(keys, np.int64)),
        n_hidden=n_hidden,
        is_suspect=bool(n_odd or is_cut_off or len(stamps) < len(shown) or not shown),
        is_cut_off=is_cut_off,
    )


def _stated_rate(container: InputContainer, stream: VideoStream) -> float | None:
    for tags in (container.metadata, stream.metadata):
        try:
            rate = float(tags.get(_CAPTURE_RATE_TAG, ""))
        except ValueError:
            continue
        if 1 <= rate <= 10_000:
            return rate
    return None


def _keep_decodable(path: str | Path, found: ClipScan) -> None:
    """Replace the listed stamps by those of the frames that come out whole."""
    container, stream = open_clip(path)
    n_damaged = 0
    whole: list[int] = []
    with container:
        for frame in decode_all(container, stream):
            stamp = stamp_of(frame)
            if stamp is None or frame.is_corrupt:
                n_damaged += 1
            else:
                whole.append(stamp)
    if not whole:
        raise ClipError(
            "no frame of the clip can be decoded",
            where=str(path),
            remedy="copy or download it again, or convert it to H.264 in an MP4 file",
        )
    n_listed = max(len(found.stamps), found.n_declared - found.n_hidden)
    found.stamps = np.unique(np.asarray(whole, np.int64))
    n_lost = max(n_listed - len(found.stamps), n_damaged)
    if found.is_cut_off:
        found.notes.append(
            f"The file is cut off: {len(found.stamps)} frames can be used, {n_lost} are lost."
        )
    elif n_lost:
        found.notes.append(f"{n_lost} frames of the file are damaged and left out.")


def _read_first_picture(path: str | Path, found: ClipScan) -> None:
    container, stream = open_clip(path)
    with container:
        frame = next(decode_all(container, stream), None)
        if frame is None:
            raise ClipError(
                "no frame of the clip can be decoded",
                where=str(path),
                remedy="copy or download it again, or convert it to H.264 in an MP4 file",
            )
        found.width_px, found.height_px = frame.width, frame.height
        found.orientation = orientation_of(frame)
        found.pixel_format = str(frame.format.name)
