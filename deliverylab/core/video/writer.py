"""Write clips: walkthroughs, examples, and the test clips of every kind that phones produce."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import av
from av.video.reformatter import VideoReformatter

from deliverylab.core.errors import ClipError
from deliverylab.core.video.picture import HD_HEIGHT_PX
from deliverylab.core.video.sound_track import SoundTrack
from deliverylab.core.video.voice import Voice

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    import numpy as np
    from av.container import OutputContainer
    from av.video.stream import VideoStream
    from numpy.typing import NDArray

# ISO/IEC 23091-2 code points; for these two matrices swscale uses the same numbers.
_BT709 = 1
_BT601 = 6
_LIMITED_RANGE = 1
_FULL_RANGE = 2
_FINE_CLOCK_HZ = 240_000
"""Unit in which an MP4 tells how long it lasts: usual frame rates and 48 kHz sound are whole numbers
of it, which they are not of the thousandth of a second that is taken otherwise."""


def write_clip(
    path: str | Path,
    frames: Iterable[NDArray[np.uint8]],
    rate: Fraction | int,
    *,
    crf: float | None = 18,
    gop: int | None = None,
    codec: str = "libx264",
    pix_fmt: str = "yuv420p",
    stamps: Sequence[int] | None = None,
    time_base: Fraction | None = None,
    rotation_deg: int = 0,
    n_b_frames: int | None = None,
    is_full_range: bool = False,
    options: dict[str, str] | None = None,
    metadata: dict[str, str] | None = None,
    voice: Voice | None = None,
    is_faststart: bool = False,
) -> Path:
    """Encode RGB pictures into a clip.

    Parameters
    ----------
    path : str or pathlib.Path
        File to write; its ending chooses the container (mp4, mov, mkv, webm, avi, ts).
    frames : iterable of numpy.ndarray, shape (h, w, 3), uint8 RGB
        Pictures in presentation order, all of one size.
    rate : fractions.Fraction or int, Hz
        Nominal frame rate; without `stamps` each frame lasts exactly ``1 / rate`` seconds.
    crf : float, optional
        Constant quality of the encoder, lower is better; None leaves the encoder's default.
    gop : int, optional
        Greatest distance between key frames, in frames.
    codec, pix_fmt : str
        Encoder and pixel format by their FFmpeg names.
    stamps : sequence of int, optional
        Presentation stamp of each frame in units of `time_base`, ascending; for variable rates
        and for clips whose first stamp is not zero.
    time_base : fractions.Fraction, optional, s
        Unit of `stamps`; the default is ``1 / rate``.
    rotation_deg : int
        Clockwise turn that a player must apply (0, 90, 180, 270), stored in the display matrix.
    n_b_frames : int, optional
        Greatest number of consecutive B-frames.
    is_full_range : bool
        Store 0-255 luma instead of 16-235.
    options : dict of str, optional
        Further encoder options.
    metadata : dict of str, optional
        Tags to store with the clip.
    voice : Voice, optional
        Sound to lay under it as AAC, from its first frame on; it is as long as it is, so that it must
        be laid to the length of the pictures before (see `Voice.laid`).
    is_faststart : bool
        Put the table of contents in front of the pictures, so that a player can begin at once, and
        tell durations exactly; MP4 and MOV only.

    Returns
    -------
    pathlib.Path
        `path`.

    Raises
    ------
    ClipError
        No frames, frames of different size, fewer stamps than frames, or a refusal by the encoder
        or the file system.  A half-written file is removed.
    """
    target = Path(path)
    settings = dict(options or {})
    if crf is not None and codec != "mjpeg":
        settings.setdefault("crf", f"{crf:g}")
    try:
        flags = [*["use_metadata_tags"] * bool(metadata), *["faststart"] * is_faststart]
        said = {"movflags": "+".join(flags)} if flags else {}
        if is_faststart:
            said["movie_timescale"] = str(_FINE_CLOCK_HZ)
        with av.open(str(target.absolute()), "w", container_options=said) as container:
            container.metadata.update(metadata or {})
            stream = _add_stream(container, codec, Fraction(rate), pix_fmt, settings)
            unit = time_base or 1 / Fraction(rate)
            _configure(stream, unit, gop, n_b_frames, is_full_range)
            if rotation_deg % 360:
                # The container stores a counter-clockwise angle.
                stream.set_display_rotation(-rotation_deg)
            sound = None if voice is None else SoundTrack(container, voice)
            n_frames = _encode(container, stream, frames, unit, stamps, sound)
    except (OSError, av.error.FFmpegError, ValueError) as problem:
        target.unlink(missing_ok=True)
        raise ClipError(
            "the clip could not be written",
            where=str(target),
            remedy=f"check the folder, the free space and the format ({problem})",
        ) from problem
    if n_frames == 0:
        target.unlink(missing_ok=True)
        raise ClipError("a clip needs at least one frame", where=str(target))
    return target


def _add_stream(
    container: OutputContainer, codec: str, rate: Fraction, pix_fmt: str, settings: dict[str, str]
) -> VideoStream:
    stream: VideoStream = container.add_stream(codec, rate=rate, options=settings)  # type: ignore[assignment]
    stream.pix_fmt = pix_fmt
    return stream


def _configure(
    stream: VideoStream,
    time_base: Fraction,
    gop: int | None,
    n_b_frames: int | None,
    is_full_range: bool,
) -> None:
    context = stream.codec_context
    context.thread_count = 0
    context.time_base = time_base
    if gop is not None:
        context.gop_size = gop
    if n_b_frames is not None:
        context.max_b_frames = n_b_frames
    # grey is converted without a range, so it is full whatever is said
    is_full_range = is_full_range or (stream.pix_fmt or "").startswith(("yuvj", "gray"))
    context.color_range = _FULL_RANGE if is_full_range else _LIMITED_RANGE


def _encode(
    container: OutputContainer,
    stream: VideoStream,
    frames: Iterable[NDArray[np.uint8]],
    time_base: Fraction,
    stamps: Sequence[int] | None,
    sound: SoundTrack | None,
) -> int:
    context = stream.codec_context
    reformatter = VideoReformatter()
    n_frames = 0
    size: tuple[int, ...] = ()
    before: NDArray[np.uint8] | None = None
    for picture in frames:
        if n_frames == 0:
            size = picture.shape
            stream.height, stream.width = size[:2]
            is_hd = size[0] >= HD_HEIGHT_PX
            context.colorspace = _BT709 if is_hd else _BT601
            if is_hd:
                context.color_primaries = context.color_trc = _BT709
        elif picture.shape != size:
            raise ValueError(f"frame {n_frames} has shape {picture.shape}, the first had {size}")
        if stamps is not None and n_frames >= len(stamps):
            raise ValueError(f"only {len(stamps)} time stamps for more frames than that")
        if picture is not before:  # the very same picture again, as where a movement stands still
            frame = reformatter.reformat(
                av.VideoFrame.from_ndarray(picture, format="rgb24"),
                format=stream.pix_fmt,
                dst_colorspace=1 if context.colorspace == _BT709 else 5,
                dst_color_range=context.color_range,
            )
            frame.time_base = time_base
            before = picture
        frame.pts = n_frames if stamps is None else int(stamps[n_frames])
        container.mux(stream.encode(frame))
        if sound is not None:
            sound.feed(frame.pts * time_base)
        n_frames += 1
    if n_frames:
        container.mux(stream.encode(None))
        if sound is not None:
            sound.finish()
    return n_frames
