"""Read exact frames: a picture is handed out only if its stamp is the one asked for."""

from __future__ import annotations

from collections import OrderedDict, deque
from typing import TYPE_CHECKING, Self

import av
import numpy as np

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.video.opening import open_clip, stamp_of
from deliverylab.core.video.picture import PictureConverter

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from types import TracebackType

    from av.container import InputContainer
    from av.packet import Packet
    from av.video.frame import VideoFrame
    from av.video.stream import VideoStream
    from numpy.typing import NDArray

    from deliverylab.core.video.index import ClipIndex

# Decoding on past a key frame is cheaper than a seek for so few frames.
_NEAR_FRAMES = 8


class FrameReader:
    """Read frames of one clip by index, exactly; for one thread only.

    Parameters
    ----------
    index : ClipIndex
        The clip.
    n_threads : int
        Decoder threads, 0 for automatic.
    keep_bytes : int
        Memory for frames that were decoded last, so that stepping back is quick.

    Raises
    ------
    ClipError
        The file is gone or cannot be opened.
    """

    def __init__(
        self, index: ClipIndex, *, n_threads: int = 0, keep_bytes: int = 64 * 2**20
    ) -> None:
        self.index = index
        self._n_threads = n_threads
        picture_bytes = 2 * index.width_px * index.height_px
        self._n_kept = max(1, keep_bytes // picture_bytes)
        # In H.264 a frame is marked if no other leans on it.  HEVC's mark only holds within one
        # temporal layer, so it is of no use here.
        self._can_skip = index.codec == "h264"
        self._wanted_from = int(index.stamps[0])
        self._converter = PictureConverter(index.orientation, index.width_px, index.height_px)
        self._kept: OrderedDict[int, VideoFrame] = OrderedDict()
        self._container: InputContainer | None = None
        self._packets: Iterator[Packet[VideoStream]] = iter(())
        self._decoded: deque[VideoFrame] = deque()
        self._position: int | None = None
        self._is_flushed = False
        self._key: int | None = None
        self._landing: int | None = None
        self._reopen()

    def __enter__(self) -> Self:
        """Return the reader."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close the file."""
        self.close()

    def close(self) -> None:
        """Close the file and forget kept frames; safe to call twice."""
        self._kept.clear()
        self._decoded.clear()
        self._packets = iter(())
        if self._container is not None:
            self._container.close()
            self._container = None

    def read(self, frame: int) -> NDArray[np.uint8]:
        """Return the upright picture of a frame.

        Parameters
        ----------
        frame : int
            Index from 0 in presentation order.

        Returns
        -------
        numpy.ndarray, shape (height_px, width_px, 3), uint8
            RGB, C-contiguous.

        Raises
        ------
        ClipError
            That frame cannot be decoded, or the reader is closed.
        InputValueError
            There is no frame of that number.
        """
        decoded = self.decode(frame)
        if decoded is None:  # only with should_stop
            raise self._undecodable(frame)
        return self._converter.convert(decoded)

    def decode(
        self, frame: int, should_stop: Callable[[], bool] | None = None
    ) -> VideoFrame | None:
        """Return the stored, unconverted frame; None if `should_stop` said so on the way."""
        if not 0 <= frame < self.index.n_frames:
            raise InputValueError(
                f"there is no frame {frame}",
                where=str(self.index.path),
                remedy=f"the clip has frames 0 to {self.index.n_frames - 1}",
            )
        if self._container is None:
            raise ClipError("the clip is closed", where=str(self.index.path))
        target = int(self.index.stamps[frame])
        if target in self._kept:
            return self._kept[target]
        self._wanted_from = int(self.index.stamps[max(0, frame - self._n_kept)])
        for begin in self._attempts(frame):
            begin()
            while (decoded := self._next_frame()) is not None:
                stamp = stamp_of(decoded)
                if stamp == target and not decoded.is_corrupt:
                    return decoded
                if stamp is not None and stamp >= target:
                    break
                if should_stop is not None and should_stop():
                    return None
        raise self._undecodable(frame)

    def frames(self, first: int, last: int) -> Iterator[tuple[int, VideoFrame]]:
        """Yield (frame, stored frame) from `first` to `last`, leaving out undecodable ones."""
        for frame in range(first, last + 1):
            try:
                decoded = self.decode(frame)
            except ClipError:
                continue
            if decoded is not None:
                yield frame, decoded

    def _undecodable(self, frame: int) -> ClipError:
        return ClipError(
            f"frame {frame} cannot be decoded",
            where=str(self.index.path),
            remedy="step to a neighbouring frame; this one is damaged in the file",
        )

    def _attempts(self, frame: int) -> Iterator[Callable[[], None]]:
        """Yield ways to begin, cheapest first: read on, nearest key frame, one before, the start."""
        target = int(self.index.stamps[frame])
        keys = self.index.seek_stamps
        n_before = int(np.searchsorted(keys, target, side="right"))
        position = self._position
        if position is not None and position < target and (self._decoded or not self._is_flushed):
            distance = int(np.searchsorted(self.index.stamps, target)) - int(
                np.searchsorted(self.index.stamps, position)
            )
            if distance <= _NEAR_FRAMES or (n_before and keys[n_before - 1] <= position):
                yield lambda: None
        for key in keys[max(n_before - 2, 0) : n_before][::-1]:
            yield lambda key=int(key): self._seek(key)  # type: ignore[misc]
        yield lambda: self._reopen(n_threads=1)

    def _reopen(self, n_threads: int | None = None) -> None:
        """Begin at the start; with one thread, good frames beside damaged ones are not lost."""
        if self._container is not None:
            self._container.close()
        self._container, self._stream = open_clip(self.index.path)
        self._stream.codec_context.thread_type = "AUTO"
        self._stream.codec_context.thread_count = (
            self._n_threads if n_threads is None else n_threads
        )
        self._restart(None)

    def _seek(self, key: int) -> None:
        container = self._container
        if container is None:
            return
        try:
            container.seek(key, stream=self._stream)
        except av.error.FFmpegError:
            self._reopen()
            return
        self._restart(key)

    def _restart(self, key: int | None) -> None:
        """Forget what was under way; with a key, decode only from a key frame no later than it."""
        self._decoded.clear()
        self._position = self._landing = None
        self._is_flushed = False
        self._key = key
        if self._container is not None:
            self._packets = self._container.demux(self._stream)

    def _next_frame(self) -> VideoFrame | None:
        """Return the next frame in presentation order, None at the end or after a bad landing."""
        while True:
            while self._decoded:
                frame = self._decoded.popleft()
                stamp = stamp_of(frame)
                # Frames shown before the key frame we landed on lean on pictures not decoded.
                if stamp is None or (self._landing is not None and stamp < self._landing):
                    continue
                self._position = stamp
                self._keep(stamp, frame)
                return frame
            if self._is_flushed or not self._feed():
                return None

    def _feed(self) -> bool:
        """Give the decoder its next packet; False when the landing was too late to be of use."""
        context = self._stream.codec_context
        try:
            packet = next(self._packets, None)
        except av.error.FFmpegError:
            packet = None  # the file ends here, whatever its head says
        try:
            if packet is None:
                self._is_flushed = True
                self._decoded.extend(context.decode(None))
            elif packet.size and not packet.is_corrupt:
                if self._key is not None and self._landing is None:
                    if not packet.is_keyframe or packet.pts is None:
                        return True
                    if packet.pts > self._key:
                        self._is_flushed = True
                        return False
                    self._landing = packet.pts
                if self._can_skip:
                    is_wanted = packet.pts is None or packet.pts >= self._wanted_from
                    context.skip_frame = "DEFAULT" if is_wanted else "NONREF"
                self._decoded.extend(context.decode(packet))
        except av.error.FFmpegError:
            return True
        return True

    def _keep(self, stamp: int, frame: VideoFrame) -> None:
        # of several with one stamp the first is the one, however it is come by
        if frame.is_corrupt or stamp in self._kept:
            return
        self._kept[stamp] = frame
        while len(self._kept) > self._n_kept:
            self._kept.popitem(last=False)
