"""Files that are no clips are refused with a reason; orientations follow the standard."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from deliverylab.core.errors import ClipError
from deliverylab.core.video.opening import Orientation, open_clip, orientation_of, pixel_aspect_of
from deliverylab.core.video.writer import write_clip

ONE = 65536
# ISO/IEC 14496-12 matrices (a b u c d v x y w) and what they mean, worked out by hand: (1, 0)
# goes to (a, b) and (0, 1) to (c, d), y pointing down.
MATRICES = {
    "as stored": ((ONE, 0, 0, 0, ONE, 0, 0, 0, 1 << 30), Orientation(0)),
    "quarter turn clockwise": ((0, ONE, 0, -ONE, 0, 0, 0, 0, 1 << 30), Orientation(90)),
    "upside down": ((-ONE, 0, 0, 0, -ONE, 0, 0, 0, 1 << 30), Orientation(180)),
    "quarter turn back": ((0, -ONE, 0, ONE, 0, 0, 0, 0, 1 << 30), Orientation(270)),
    "mirrored": ((-ONE, 0, 0, 0, ONE, 0, 0, 0, 1 << 30), Orientation(0, is_mirrored=True)),
    # left-right first, then clockwise: (1, 0) -> (-1, 0) -> (0, -1); (0, 1) -> (0, 1) -> (-1, 0)
    "mirrored, then turned": (
        (0, -ONE, 0, -ONE, 0, 0, 0, 0, 1 << 30),
        Orientation(90, is_mirrored=True),
    ),
}


def write_with_matrix(path: Path, matrix: tuple[int, ...]) -> Path:
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30)
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        stream.set_display_matrix(list(matrix))
        for _ in range(2):
            picture = np.zeros((48, 64, 3), np.uint8)
            picture[:24, :32] = 255
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="rgb24")))
        container.mux(stream.encode(None))
    return path


@pytest.mark.parametrize("name", MATRICES)
def test_display_matrix(tmp_path: Path, name: str) -> None:
    matrix, expected = MATRICES[name]
    container, stream = open_clip(write_with_matrix(tmp_path / "turned.mp4", matrix))
    with container:
        assert orientation_of(next(container.decode(stream))) == expected
        assert pixel_aspect_of(stream) == 1


def test_missing_empty_and_folder(tmp_path: Path) -> None:
    with pytest.raises(ClipError, match="does not exist"):
        open_clip(tmp_path / "none.mp4")
    with pytest.raises(ClipError, match="does not exist"):
        open_clip(tmp_path / ("x" * 5000))
    empty = tmp_path / "empty.mp4"
    empty.touch()
    with pytest.raises(ClipError, match="zero bytes"):
        open_clip(empty)
    with pytest.raises(ClipError, match="not a file"):
        open_clip(tmp_path)


@pytest.mark.parametrize("name", ["notes.txt", "notes.mp4", "notes.avi"])
def test_text_is_no_video(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_text("Stride a little longer next time.\n" * 400)
    with pytest.raises(ClipError, match="not a video that can be read"):
        open_clip(path)


def test_sound_alone_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "sound.m4a"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("aac", rate=44_100, layout="mono")
        frame = av.AudioFrame.from_ndarray(np.zeros((1, 2048), np.float32), "fltp", "mono")
        frame.sample_rate = 44_100
        container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    with pytest.raises(ClipError, match="no moving picture"):
        open_clip(path)


def test_unfinished_recording_says_so(make_clip: Callable[[str], Path], tmp_path: Path) -> None:
    whole = make_clip("h264-b-frames-long").read_bytes()
    path = tmp_path / "cut.mp4"
    path.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(ClipError, match="table of contents is missing"):
        open_clip(path)


def test_playlist_cannot_reach_the_network(tmp_path: Path) -> None:
    path = tmp_path / "list.m3u8"
    path.write_text(
        "#EXTM3U\n#EXT-X-TARGETDURATION:4\n#EXTINF:4,\ntcp://127.0.0.1:9/a.ts\n#EXT-X-ENDLIST\n"
    )
    with pytest.raises(ClipError):
        open_clip(path)


def test_a_title_in_no_known_encoding_does_not_keep_a_clip_shut(tmp_path: Path) -> None:
    path = tmp_path / "clip.mp4"
    pictures = [np.zeros((64, 96, 3), np.uint8)] * 6
    write_clip(path, pictures, Fraction(30), crf=20, gop=6, metadata={"title": "caféxyz"})
    whole = path.read_bytes()
    assert b"caf\xc3\xa9xyz" in whole
    path.write_bytes(whole.replace(b"caf\xc3\xa9xyz", b"caf\xc3\x28xyz"))
    container, _ = open_clip(path)
    container.close()
