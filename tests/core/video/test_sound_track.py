from __future__ import annotations

import av
import numpy as np
import pytest

from deliverylab.core.errors import ClipError
from deliverylab.core.video.sound_track import write_voice
from deliverylab.core.video.voice import VOICE_RATE_HZ, Voice, read_voice
from deliverylab.core.video.writer import write_clip

SIZE = (96, 128, 3)


def _written(path, n_frames=45, *, n_channels=1, sound_s=1.5, **fields):
    """Write a clip whose sound is a click at half a second."""
    samples = np.zeros((n_channels, round(sound_s * VOICE_RATE_HZ)), np.int16)
    samples[:, 24_000:24_480] = 16_000
    pictures = [np.full(SIZE, 2 * number, np.uint8) for number in range(n_frames)]
    return write_clip(path, pictures, 30, voice=Voice(samples), **fields)


@pytest.mark.parametrize("n_channels", [1, 2])
def test_the_sound_is_aac_as_long_as_it_was_given(tmp_path, n_channels):
    with av.open(str(_written(tmp_path / "c.mp4", n_channels=n_channels))) as clip:
        picture, sound = clip.streams.video[0], clip.streams.audio[0]
        assert (sound.codec_context.name, sound.rate, sound.channels) == ("aac", 48_000, n_channels)
        assert float(sound.duration * sound.time_base) == pytest.approx(1.5, abs=1e-6)
        assert float(picture.duration * picture.time_base) == pytest.approx(1.5, abs=1e-6)
        assert picture.frames == 45


def test_it_is_heard_at_its_time(tmp_path):
    with av.open(str(_written(tmp_path / "c.mp4"))) as clip:
        wave = np.concatenate([frame.to_ndarray()[0] for frame in clip.decode(audio=0)])
    heard = np.flatnonzero(np.abs(wave) > 0.2) / VOICE_RATE_HZ
    # the encoder spreads a click by some milliseconds
    assert heard[0] == pytest.approx(0.5, abs=0.01)
    assert heard[-1] == pytest.approx(0.51, abs=0.01)


def test_sound_and_pictures_lie_side_by_side_in_the_file(tmp_path):
    path = _written(tmp_path / "c.mp4", 90, sound_s=3.0, is_faststart=True)
    kinds, times_s = [], []
    with av.open(str(path)) as clip:
        for packet in clip.demux():
            if packet.pts is not None:
                kinds.append(packet.stream.type)
                times_s.append(float(packet.pts * packet.time_base))
    sounds = [time_s for kind, time_s in zip(kinds, times_s, strict=True) if kind == "audio"]
    assert len(sounds) > 100
    half = kinds[: len(kinds) // 2]
    assert {"audio", "video"} == set(half), "a player need not read to the end for either"


def test_the_table_of_contents_comes_first(tmp_path):
    quick = _written(tmp_path / "quick.mp4", is_faststart=True).read_bytes()
    plain = _written(tmp_path / "plain.mp4").read_bytes()
    assert quick.index(b"moov") < quick.index(b"mdat")
    assert plain.index(b"moov") > plain.index(b"mdat")


def test_a_clip_of_hd_height_says_all_its_colours(tmp_path):
    picture = np.full((720, 1280, 3), 90, np.uint8)
    with av.open(str(write_clip(tmp_path / "c.mp4", [picture] * 2, 30))) as clip:
        context = clip.streams.video[0].codec_context
        assert (context.colorspace, context.color_primaries, context.color_trc) == (1, 1, 1)


def test_the_very_same_picture_again_is_the_same_frame(tmp_path):
    first, second = (np.full(SIZE, shade, np.uint8) for shade in (60, 180))
    path = write_clip(tmp_path / "c.mp4", [first, first, second, second, first], 30)
    with av.open(str(path)) as clip:
        shades = [frame.to_ndarray(format="rgb24").mean() for frame in clip.decode(video=0)]
    assert shades == pytest.approx([60, 60, 180, 180, 60], abs=2.0)


@pytest.mark.parametrize("n_channels", [1, 2])
def test_a_sound_alone_comes_back(tmp_path, n_channels):
    samples = np.zeros((n_channels, 48_000), np.int16)
    samples[:, 24_000:24_480] = 16_000
    found = read_voice(write_voice(Voice(samples), tmp_path / "v.m4a"))
    assert len(found.samples) == n_channels
    heard = np.flatnonzero(np.abs(found.samples[0].astype(float)) > 0.2 * 32767) / VOICE_RATE_HZ
    # AAC begins with up to two packets of its own, 21 ms each
    assert heard[0] == pytest.approx(0.5, abs=0.045)
    with pytest.raises(ClipError):
        write_voice(found, tmp_path / "none" / "v.m4a")
