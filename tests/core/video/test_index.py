"""The index is made of packets, and its times are the clip's own."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from deliverylab.core.video.index import ClipIndex, build_index
from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import KINDS, N_FRAMES, coded_frames

MakeClip = Callable[[str], Path]


def index_of(stamps: list[int], time_base: Fraction, rate: Fraction | None = None) -> ClipIndex:
    return ClipIndex(
        path=Path("none.mp4"),
        width_px=4,
        height_px=4,
        rotation_deg=0,
        time_base=time_base,
        stamps=np.array(stamps, np.int64),
        is_key=np.ones(len(stamps), bool),
        seek_stamps=np.array(stamps, np.int64),
        average_rate=rate,
        codec="h264",
        pixel_format="yuv420p",
        container="mp4",
        first_stamp_s=0.0,
    )


@pytest.mark.parametrize("kind", KINDS)
def test_stamps_are_those_of_the_decoded_frames(make_clip: MakeClip, kind: str) -> None:
    path = make_clip(kind)
    index = build_index(path)
    with av.open(str(path)) as container:
        decoded = [frame.pts for frame in container.decode(video=0)]
    assert index.stamps.tolist() == decoded
    assert (index.width_px, index.height_px) == (128, 96)
    assert index.times_s[0] == 0.0
    assert index.notes == ()


def test_variable_times_are_kept_to_the_tick(make_clip: MakeClip) -> None:
    index = build_index(make_clip("variable-rate"))
    stamps = KINDS["variable-rate"][2]["stamps"]
    np.testing.assert_allclose(index.times_s, np.array(stamps) / 90_000, rtol=0, atol=1e-12)
    assert not index.is_uniform


def test_shifted_start(make_clip: MakeClip) -> None:
    index = build_index(make_clip("shifted-start"))
    assert index.first_stamp_s == pytest.approx(7.35)
    np.testing.assert_allclose(index.times_s, np.arange(N_FRAMES) / 100, rtol=0, atol=1e-12)
    assert index.nominal_rate_hz == pytest.approx(100.0)


@pytest.mark.parametrize(
    ("kind", "rotation_deg"), [("turned-90", 90), ("turned-180", 180), ("turned-270", 270)]
)
def test_rotation(make_clip: MakeClip, kind: str, rotation_deg: int) -> None:
    assert build_index(make_clip(kind)).rotation_deg == rotation_deg


def test_ntsc_rate_stays_a_fraction(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "ntsc.mp4", coded_frames(30), Fraction(30_000, 1001))
    index = build_index(path)
    assert index.average_rate == Fraction(30_000, 1001)
    assert index.nominal_rate_hz == pytest.approx(30_000 / 1001, rel=1e-12)


def test_coarse_clock_does_not_spoil_the_rate() -> None:
    """240 Hz in whole milliseconds is 4, 4, 4, 4, 5, ...; the median alone would say 250."""
    stamps = [round(1000 * frame / 240) for frame in range(200)]
    index = index_of(stamps, Fraction(1, 1000), Fraction(240))
    assert index.nominal_rate_hz == 240.0
    assert index.is_uniform
    without_claim = index_of(stamps, Fraction(1, 1000))
    assert without_claim.nominal_rate_hz == pytest.approx(240.0, rel=2e-3)


def test_a_false_claim_is_not_believed() -> None:
    index = index_of(list(range(0, 600, 4)), Fraction(1, 1000), Fraction(30))
    assert index.nominal_rate_hz == pytest.approx(250.0)


def test_nearest_frame() -> None:
    index = index_of([100, 110, 130], Fraction(1, 1000))
    times = [-1.0, 0.0, 0.004, 0.005, 0.006, 0.019, 0.021, 5.0]
    assert [index.frame_at(time) for time in times] == [0, 0, 0, 0, 1, 1, 2, 2]


def test_single_frame_has_no_rate(tmp_path: Path) -> None:
    index = build_index(write_clip(tmp_path / "one.mp4", coded_frames(1), 30))
    assert index.n_frames == 1
    assert np.isnan(index.nominal_rate_hz)
    assert index.is_uniform
    assert index.frame_at(3.0) == 0


def test_arrays_are_read_only(make_clip: MakeClip) -> None:
    index = build_index(make_clip("h264-short"))
    with pytest.raises(ValueError, match="read-only"):
        index.stamps[0] = 5


def test_index_travels_to_another_process(make_clip: MakeClip) -> None:
    index = build_index(make_clip("ts"))
    copy = pickle.loads(pickle.dumps(index))
    assert np.array_equal(copy.stamps, index.stamps)
    assert replace(copy, path=index.path).time_base == index.time_base


def test_non_square_pixels_are_made_square(tmp_path: Path) -> None:
    path = tmp_path / "wide.mkv"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30)
        stream.width, stream.height, stream.pix_fmt = 96, 96, "yuv420p"
        stream.codec_context.sample_aspect_ratio = Fraction(4, 3)
        for picture in coded_frames(3):
            narrow = np.ascontiguousarray(picture[:, :96])
            container.mux(stream.encode(av.VideoFrame.from_ndarray(narrow, format="rgb24")))
        container.mux(stream.encode(None))
    index = build_index(path)
    assert (index.width_px, index.height_px) == (128, 96)
    assert any("not square" in note for note in index.notes)
