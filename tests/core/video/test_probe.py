"""A probe says in plain words what a clip's file gives away."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from deliverylab.core.errors import ClipError
from deliverylab.core.video.probe import probe
from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import KINDS, N_FRAMES, coded_frames

MakeClip = Callable[[str], Path]


def test_plain_clip_has_nothing_to_say(make_clip: MakeClip) -> None:
    report = probe(make_clip("h264-b-frames-long"))
    assert report.notes == ()
    assert report.stored_rate_hz == 240.0
    assert report.spacing_min_s == pytest.approx(1 / 240)
    assert report.spacing_max_s == pytest.approx(1 / 240)
    assert (report.duplicate_frames, report.n_duplicates, report.undecodable_frames) == ((), 0, ())
    assert not report.is_variable_rate
    assert not report.suspects_slow_motion


def test_variable_rate(make_clip: MakeClip) -> None:
    report = probe(make_clip("variable-rate"), look_for_duplicates=False)
    spacings = np.diff(np.array(KINDS["variable-rate"][2]["stamps"])) / 90_000
    assert report.is_variable_rate
    assert report.spacing_min_s == pytest.approx(spacings.min())
    assert report.spacing_median_s == pytest.approx(np.median(spacings))
    assert report.spacing_max_s == pytest.approx(spacings.max())
    assert report.duplicate_frames is None
    assert report.n_duplicates is None
    assert not report.suspects_slow_motion
    assert any("varies from 3.3 to 16.7 ms" in note for note in report.notes)


def test_stated_capture_rate_is_slow_motion(tmp_path: Path) -> None:
    tags = {"com.android.capture.fps": "240.000000"}
    report = probe(write_clip(tmp_path / "s.mp4", coded_frames(12), 30, metadata=tags))
    assert report.suspects_slow_motion
    assert any("240" in note and "slow motion" in note for note in report.notes)
    real_time = probe(write_clip(tmp_path / "r.mp4", coded_frames(12), 240, metadata=tags))
    assert not real_time.suspects_slow_motion


def test_ramped_rate_is_edited_slow_motion(tmp_path: Path) -> None:
    stamps = np.cumsum([0] + [10] * 15 + [80] * 16 + [10] * 16).tolist()
    path = write_clip(
        tmp_path / "ramp.mp4", coded_frames(), 100, stamps=stamps, time_base=Fraction(1, 1000)
    )
    report = probe(path, look_for_duplicates=False)
    assert report.suspects_slow_motion
    assert any("factor of 8.0" in note for note in report.notes)


def test_missing_frames_are_located(tmp_path: Path) -> None:
    stamps = [frame + 3 * (frame > 20) for frame in range(N_FRAMES)]
    path = write_clip(
        tmp_path / "gap.mp4", coded_frames(), 120, stamps=stamps, time_base=Fraction(1, 120)
    )
    report = probe(path, look_for_duplicates=False)
    assert any("one place" in note and "after frame 20" in note for note in report.notes)


def test_slow_stored_rate_asks(tmp_path: Path) -> None:
    report = probe(write_clip(tmp_path / "p.mp4", coded_frames(12), 30), look_for_duplicates=False)
    assert not report.suspects_slow_motion
    assert any("true capture rate" in note for note in report.notes)


def test_single_picture(tmp_path: Path) -> None:
    report = probe(write_clip(tmp_path / "one.mp4", coded_frames(1), 30))
    assert np.isnan(report.spacing_median_s)
    assert any("single picture" in note for note in report.notes)


def test_stopped_search_leaves_the_rest(make_clip: MakeClip) -> None:
    report = probe(make_clip("mjpeg"), progress=lambda _part: False)
    assert report.duplicate_frames is None
    assert report.stored_rate_hz == 240.0


def test_repeats_found_elsewhere_are_put_into_words(make_clip: MakeClip) -> None:
    bare = probe(make_clip("h264-short"), look_for_duplicates=False)
    report = bare.with_duplicates((6, 12, 18), 24, (3,))
    assert report.n_duplicates == 3
    assert report.distinct_rate_hz == pytest.approx(210.0)
    assert any("3 of 24 frames repeat" in note for note in report.notes)
    assert any("1 frame is damaged" in note for note in report.notes)
    assert bare.n_duplicates is None


def test_no_clip(tmp_path: Path) -> None:
    with pytest.raises(ClipError):
        probe(tmp_path / "none.mp4")


def test_real_clip_repeats_every_sixth_frame(real_clip: Path) -> None:
    """Seen by eye: the 25 pictures a second of the source were stored as 30."""
    report = probe(real_clip)
    assert report.index.n_frames == 119
    assert report.n_duplicates == 17
    assert report.distinct_rate_hz == pytest.approx(25.7, abs=0.1)
    assert any("17 of 119" in note for note in report.notes)
