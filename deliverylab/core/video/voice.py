"""A sound file as samples that can be laid under a clip."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import ClipError
from deliverylab.core.video.opening import open_local

VOICE_RATE_HZ = 48_000
LONGEST_S = 1800.0
"""Of one voice: it is kept in memory, 0.1 MB a second and channel."""


@dataclass(frozen=True, eq=False)
class Voice:
    """Samples of a sound.

    Attributes
    ----------
    samples : ndarray of int16, shape (n_channels, n)
        One channel or two, at `VOICE_RATE_HZ`.
    """

    samples: NDArray[np.int16]

    @property
    def duration_s(self) -> float:
        """How long it sounds, s."""
        return int(self.samples.shape[1]) / VOICE_RATE_HZ

    def laid(self, offset_s: float, duration_s: float) -> Voice:
        """Return the sound from `offset_s` on within silence, cut or filled to `duration_s`."""
        n = round(duration_s * VOICE_RATE_HZ)
        start = min(n, round(offset_s * VOICE_RATE_HZ))
        laid = np.zeros((len(self.samples), n), np.int16)
        part = self.samples[:, : n - start]
        laid[:, start : start + part.shape[1]] = part
        return Voice(laid)


def read_voice(path: str | Path) -> Voice:
    """Read a sound file, or the sound of a clip: anything that PyAV decodes (WAV, M4A, MP3, ...).

    Raises
    ------
    ClipError
        No such file, nothing in it that sounds, damaged, or longer than `LONGEST_S`.
    """
    source = Path(path)
    if not source.is_file():
        raise ClipError(
            "there is no such sound file", where=str(source), remedy="check the name of the voice"
        )
    try:
        with open_local(source) as container:
            if not container.streams.audio:
                raise ClipError(
                    "there is no sound in this file", where=str(source), remedy="choose another one"
                )
            parts = _decoded(container, source)
    except (OSError, av.error.FFmpegError) as problem:
        raise ClipError(
            "the voice cannot be read",
            where=str(source),
            remedy=f"save it as WAV or M4A ({problem.strerror or problem})",
        ) from problem
    if not parts:
        raise ClipError(
            "there is no sound in this file", where=str(source), remedy="record it again"
        )
    return Voice(np.ascontiguousarray(np.concatenate(parts, axis=1)))


def _decoded(container: av.container.InputContainer, source: Path) -> list[NDArray[np.int16]]:
    stream = container.streams.audio[0]
    layout = "mono" if stream.channels == 1 else "stereo"
    resampler = av.AudioResampler(format="s16p", layout=layout, rate=VOICE_RATE_HZ)
    parts: list[NDArray[np.int16]] = []
    n_samples = 0
    for frame in itertools.chain(container.decode(stream), (None,)):
        pieces = [piece.to_ndarray().astype(np.int16) for piece in resampler.resample(frame)]
        n_samples += sum(piece.shape[1] for piece in pieces)
        if n_samples > LONGEST_S * VOICE_RATE_HZ:
            raise ClipError(
                f"the voice is longer than {LONGEST_S / 60:.0f} minutes",
                where=str(source),
                remedy="cut it to what belongs to this walkthrough",
            )
        parts += pieces
    return parts
