"""Keep a light copy of a clip in memory, each picture on its own, for quick scrubbing."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, cast

import av
from av.codec.context import Flags
from av.video.reformatter import ColorRange, Colorspace, Interpolation, VideoReformatter

from deliverylab.core.video.picture import packed_pixels, pixel_view, source_colours, turn_upright

if TYPE_CHECKING:
    import numpy as np
    from av.video.codeccontext import VideoCodecContext
    from av.video.frame import VideoFrame
    from numpy.typing import NDArray

    from deliverylab.core.video.opening import Orientation

# Full HD passes whole; larger pictures are halved until decoding one fits into a screen refresh.
_MOST_PIXELS = 2_400_000
# Above this the picture takes too long to decode, below the lesser one it is better halved.
_MOST_BYTES_PER_PIXEL = 0.075
_LEAST_BYTES_PER_PIXEL = 0.015
_NOMINAL_RATE_HZ = 30


def plan_size(
    width_px: int, height_px: int, n_frames: int, budget_bytes: int
) -> tuple[int, int, int]:
    """Choose the size of the copy's pictures and the bytes that each may take.

    Parameters
    ----------
    width_px, height_px : int
        Upright size of the clip.
    n_frames : int
        Frames to be kept.
    budget_bytes : int
        Memory for all of them.

    Returns
    -------
    width_px, height_px, n_bytes : int
        Size of the light pictures (halved as often as need be) and the most bytes for one.
    """
    share = budget_bytes // max(n_frames, 1)
    n_pixels = width_px * height_px
    while n_pixels > 4096 and (
        n_pixels > _MOST_PIXELS or share < _LEAST_BYTES_PER_PIXEL * n_pixels
    ):
        width_px, height_px = (width_px + 1) // 2, (height_px + 1) // 2
        n_pixels = width_px * height_px
    # Small pictures need more bytes a pixel, and cost little to decode.
    return width_px, height_px, min(share, max(30_000, int(_MOST_BYTES_PER_PIXEL * n_pixels)))


# The second is larger and slower, but in every build of the library.
ENCODERS = ("libx264", "mjpeg")


def usable_encoder() -> str:
    """Return the first of `ENCODERS` that this build of the library has."""
    return next(name for name in ENCODERS if name in av.codecs_available)


def _encoder_of(name: str, width_px: int, height_px: int, n_bytes: int) -> VideoCodecContext:
    """Build an encoder that gives one packet per picture at once, none above `n_bytes`."""
    encoder = cast("VideoCodecContext", av.CodecContext.create(name, "w"))
    if name == "mjpeg":
        encoder.pix_fmt = "yuvj420p"
        encoder.options = {"qmin": "4", "qmax": "31"}
    else:
        kbit = max(1, n_bytes * 8 // 1000)
        encoder.pix_fmt = "yuv420p"
        encoder.options = {
            "preset": "ultrafast",
            "tune": "zerolatency,fastdecode",
            "crf": "23",
            "x264-params": "keyint=1:slices=4:repeat-headers=1"
            f":vbv-maxrate={kbit * _NOMINAL_RATE_HZ}:vbv-bufsize={kbit}",
        }
    # The encoder wants even sizes.
    encoder.width, encoder.height = width_px + width_px % 2, height_px + height_px % 2
    encoder.time_base = Fraction(1, _NOMINAL_RATE_HZ)
    encoder.framerate = Fraction(_NOMINAL_RATE_HZ)
    encoder.gop_size = 1
    encoder.max_b_frames = 0
    encoder.thread_count = 1
    return encoder


class WarmCopy:
    """Hold light pictures of a range of frames; one thread may add while another reads.

    Parameters
    ----------
    width_px, height_px : int
        Upright size of the clip.
    orientation : Orientation
        How its stored pictures become upright.
    n_frames : int
        Frames to be kept.
    budget_bytes : int
        Memory for all of them; frames beyond it are not kept.
    encoder : str, optional
        One of `ENCODERS`; the default is the first that works here.
    """

    def __init__(
        self,
        width_px: int,
        height_px: int,
        orientation: Orientation,
        *,
        n_frames: int,
        budget_bytes: int,
        encoder: str | None = None,
    ) -> None:
        self.width_px, self.height_px, n_bytes = plan_size(
            width_px, height_px, n_frames, budget_bytes
        )
        self._orientation = orientation
        self._budget_bytes = budget_bytes
        self._encoder = _encoder_of(
            encoder or usable_encoder(), self.width_px, self.height_px, n_bytes
        )
        self._is_full_range = self._encoder.name == "mjpeg"
        self._decoder: VideoCodecContext | None = None
        self._matrix = Colorspace.ITU709
        self._turner = VideoReformatter()
        self._shrinker = VideoReformatter()
        self._painter = VideoReformatter()
        self._pictures: dict[int, bytes] = {}
        self.held_bytes = 0

    def __contains__(self, frame: int) -> bool:
        """Return whether a frame is held."""
        return frame in self._pictures

    def add(self, frame: int, stored: VideoFrame) -> None:
        """Keep a light copy of a stored frame if the budget allows."""
        if self.held_bytes >= self._budget_bytes:
            return
        packets = self._encoder.encode(self._light(frame, stored))
        data = b"".join(bytes(packet) for packet in packets)
        if data and self.held_bytes + len(data) <= self._budget_bytes:
            self.held_bytes += len(data) - len(self._pictures.get(frame, b""))
            self._pictures[frame] = data

    def picture(self, frame: int) -> NDArray[np.uint8]:
        """Return a held frame.

        Returns
        -------
        numpy.ndarray, shape (self.height_px, self.width_px, 3), uint8
            Upright RGB, lossy; its lines may be padded.

        Raises
        ------
        KeyError
            The frame is not held.
        """
        packet = av.Packet(self._pictures[frame])
        packet.pts = packet.dts = frame
        packet.time_base = Fraction(1, _NOMINAL_RATE_HZ)
        if self._decoder is None:
            self._decoder = self._new_decoder()
        decoded = self._decoder.decode(packet)
        if not decoded:
            # A decoder that holds a picture back: push it out.
            decoded = self._decoder.decode(None)
            self._decoder.flush_buffers()
        rgb = self._painter.reformat(
            decoded[-1],
            width=self.width_px,
            height=self.height_px,
            format="rgb24",
            src_colorspace=self._matrix,
            src_color_range=self._range,
            dst_color_range=ColorRange.JPEG,
        )
        return pixel_view(rgb)

    @property
    def _range(self) -> ColorRange:
        return ColorRange.JPEG if self._is_full_range else ColorRange.MPEG

    def _light(self, frame: int, stored: VideoFrame) -> VideoFrame:
        """Return the picture upright, small and in the encoder's pixel format."""
        matrix, levels = source_colours(stored)
        self._matrix = matrix
        if self._orientation.rotation_deg or self._orientation.is_mirrored:
            rgb = self._turner.reformat(
                stored,
                format="rgb24",
                src_colorspace=matrix,
                src_color_range=levels,
                dst_color_range=ColorRange.JPEG,
            )
            upright = turn_upright(packed_pixels(rgb), self._orientation)
            stored, levels = av.VideoFrame.from_ndarray(upright, format="rgb24"), ColorRange.JPEG
        light = self._shrinker.reformat(
            stored,
            width=self._encoder.width,
            height=self._encoder.height,
            format=self._encoder.pix_fmt,
            src_colorspace=matrix,
            dst_colorspace=matrix,
            src_color_range=levels,
            dst_color_range=self._range,
            interpolation=Interpolation.AREA,
            threads=1,
        )
        light.pts = frame
        light.time_base = self._encoder.time_base
        light.pict_type = 0
        return light

    def _new_decoder(self) -> VideoCodecContext:
        name = "mjpeg" if self._is_full_range else "h264"
        decoder = cast("VideoCodecContext", av.CodecContext.create(name, "r"))
        # Slices side by side: threads that hold no picture back.
        decoder.thread_type = "SLICE"
        decoder.thread_count = 2
        decoder.flags |= Flags.low_delay
        return decoder
