"""Every frame of every kind of clip comes back right by index."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import av
import numpy as np
import pytest

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.video.index import build_index
from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import KINDS, N_FRAMES, coded_frames, read_code

MakeClip = Callable[[str], Path]


@pytest.mark.parametrize("n_threads", [1, 0])
@pytest.mark.parametrize("kind", KINDS)
def test_every_frame_in_random_order(make_clip: MakeClip, kind: str, n_threads: int) -> None:
    index = build_index(make_clip(kind))
    assert index.n_frames == N_FRAMES
    order = np.random.default_rng(3).permutation(N_FRAMES)
    with FrameReader(index, n_threads=n_threads, keep_bytes=0) as reader:
        found = [read_code(reader.read(int(frame))) for frame in order]
    assert found == order.tolist()


@pytest.mark.parametrize("kind", KINDS)
def test_every_frame_forwards_and_backwards(make_clip: MakeClip, kind: str) -> None:
    with FrameReader(build_index(make_clip(kind))) as reader:
        assert [read_code(reader.read(frame)) for frame in range(N_FRAMES)] == list(range(N_FRAMES))
        backwards = range(N_FRAMES - 1, -1, -1)
        assert [read_code(reader.read(frame)) for frame in backwards] == list(backwards)


@pytest.mark.parametrize("kind", ["h264-b-frames-long", "h264-open", "ts", "hevc"])
def test_a_jump_gives_the_very_same_picture(make_clip: MakeClip, kind: str) -> None:
    """On the way to a frame those are skipped on which no other leans."""
    index = build_index(make_clip(kind))
    with FrameReader(index, keep_bytes=0) as reader:
        in_order = [reader.read(frame) for frame in range(N_FRAMES)]
        for frame in np.random.default_rng(4).permutation(N_FRAMES).tolist():
            assert np.array_equal(reader.read(frame), in_order[frame])


def test_reading_on_does_not_seek(make_clip: MakeClip, monkeypatch: pytest.MonkeyPatch) -> None:
    with FrameReader(build_index(make_clip("h264-short"))) as reader:
        reader.read(0)

        def refuse(_key: int) -> None:
            raise AssertionError("a sequential read must not seek")

        monkeypatch.setattr(reader, "_seek", refuse)
        monkeypatch.setattr(reader, "_reopen", lambda **_: refuse(0))
        for frame in range(1, N_FRAMES):
            assert read_code(reader.read(frame)) == frame


def test_lately_decoded_frames_are_kept(
    make_clip: MakeClip, monkeypatch: pytest.MonkeyPatch
) -> None:
    with FrameReader(build_index(make_clip("h264-b-frames-long"))) as reader:
        reader.read(40)

        def refuse(_frame: int) -> None:
            raise AssertionError("a kept frame must not be decoded again")

        monkeypatch.setattr(reader, "_attempts", refuse)
        assert [read_code(reader.read(frame)) for frame in range(40, 20, -1)] == list(
            range(40, 20, -1)
        )


def test_a_misleading_key_list_only_costs_time(make_clip: MakeClip) -> None:
    """Key frames that are none: landing elsewhere is noticed, and the start always works."""
    honest = build_index(make_clip("ts"))
    index = replace(honest, seek_stamps=honest.stamps)
    with FrameReader(index, keep_bytes=0) as reader:
        for frame in (30, 3, 47, 16):
            assert read_code(reader.read(frame)) == frame


def test_decode_can_be_interrupted_and_taken_up_again(make_clip: MakeClip) -> None:
    with FrameReader(build_index(make_clip("h264-b-frames-long")), keep_bytes=0) as reader:
        answers = iter([False, False, True])
        assert reader.decode(30, lambda: next(answers)) is None
        assert read_code(reader.read(30)) == 30


def test_picture_is_contiguous_rgb(make_clip: MakeClip) -> None:
    with FrameReader(build_index(make_clip("h264-short"))) as reader:
        picture = reader.read(5)
    assert picture.shape == (96, 128, 3)
    assert picture.dtype == np.uint8
    assert picture.flags.c_contiguous
    red, green = picture[16, 16], picture[16, 112]
    assert red.argmax() == 0
    assert green.argmax() == 1


def test_no_such_frame(make_clip: MakeClip) -> None:
    with FrameReader(build_index(make_clip("mjpeg"))) as reader:
        with pytest.raises(InputValueError, match="no frame 48"):
            reader.read(N_FRAMES)
        with pytest.raises(InputValueError, match="no frame -1"):
            reader.read(-1)


def test_a_damaged_frame_is_named_and_the_others_still_come(
    make_clip: MakeClip, tmp_path: Path
) -> None:
    source = make_clip("mjpeg")
    index = build_index(source)
    data = bytearray(source.read_bytes())
    starts = [at for at in range(len(data) - 3) if data[at : at + 3] == b"\xff\xd8\xff"]
    assert len(starts) == N_FRAMES
    data[starts[20] : starts[21] - 16] = bytes(starts[21] - 16 - starts[20])
    damaged = tmp_path / "damaged.avi"
    damaged.write_bytes(data)
    with FrameReader(replace(index, path=damaged)) as reader:
        with pytest.raises(ClipError, match="frame 20 cannot be decoded"):
            reader.read(20)
        assert read_code(reader.read(19)) == 19
        assert read_code(reader.read(21)) == 21
        assert [frame for frame, _ in reader.frames(18, 22)] == [18, 19, 21, 22]


def test_closed_reader_refuses(make_clip: MakeClip) -> None:
    reader = FrameReader(build_index(make_clip("h264-short")))
    reader.close()
    reader.close()
    with pytest.raises(ClipError, match="closed"):
        reader.read(3)


def test_vanished_clip(make_clip: MakeClip, tmp_path: Path) -> None:
    copy = tmp_path / "gone.mkv"
    copy.write_bytes(make_clip("h264-short").read_bytes())
    index = build_index(copy)
    copy.unlink()
    with pytest.raises(ClipError, match="does not exist"):
        FrameReader(index)


def test_real_clip_sequential_equals_random(real_clip: Path) -> None:
    index = build_index(real_clip)
    with FrameReader(index, keep_bytes=0) as reader:
        in_order = [reader.read(frame) for frame in range(index.n_frames)]
        for frame in np.random.default_rng(1).permutation(index.n_frames)[:40]:
            assert np.array_equal(reader.read(int(frame)), in_order[frame])


@pytest.mark.parametrize(
    ("ending", "codec", "pix_fmt"),
    [
        ("mp4", "libx264", "yuv422p10le"),
        ("mp4", "libx264", "yuv444p"),
        ("mp4", "libx264", "gray"),
        ("mov", "prores_ks", "yuv422p10le"),
        ("mov", "png", "rgba"),
        ("mkv", "ffv1", "yuv420p"),
        ("webm", "libvpx-vp9", "yuva420p"),
    ],
)
def test_other_pixel_formats_and_codecs(
    tmp_path: Path, ending: str, codec: str, pix_fmt: str
) -> None:
    crf = 18 if codec.startswith("lib") else None
    drawn = list(coded_frames(12))
    if pix_fmt == "gray":
        drawn = [picture[..., :1].repeat(3, axis=2) for picture in drawn]
    path = write_clip(
        tmp_path / f"a.{ending}", drawn, 30, codec=codec, pix_fmt=pix_fmt, crf=crf, gop=5
    )
    with FrameReader(build_index(path)) as reader:
        for frame in (11, 3, 4, 0, 10):
            found = reader.read(frame).astype(int)
            assert np.abs(found - drawn[frame]).mean() < 6  # blocks differ by 175 levels


def test_of_frames_with_one_stamp_the_first_is_the_one(make_clip: MakeClip, tmp_path: Path) -> None:
    target = tmp_path / "a.mkv"
    with av.open(str(make_clip("h264-short"))) as source, av.open(str(target), "w") as sink:
        stream = sink.add_stream_from_template(source.streams.video[0])
        packets = [packet for packet in source.demux(video=0) if packet.size]
        stamps = sorted(packet.pts for packet in packets)
        for packet in packets:
            if packet.pts in stamps[9:11]:
                packet.pts = stamps[8]
            packet.stream = stream
            sink.mux(packet)
    index = build_index(target)
    assert index.n_frames == N_FRAMES - 2
    with FrameReader(index) as reader:
        in_order = [read_code(reader.read(frame)) for frame in range(index.n_frames)]
        assert [read_code(reader.read(frame)) for frame in (8, 20, 8)] == [8, 22, 8]
    assert in_order[7:11] == [7, 8, 11, 12]
