from __future__ import annotations

from fractions import Fraction

import av
import numpy as np
import pytest

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.video.index import build_index
from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.trimming import cut_clip
from deliverylab.core.video.voice import VOICE_RATE_HZ, Voice, read_voice
from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import N_FRAMES, coded_frames, read_code

TICKS = Fraction(1, 90_000)


def uneven(n=N_FRAMES):
    spacings = np.random.default_rng(5).choice([1500, 3000, 3750, 9000], n - 1)
    return [4500, *(4500 + np.cumsum(spacings)).tolist()]


@pytest.fixture
def uneven_clip(tmp_path):
    return write_clip(
        tmp_path / "uneven.mp4", coded_frames(), 30, stamps=uneven(), time_base=TICKS, gop=12,
        metadata={"location": "+52.1+004.2/", "com.apple.quicktime.make": "A phone", "title": "Eva"},
    )  # fmt: skip


def codes(path):
    index = build_index(path)
    with FrameReader(index) as reader:
        return [read_code(reader.read(frame)) for frame in range(index.n_frames)]


def test_pictures_and_times_are_those_of_the_source(uneven_clip, tmp_path):
    source = build_index(uneven_clip)
    made = build_index(cut_clip(source, tmp_path / "cut.mp4", 7, 40))
    assert codes(made.path) == list(range(7, 41))
    expected = source.times_s[7:41] - source.times_s[7]
    np.testing.assert_allclose(made.times_s, expected, rtol=0.0, atol=1e-12)


def test_nothing_that_a_phone_wrote_comes_along(uneven_clip, tmp_path):
    made = cut_clip(build_index(uneven_clip), tmp_path / "cut.mp4", 0, 20)
    with av.open(str(made)) as container:
        told = {**container.metadata, **container.streams.video[0].metadata}
    assert not {key for key in told if "location" in key or "make" in key or key == "title"}
    data = made.read_bytes()
    for trace in (b"+52.1", b"A phone", b"Eva", b"quicktime"):
        assert trace in uneven_clip.read_bytes() or trace == b"quicktime"
        assert trace not in data


def test_turned_clips_become_upright(tmp_path):
    stored = (np.ascontiguousarray(np.rot90(picture, 1)) for picture in coded_frames())
    source = write_clip(tmp_path / "turned.mp4", stored, 30, rotation_deg=90)
    made = cut_clip(build_index(source), tmp_path / "cut.mp4", 3, 9)
    assert codes(made) == list(range(3, 10))
    assert build_index(made).rotation_deg == 0


def test_an_odd_size_is_kept(tmp_path):
    pictures = (np.full((95, 127, 3), 5 * n, np.uint8) for n in range(12))
    source = write_clip(tmp_path / "odd.mp4", pictures, 30, pix_fmt="yuv444p")
    made = build_index(cut_clip(build_index(source), tmp_path / "cut.mp4", 2, 8))
    assert (made.width_px, made.height_px) == (127, 95)


def test_pictures_are_edited_on_the_way(uneven_clip, tmp_path):
    seen = []

    def edit(frame, picture):
        seen.append(frame)
        return np.full_like(picture, 200)

    made = cut_clip(build_index(uneven_clip), tmp_path / "cut.mp4", 5, 9, edit=edit)
    assert seen == [5, 6, 7, 8, 9]
    with FrameReader(build_index(made)) as reader:
        assert abs(float(reader.read(2).mean()) - 200.0) < 3.0


def test_for_a_damaged_picture_the_one_before_stands_and_is_edited_as_what_it_is(
    uneven_clip, tmp_path, monkeypatch
):
    read = FrameReader.read

    def damaged(reader, frame):
        if frame in {5, 8, 9}:
            raise ClipError("damaged")
        return read(reader, frame)

    monkeypatch.setattr(FrameReader, "read", damaged)
    seen, lost = [], []

    def edit(frame, picture):
        seen.append((frame, read_code(picture) if picture.any() else None))
        return picture

    cut_clip(build_index(uneven_clip), tmp_path / "cut.mp4", 5, 10, edit=edit, lost=lost)
    # a face is blurred where it is in the picture that stands there; before the first all is black
    assert seen == [(5, None), (6, 6), (7, 7), (7, 7), (7, 7), (10, 10)]
    assert lost == [5, 8, 9]


@pytest.fixture
def loud_clip(tmp_path):
    """A tick at 1.0 s of a clip of 1.6 s."""
    samples = np.zeros((1, round(1.6 * VOICE_RATE_HZ)), np.int16)
    at = VOICE_RATE_HZ
    samples[0, at : at + 200] = 20000
    return write_clip(tmp_path / "loud.mp4", coded_frames(), 30, voice=Voice(samples))


def test_sound_is_dropped_unless_asked_for(loud_clip, tmp_path):
    made = cut_clip(build_index(loud_clip), tmp_path / "cut.mp4", 15, 45)
    with av.open(str(made)) as container:
        assert len(container.streams.audio) == 0


def test_sound_stays_with_its_pictures(loud_clip, tmp_path):
    made = cut_clip(build_index(loud_clip), tmp_path / "cut.mp4", 15, 45, has_sound=True)
    wave = np.abs(read_voice(made).samples[0].astype(float))
    tick_s = float(np.argmax(wave > 0.5 * wave.max())) / VOICE_RATE_HZ
    # AAC begins with up to two packets of its own, 21 ms each
    assert tick_s == pytest.approx(1.0 - 15 / 30, abs=0.045)


def test_a_clip_without_sound_can_be_asked_for_it(uneven_clip, tmp_path):
    made = cut_clip(build_index(uneven_clip), tmp_path / "cut.mp4", 0, 5, has_sound=True)
    assert build_index(made).n_frames == 6


def test_stopping_leaves_nothing(uneven_clip, tmp_path):
    def stop(share):
        if share > 0.3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        cut_clip(build_index(uneven_clip), tmp_path / "cut.mp4", 0, 40, progress=stop)
    assert not (tmp_path / "cut.mp4").exists()


def test_what_cannot_be_is_refused(uneven_clip, tmp_path):
    index = build_index(uneven_clip)
    for first, last in ((-1, 3), (5, 4), (0, N_FRAMES)):
        with pytest.raises(InputValueError, match="no such frames"):
            cut_clip(index, tmp_path / "cut.mp4", first, last)
    with pytest.raises(ClipError):
        cut_clip(index, tmp_path / "missing" / "cut.mp4", 0, 3)
