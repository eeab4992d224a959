"""Damaged files keep their usable part and say what was lost."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from deliverylab.core.errors import ClipError
from deliverylab.core.video.index import build_index
from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.scan import decode_all, scan_clip
from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import KINDS, N_FRAMES, coded_frames, read_code

MakeClip = Callable[[str], Path]


@pytest.mark.parametrize(
    ("kind", "part"),
    [
        ("h264-short", 0.35),
        ("h264-short", 0.9),
        ("hevc-10-bit", 0.8),
        ("vp9", 0.6),
        ("mjpeg", 0.35),
        ("mjpeg", 0.8),
        ("mpeg4-avi", 0.6),
        ("ts", 0.35),
        ("ts", 0.8),
    ],
)
def test_cut_off_clip_lists_only_what_decodes(
    make_clip: MakeClip, tmp_path: Path, kind: str, part: float
) -> None:
    """Frames may be missing near the cut, for those behind B-frames are stored before them."""
    whole = make_clip(kind)
    data = whole.read_bytes()
    path = tmp_path / whole.name
    path.write_bytes(data[: int(part * len(data))])
    index = build_index(path)
    assert 3 < index.n_frames < N_FRAMES
    numbers = np.searchsorted(build_index(whole).stamps, index.stamps).tolist()
    with FrameReader(index) as reader:
        assert [read_code(reader.read(frame)) for frame in range(index.n_frames)] == numbers


def test_pictures_that_end_long_before_the_file_says(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "slow.mkv", coded_frames(), 10, gop=6)
    data = path.read_bytes()
    path.write_bytes(data[: int(0.5 * len(data))])
    (note,) = build_index(path).notes
    assert "although the file says 4.8 s" in note


def test_cut_off_mp4_with_its_contents_in_front(tmp_path: Path) -> None:
    path = tmp_path / "front.mp4"
    with av.open(str(path), "w", container_options={"movflags": "faststart"}) as container:
        stream = container.add_stream("libx264", rate=240, options={"crf": "18", "g": "12"})
        stream.width, stream.height, stream.pix_fmt = 128, 96, "yuv420p"
        for picture in coded_frames():
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="rgb24")))
        container.mux(stream.encode(None))
    data = path.read_bytes()
    path.write_bytes(data[: int(0.7 * len(data))])
    index = build_index(path)
    assert 10 < index.n_frames < N_FRAMES
    lost = N_FRAMES - index.n_frames
    assert index.notes == (
        f"The file is cut off: {index.n_frames} frames can be used, {lost} are lost.",
    )
    with FrameReader(index) as reader:
        codes = [read_code(reader.read(frame)) for frame in range(index.n_frames)]
    assert codes == np.round(index.times_s * 240).astype(int).tolist()


@pytest.mark.parametrize("kind", ["ts", "ts-open"])
def test_clip_cut_at_its_start_begins_at_the_first_key_frame(
    make_clip: MakeClip, tmp_path: Path, kind: str
) -> None:
    whole = make_clip(kind)
    data = whole.read_bytes()
    path = tmp_path / "late.ts"
    n_packets = len(data) // 188
    # the first packets carry the tables
    path.write_bytes(data[: 188 * 3] + data[188 * (n_packets // 2) :])
    index = build_index(path)
    assert 0 < index.n_frames < N_FRAMES
    with FrameReader(index) as reader:
        codes = [read_code(reader.read(frame)) for frame in range(index.n_frames)]
    assert codes == list(range(N_FRAMES - index.n_frames, N_FRAMES))


def test_frames_hidden_by_an_edit_list_are_left_out(tmp_path: Path) -> None:
    """Negative stamps make the container hide those frames, as trimming on a phone does."""
    path = write_clip(
        tmp_path / "trimmed.mp4",
        coded_frames(),
        100,
        gop=240,
        n_b_frames=2,
        time_base=Fraction(1, 100),
        stamps=range(-10, N_FRAMES - 10),
        options=KINDS["h264-short"][2]["options"],  # type: ignore[arg-type]
    )
    index = build_index(path)
    assert (index.n_frames, index.n_hidden) == (N_FRAMES - 10, 10)
    assert index.seek_stamps[0] < index.stamps[0]
    assert not index.is_key[0]
    assert any("10 frames" in note for note in index.notes)
    with FrameReader(index) as reader:
        order = np.random.default_rng(2).permutation(index.n_frames)
        assert [read_code(reader.read(int(frame))) for frame in order] == (order + 10).tolist()


def test_nothing_decodable(make_clip: MakeClip, tmp_path: Path) -> None:
    data = bytearray(make_clip("h264-b-frames-long").read_bytes())
    begin = data.index(b"mdat") + 4
    n_bytes = int.from_bytes(data[begin - 8 : begin - 4], "big") - 8
    data[begin : begin + n_bytes] = b"\xff" * n_bytes
    path = tmp_path / "noise.mp4"
    path.write_bytes(data)
    with pytest.raises(ClipError, match="no frame of the clip can be decoded"):
        scan_clip(path)


def test_decode_all_gives_every_frame_in_order(make_clip: MakeClip) -> None:
    with av.open(str(make_clip("h264-open"))) as container:
        stamps = [frame.pts for frame in decode_all(container, container.streams.video[0])]
    assert stamps == build_index(make_clip("h264-open")).stamps.tolist()
