"""What is written can be read back; what cannot be written leaves nothing behind."""

from __future__ import annotations

import os
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from deliverylab.core.errors import ClipError
from deliverylab.core.video.index import build_index
from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import N_FRAMES, coded_frames, coded_picture, read_code


def test_gop_and_rate(tmp_path: Path) -> None:
    path = write_clip(
        tmp_path / "clip.mp4", coded_frames(), 120, gop=12, options={"x264-params": "scenecut=0"}
    )
    index = build_index(path)
    assert np.flatnonzero(index.is_key).tolist() == [0, 12, 24, 36]
    assert index.nominal_rate_hz == 120.0
    assert (index.codec, index.pixel_format) == ("h264", "yuv420p")


@pytest.mark.parametrize(("height", "is_full"), [(96, False), (96, True), (720, False)])
def test_colours_survive(tmp_path: Path, height: int, is_full: bool) -> None:
    picture = np.empty((height, 128, 3), np.uint8)
    picture[:, :64], picture[:, 64:] = (200, 60, 40), (30, 120, 200)
    path = write_clip(tmp_path / "c.mp4", [picture], 30, crf=4, is_full_range=is_full)
    with FrameReader(build_index(path)) as reader:
        found = reader.read(0).astype(int)
    # 4:2:0 mixes colours next to the border only
    assert np.abs(found - picture)[:, [10, 30, 100, 120]].max() <= 4


def test_stamps_set_the_times(tmp_path: Path) -> None:
    stamps = [5, 6, 9, 20]
    path = write_clip(
        tmp_path / "v.mkv", coded_frames(4), 100, stamps=stamps, time_base=Fraction(1, 100)
    )
    np.testing.assert_allclose(build_index(path).times_s, [0, 0.01, 0.04, 0.15], atol=1e-9)


def test_metadata_comes_back(tmp_path: Path) -> None:
    path = write_clip(
        tmp_path / "slow.mp4", coded_frames(8), 30, metadata={"com.android.capture.fps": "240.0"}
    )
    assert build_index(path).stated_capture_rate_hz == 240.0


def refuse_no_frames(path: Path) -> None:
    write_clip(path, [], 30)


def refuse_mixed_sizes(path: Path) -> None:
    write_clip(path, [coded_picture(0), coded_picture(1, 64)], 30)


def refuse_too_few_stamps(path: Path) -> None:
    write_clip(path, coded_frames(3), 30, stamps=[0, 1])


def refuse_unknown_codec(path: Path) -> None:
    write_clip(path, coded_frames(3), 30, codec="no-such-codec")


def refuse_unknown_format(path: Path) -> None:
    write_clip(path, coded_frames(3), 30, pix_fmt="no-such-format")


@pytest.mark.parametrize(
    "attempt",
    [
        refuse_no_frames,
        refuse_mixed_sizes,
        refuse_too_few_stamps,
        refuse_unknown_codec,
        refuse_unknown_format,
    ],
)
def test_refusals_leave_no_file(tmp_path: Path, attempt: object) -> None:
    path = tmp_path / "clip.mp4"
    with pytest.raises(ClipError):
        attempt(path)  # type: ignore[operator]
    assert not path.exists()


def test_missing_folder(tmp_path: Path) -> None:
    with pytest.raises(ClipError, match="could not be written"):
        write_clip(tmp_path / "none" / "clip.mp4", coded_frames(2), 30)


def test_overwrites(tmp_path: Path) -> None:
    path = tmp_path / "clip.mp4"
    write_clip(path, coded_frames(N_FRAMES), 30)
    write_clip(path, coded_frames(5), 30)
    with FrameReader(build_index(path)) as reader:
        assert reader.index.n_frames == 5
        assert read_code(reader.read(4)) == 4


@pytest.mark.skipif(os.name != "posix", reason="a colon names a drive elsewhere")
def test_a_name_like_an_address_is_a_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write_clip("pipe:ana.mp4", coded_frames(3), 30)
    assert (tmp_path / "pipe:ana.mp4").stat().st_size > 0
    assert build_index("pipe:ana.mp4").n_frames == 3
