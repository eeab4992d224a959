"""Claps of known time in clips of our own making."""

from __future__ import annotations

from fractions import Fraction

import av
import numpy as np
import pytest

from deliverylab.core.errors import ClipError
from deliverylab.core.video.index import build_index
from deliverylab.core.video.sound import sharpest_sound

RATE_HZ = 48_000


def noise(seconds, level, seed=1):
    return np.random.default_rng(seed).normal(0.0, level, round(seconds * RATE_HZ))


def with_clap(wave, at_s, size=0.5):
    """Add a burst that dies away within some hundredths of a second."""
    n = round(0.05 * RATE_HZ)
    burst = noise(0.05, size, seed=2) * np.exp(-np.arange(n) / (0.008 * RATE_HZ))
    start = round(at_s * RATE_HZ)
    wave = wave.copy()
    wave[start : start + n] += burst
    return wave


def written(path, wave, n_frames=60):
    """Write a clip of grey pictures at 30 frames a second with a sound, uncompressed."""
    with av.open(str(path), "w") as container:
        video = container.add_stream("mpeg4", rate=Fraction(30))
        video.width, video.height, video.pix_fmt = 64, 48, "yuv420p"
        sound = container.add_stream("pcm_s16le", rate=RATE_HZ, layout="mono")
        for row in range(n_frames):
            picture = np.full((48, 64, 3), 40 + row, dtype=np.uint8)
            frame = av.VideoFrame.from_ndarray(picture, format="rgb24")
            frame.pts, frame.time_base = row, Fraction(1, 30)
            container.mux(video.encode(frame))
        container.mux(video.encode())
        data = (np.clip(wave, -1.0, 1.0) * 32_000).astype(np.int16)[None]
        frame = av.AudioFrame.from_ndarray(data, format="s16", layout="mono")
        frame.sample_rate, frame.pts, frame.time_base = RATE_HZ, 0, Fraction(1, RATE_HZ)
        container.mux(sound.encode(frame))
        container.mux(sound.encode())
    return path


@pytest.mark.parametrize("at_s", [0.35, 1.2345])
def test_a_clap_is_found_to_a_few_milliseconds(tmp_path, at_s):
    path = written(tmp_path / "a.mkv", with_clap(noise(2.0, 0.01), at_s))
    found = sharpest_sound(path, build_index(path).first_stamp_s)
    # windows of a millisecond, and the resampler's own few
    assert found.time_s == pytest.approx(at_s, abs=0.003)
    assert found.rise_db > 25.0
    assert sharpest_sound(path, 0.1).time_s == pytest.approx(at_s - 0.1, abs=0.003)


def test_nothing_sharp_two_claps_or_no_sound_give_none(tmp_path, clip_without_sound):
    hum = written(tmp_path / "hum.mkv", noise(2.0, 0.05))
    assert sharpest_sound(hum, 0.0) is None
    twice = with_clap(with_clap(noise(2.0, 0.01), 0.4), 1.4)
    assert sharpest_sound(written(tmp_path / "twice.mkv", twice), 0.0) is None
    short = written(tmp_path / "short.mkv", noise(0.05, 0.01))
    assert sharpest_sound(short, 0.0) is None
    assert sharpest_sound(clip_without_sound, 0.0) is None


def test_silence_before_a_clap_is_no_trouble(tmp_path):
    path = written(tmp_path / "a.mkv", with_clap(np.zeros(2 * RATE_HZ), 1.0))
    assert sharpest_sound(path, 0.0).time_s == pytest.approx(1.0, abs=0.003)


def test_what_is_no_clip_is_said(tmp_path):
    path = tmp_path / "a.txt"
    path.write_text("no clip", encoding="utf-8")
    with pytest.raises(ClipError):
        sharpest_sound(path, 0.0)


@pytest.fixture
def clip_without_sound(tmp_path):
    path = tmp_path / "mute.mkv"
    with av.open(str(path), "w") as container:
        video = container.add_stream("mpeg4", rate=Fraction(30))
        video.width, video.height, video.pix_fmt = 64, 48, "yuv420p"
        frame = av.VideoFrame.from_ndarray(np.zeros((48, 64, 3), dtype=np.uint8), format="rgb24")
        container.mux(video.encode(frame))
        container.mux(video.encode())
    return path
