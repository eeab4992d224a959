"""Repeats are told from pictures that are merely alike."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.video.duplicates import frame_changes, repeated_frames
from deliverylab.core.video.index import build_index
from deliverylab.core.video.writer import write_clip

REPEATS = (6, 12, 18, 24, 30)


def moving_pictures(repeats: tuple[int, ...] = REPEATS) -> list[NDArray[np.uint8]]:
    """Draw a bright block that moves over a textured ground, standing still at the repeats."""
    ground = np.random.default_rng(4).integers(60, 120, (96, 160, 3), dtype=np.uint8)
    pictures: list[NDArray[np.uint8]] = []
    at = 4
    for frame in range(36):
        at += 0 if frame in repeats else 3
        picture = ground.copy()
        picture[30:60, at : at + 24] = 230
        pictures.append(picture)
    return pictures


def test_recoded_repeats_are_found(tmp_path: Path) -> None:
    index = build_index(write_clip(tmp_path / "r.mp4", moving_pictures(), 30, crf=26, gop=36))
    found = frame_changes(index)
    assert found is not None
    assert repeated_frames(found.changes) == REPEATS
    assert np.isnan(found.changes[0])
    assert found.undecodable_frames == ()


def test_steady_motion_has_none(tmp_path: Path) -> None:
    index = build_index(write_clip(tmp_path / "s.mp4", moving_pictures(()), 30, crf=26, gop=8))
    found = frame_changes(index)
    assert found is not None
    assert repeated_frames(found.changes) == ()


def test_standing_scene_has_none() -> None:
    assert repeated_frames(np.array([np.nan, *[0.02] * 10, 0.0, *[0.02] * 10])) == ()


def test_one_still_pair_amid_motion() -> None:
    changes = np.array([np.nan, 2.0, 2.2, 0.1, 1.9, np.nan, 2.0])
    assert repeated_frames(changes) == (3,)


def test_progress_and_stopping(tmp_path: Path) -> None:
    index = build_index(write_clip(tmp_path / "p.mp4", moving_pictures(), 30))
    told: list[float] = []
    frame_changes(index, told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    assert frame_changes(index, lambda part: part < 0.3) is None
