"""The light copy shows the same frames, upright, within its budget."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from deliverylab.core.video.index import build_index
from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.warmcopy import ENCODERS, WarmCopy, plan_size, usable_encoder
from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import N_FRAMES, read_code

MakeClip = Callable[[str], Path]
MIB = 2**20


def warm(
    path: Path, budget_bytes: int = 50 * MIB, encoder: str | None = None
) -> tuple[WarmCopy, FrameReader]:
    index = build_index(path)
    reader = FrameReader(index)
    copy = WarmCopy(
        index.width_px,
        index.height_px,
        index.orientation,
        n_frames=index.n_frames,
        budget_bytes=budget_bytes,
        encoder=encoder,
    )
    for frame, stored in reader.frames(0, index.n_frames - 1):
        copy.add(frame, stored)
    return copy, reader


KINDS_TO_WARM = [
    "h264-b-frames-long",
    "hevc-10-bit",
    "mjpeg",
    "variable-rate",
    "turned-90",
    "turned-270",
]


@pytest.mark.parametrize("kind", KINDS_TO_WARM)
def test_every_frame_in_random_order(make_clip: MakeClip, kind: str) -> None:
    copy, reader = warm(make_clip(kind))
    with reader:
        for frame in np.random.default_rng(7).permutation(N_FRAMES).tolist():
            light = copy.picture(frame)
            assert read_code(light) == frame
            exact = reader.read(frame).astype(int)
            # lossy, but the colours are those of the exact picture
            assert np.abs(light - exact).mean() < 3.0


def test_the_plain_codec_serves_as_well(make_clip: MakeClip) -> None:
    assert usable_encoder() == ENCODERS[0]
    copy, reader = warm(make_clip("h264-short"), encoder=ENCODERS[1])
    with reader:
        for frame in (0, 47, 20, 21):
            light = copy.picture(frame)
            assert read_code(light) == frame
            assert np.abs(light - reader.read(frame).astype(int)).mean() < 3.0


def test_budget_is_kept_even_by_noise(tmp_path: Path) -> None:
    noise = np.random.default_rng(0).integers(0, 256, (12, 240, 320, 3), dtype=np.uint8)
    path = write_clip(tmp_path / "noise.mp4", noise, 30, crf=10)
    budget_bytes = 12 * 12_000
    copy, reader = warm(path, budget_bytes)
    reader.close()
    assert sum(frame in copy for frame in range(12)) >= 8
    assert 0 < copy.held_bytes <= budget_bytes


def test_frames_beyond_the_budget_are_not_held(make_clip: MakeClip) -> None:
    copy, reader = warm(make_clip("h264-short"), budget_bytes=2000)
    reader.close()
    assert copy.held_bytes <= 2000
    missing = [frame for frame in range(N_FRAMES) if frame not in copy]
    assert missing
    with pytest.raises(KeyError):
        copy.picture(missing[0])


def test_sizes() -> None:
    assert plan_size(1920, 1080, 960, 400 * MIB)[:2] == (1920, 1080)
    assert plan_size(3840, 2160, 180, 400 * MIB)[:2] == (1920, 1080)
    assert plan_size(2160, 3840, 180, 400 * MIB)[:2] == (1080, 1920)
    # a long clip in a small budget is halved
    assert plan_size(1920, 1080, 20_000, 400 * MIB)[:2] == (960, 540)
    width_px, height_px, n_bytes = plan_size(1920, 1080, 960, 400 * MIB)
    assert 960 * n_bytes <= 400 * MIB
    assert n_bytes <= 0.08 * width_px * height_px


def test_odd_sizes(tmp_path: Path) -> None:
    pictures = np.full((3, 47, 85, 3), 90, np.uint8)
    pictures[:, :20, :30] = 220
    path = write_clip(tmp_path / "odd.mkv", pictures, 30, codec="ffv1", crf=None, pix_fmt="yuv444p")
    copy, reader = warm(path)
    with reader:
        assert copy.picture(1).shape == reader.read(1).shape == (47, 85, 3)
        assert np.abs(copy.picture(1).astype(int) - pictures[1]).mean() < 4.0
