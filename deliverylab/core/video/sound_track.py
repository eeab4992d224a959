"""The sound of a clip that is being written, fed along with its pictures; or a sound alone."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import av
import numpy as np

from deliverylab.core.errors import ClipError
from deliverylab.core.video.voice import VOICE_RATE_HZ, Voice

if TYPE_CHECKING:
    from av.audio.stream import AudioStream
    from av.container import OutputContainer

BIT_RATE = 128_000
CHUNK = 1024
"""Samples of one packet of AAC."""


class SoundTrack:
    """Encode a voice as AAC into a clip that is being written.

    Parameters
    ----------
    container : av.container.OutputContainer
        Before anything was written into it.
    voice : Voice
    """

    def __init__(self, container: OutputContainer, voice: Voice) -> None:
        self._container = container
        self._samples = voice.samples
        self._layout = "mono" if len(self._samples) == 1 else "stereo"
        self._stream: AudioStream = container.add_stream(
            "aac", rate=VOICE_RATE_HZ, options={"b": str(BIT_RATE)}
        )
        self._stream.codec_context.layout = self._layout
        self._stream.codec_context.format = "fltp"
        self._done = 0

    def feed(self, until_s: Fraction) -> None:
        """Encode up to an instant of the clip."""
        while (
            self._done < self._samples.shape[1] and Fraction(self._done, VOICE_RATE_HZ) <= until_s
        ):
            part = self._samples[:, self._done : self._done + CHUNK].astype(np.float32) / 32768.0
            frame = av.AudioFrame.from_ndarray(part, format="fltp", layout=self._layout)
            frame.sample_rate = VOICE_RATE_HZ
            frame.time_base = Fraction(1, VOICE_RATE_HZ)
            frame.pts = self._done
            self._container.mux(self._stream.encode(frame))
            self._done += part.shape[1]

    def finish(self) -> None:
        """Encode the rest."""
        self.feed(Fraction(self._samples.shape[1], VOICE_RATE_HZ))
        self._container.mux(self._stream.encode(None))


def write_voice(voice: Voice, path: str | Path) -> Path:
    """Write a voice as M4A, with nothing but its sound in it, and return the path.

    Raises
    ------
    ClipError
        The file cannot be written; a half-written one is removed.
    """
    target = Path(path)
    try:
        with av.open(str(target.absolute()), "w") as container:
            SoundTrack(container, voice).finish()
    except (OSError, av.error.FFmpegError) as problem:
        target.unlink(missing_ok=True)
        raise ClipError(
            "the voice could not be written",
            where=str(target),
            remedy=f"check the folder and the free space ({problem})",
        ) from problem
    return target
