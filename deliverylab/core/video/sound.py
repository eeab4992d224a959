"""The one sharp sound of a clip, such as a clap: when it begins."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

from deliverylab.core.video.opening import open_clip

FloatArray = NDArray[np.float64]

RATE_HZ = 16_000
WINDOW_S = 0.001
BEFORE_S, AFTER_S = 0.100, 0.005
LEAST_RISE_DB = 20.0
"""Of the first milliseconds over the tenth of a second before (judgement: a clap near a phone rises by
30 and more, talk and steps by less)."""
APART_S = 0.250
"""A second sound as sharp, farther away than this, leaves open which one is meant."""
LESS_SHARP_DB = 6.0


@dataclass(frozen=True)
class SharpSound:
    """When a clip's sharpest sound begins.

    Attributes
    ----------
    time_s : float, s
        On the clip's own clock, whose zero is the first shown frame.
    rise_db : float
        How much louder it is than what was before.
    """

    time_s: float
    rise_db: float


def sharpest_sound(path: Path | str, first_stamp_s: float) -> SharpSound | None:
    """Return the sharpest sound of a clip; None without sound, without a sharp one, or with two.

    Parameters
    ----------
    path : pathlib.Path or str
    first_stamp_s : float, s
        Original time of the first shown frame (`ClipIndex.first_stamp_s`).

    Raises
    ------
    ClipError
        The clip cannot be opened.
    """
    wave, start_s = _wave(path)
    found = _sharpest(wave)
    if found is None:
        return None
    return SharpSound(start_s + found[0] - first_stamp_s, found[1])


def _wave(path: Path | str) -> tuple[FloatArray, float]:
    """Return the sound of all channels together, and the time of its first sample."""
    parts: list[FloatArray] = []
    start_s = 0.0
    container, _ = open_clip(path)
    with container:
        if not container.streams.audio:
            return np.zeros(0), 0.0
        # a file that cannot be heard to its end is heard as far as it goes
        with contextlib.suppress(av.FFmpegError):
            resampler = av.AudioResampler(format="fltp", layout="mono", rate=RATE_HZ)
            for frame in container.decode(audio=0):
                if not parts and frame.time is not None:
                    start_s = float(frame.time)
                parts += [each.to_ndarray()[0] for each in resampler.resample(frame)]
    return (np.concatenate(parts).astype(np.float64) if parts else np.zeros(0)), start_s


def _sharpest(wave: FloatArray) -> tuple[float, float] | None:
    """Return when the sharpest sound begins after the first sample, s, and its rise, dB."""
    step = round(WINDOW_S * RATE_HZ)
    n = len(wave) // step
    n_before, n_after = round(BEFORE_S / WINDOW_S), round(AFTER_S / WINDOW_S)
    if n <= n_before + n_after:
        return None
    power = np.mean(wave[: n * step].reshape(n, step) ** 2, axis=1)
    total = np.concatenate([[0.0], np.cumsum(power)])
    at = np.arange(n_before, n - n_after)
    before = (total[at] - total[at - n_before]) / n_before
    after = (total[at + n_after] - total[at]) / n_after
    # digital silence before a sound must not make it endlessly sharp
    floor = 1e-6 * float(power.max())
    rise_db = 10.0 * np.log10((after + floor) / (before + floor))
    best = int(np.argmax(rise_db))
    far = np.abs(at - at[best]) > round(APART_S / WINDOW_S)
    if rise_db[best] < LEAST_RISE_DB or np.any(rise_db[far] > rise_db[best] - LESS_SHARP_DB):
        return None
    return _onset(power, int(at[best]), n_after) * WINDOW_S, float(rise_db[best])


def _onset(power: FloatArray, row: int, n_after: int) -> int:
    """Return the first window, from a little before `row` on, that holds a tenth of the peak."""
    stretch = power[row : row + 2 * n_after]
    return row + int(np.argmax(stretch >= 0.1 * stretch.max()))
