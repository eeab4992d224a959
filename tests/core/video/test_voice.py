from __future__ import annotations

import socket
import struct
import wave
from fractions import Fraction

import av
import numpy as np
import pytest

from deliverylab.core.errors import ClipError
from deliverylab.core.video import voice as module
from deliverylab.core.video.voice import VOICE_RATE_HZ, Voice, read_voice
from deliverylab.core.video.writer import write_clip


def _tone(duration_s, rate_hz, n_channels=1):
    t = np.arange(round(duration_s * rate_hz)) / rate_hz
    tone = (0.5 * 32767 * np.sin(2 * np.pi * 440.0 * t)).astype("<i2")
    return np.repeat(tone[:, None], n_channels, axis=1)


def _wav(path, duration_s=1.0, rate_hz=44_100, n_channels=1):
    with wave.open(str(path), "wb") as file:
        file.setnchannels(n_channels)
        file.setsampwidth(2)
        file.setframerate(rate_hz)
        file.writeframes(_tone(duration_s, rate_hz, n_channels).tobytes())
    return path


def _m4a(path, duration_s=1.0):
    with av.open(str(path), "w") as container:
        stream = container.add_stream("aac", rate=VOICE_RATE_HZ, layout="mono")
        frame = av.AudioFrame.from_ndarray(
            _tone(duration_s, VOICE_RATE_HZ).T.copy(), format="s16", layout="mono"
        )
        frame.sample_rate = VOICE_RATE_HZ
        frame.time_base = Fraction(1, VOICE_RATE_HZ)
        frame.pts = 0
        container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return path


@pytest.mark.parametrize("rate_hz", [8_000, 44_100, 48_000])
@pytest.mark.parametrize("n_channels", [1, 2])
def test_a_wave_file_is_read_at_the_rate_of_the_clip(tmp_path, rate_hz, n_channels):
    found = read_voice(_wav(tmp_path / "v.wav", 1.5, rate_hz, n_channels))
    assert found.samples.shape[0] == n_channels
    # resampling may lose a few samples at the end
    assert found.duration_s == pytest.approx(1.5, abs=0.005)
    middle = found.samples[0, 20_000:50_000].astype(float)
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    assert spectrum.argmax() * VOICE_RATE_HZ / len(middle) == pytest.approx(440.0, abs=2.0)
    assert np.abs(middle).max() == pytest.approx(0.5 * 32767, rel=0.02)


def test_an_m4a_file_is_read(tmp_path):
    assert read_voice(_m4a(tmp_path / "v.m4a")).duration_s == pytest.approx(1.0, abs=0.05)


def test_a_title_in_another_encoding_does_not_keep_it_shut(tmp_path):
    path = _wav(tmp_path / "v.wav")
    title = "Frühling".encode("latin-1")
    said = b"INFOINAM" + struct.pack("<I", len(title)) + title
    data = bytearray(path.read_bytes() + b"LIST" + struct.pack("<I", len(said)) + said)
    # how long all of it is stands behind the first four letters
    data[4:8] = struct.pack("<I", len(data) - 8)
    path.write_bytes(data)
    assert read_voice(path).duration_s == pytest.approx(1.0, abs=0.005)


def test_a_playlist_is_no_voice_and_reaches_for_nothing(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(0.2)
        path = tmp_path / "v.m3u8"
        path.write_text(
            "#EXTM3U\n#EXT-X-TARGETDURATION:4\n#EXTINF:4,\n"
            f"tcp://127.0.0.1:{server.getsockname()[1]}/a.ts\n#EXT-X-ENDLIST\n"
        )
        with pytest.raises(ClipError):
            read_voice(path)
        with pytest.raises(TimeoutError):
            server.accept()


def test_it_is_laid_within_silence():
    sound = Voice(np.full((1, VOICE_RATE_HZ), 7, np.int16))
    laid = sound.laid(0.5, 3.0)
    assert laid.duration_s == 3.0
    heard = np.flatnonzero(laid.samples[0])
    assert (heard[0], heard[-1]) == (24_000, 71_999)


@pytest.mark.parametrize(("offset_s", "n_heard"), [(0.0, 24_000), (0.25, 12_000), (9.0, 0)])
def test_what_does_not_fit_is_cut(offset_s, n_heard):
    sound = Voice(np.full((2, VOICE_RATE_HZ), 7, np.int16))
    laid = sound.laid(offset_s, 0.5)
    assert laid.samples.shape == (2, 24_000)
    assert np.count_nonzero(laid.samples[1]) == n_heard


def test_a_missing_file_is_refused(tmp_path):
    with pytest.raises(ClipError, match="no such sound file"):
        read_voice(tmp_path / "none.wav")


@pytest.mark.parametrize("content", [b"", b"no sound at all, only words", b"RIFF\x00\x00\x00\x00"])
def test_what_is_no_sound_is_refused(tmp_path, content):
    path = tmp_path / "v.wav"
    path.write_bytes(content)
    with pytest.raises(ClipError) as refusal:
        read_voice(path)
    assert refusal.value.where == str(path)
    assert refusal.value.remedy


def test_a_silent_clip_has_no_voice(tmp_path):
    path = write_clip(tmp_path / "c.mp4", [np.zeros((64, 64, 3), np.uint8)] * 3, 30)
    with pytest.raises(ClipError, match="no sound in this file"):
        read_voice(path)


def test_an_endless_voice_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(module, "LONGEST_S", 0.5)
    with pytest.raises(ClipError, match="longer than"):
        read_voice(_wav(tmp_path / "v.wav"))
