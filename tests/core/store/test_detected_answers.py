"""Answers kept for the next run."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.model.delivery import ClipReference
from deliverylab.core.store.detected_answers import answers_file, keep_answers, kept_answers

CLIP = ClipReference(path="a.mp4", size_bytes=10, head_sha256="a" * 64, tail_sha256="b" * 64)


def test_what_is_kept_comes_back(tmp_path):
    file = answers_file(CLIP, None, tmp_path / "new")
    assert kept_answers(file) is None
    answers = {"frames": np.arange(3.0), "rows": np.full((3, 2), np.nan)}
    keep_answers(file, answers)
    back = kept_answers(file)
    assert back is not None
    assert all(np.array_equal(back[name], answers[name], equal_nan=True) for name in answers)


def test_another_clip_or_another_box_has_its_own_file_a_moved_clip_the_same(tmp_path):
    file = answers_file(CLIP, None, tmp_path)
    assert answers_file(replace(CLIP, path="moved/a.mp4"), None, tmp_path) == file
    assert answers_file(replace(CLIP, size_bytes=11), None, tmp_path) != file
    assert answers_file(CLIP, (1.0, 2.0, 3.0, 4.0), tmp_path) != file


@pytest.mark.parametrize("content", [b"", b"no archive", b"PK\x03\x04 cut short"])
def test_a_damaged_file_counts_as_none(tmp_path, content):
    file = answers_file(CLIP, None, tmp_path)
    file.write_bytes(content)
    assert kept_answers(file) is None


def test_a_folder_that_cannot_be_written_is_no_error(tmp_path):
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    file = answers_file(CLIP, None, tmp_path / "taken")
    keep_answers(file, {"frames": np.arange(3.0)})
    assert kept_answers(file) is None


def test_without_a_folder_it_is_the_users_cache():
    assert answers_file(CLIP, None).parts[-3:-1] == ("deliverylab", "detected")
