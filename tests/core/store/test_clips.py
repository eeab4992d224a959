from __future__ import annotations

import os
from pathlib import Path

import pytest

from deliverylab.core.errors import ClipError, InputValueError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import replace
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.walkthrough import Walkthrough
from deliverylab.core.store import clips
from deliverylab.core.store.clips import (
    clip_reference,
    files_of,
    is_same_clip,
    missing_clips,
    rebased,
    relinked,
    resolve_clip,
)
from deliverylab.core.video.fingerprint import Fingerprint


@pytest.fixture
def folder(tmp_path):
    folder = tmp_path / "session"
    (folder / "clips").mkdir(parents=True)
    (folder / "clips" / "side.mp4").write_bytes(b"the clip" * 1000)
    return folder


@pytest.fixture
def project_path(folder):
    return folder / "may.delivery"


@pytest.fixture
def reference(folder, project_path):
    return clip_reference(folder / "clips" / "side.mp4", project_path)


def _record(reference):
    camera = Camera(
        name="main",
        view="rear",
        width_px=640,
        height_px=480,
        timing=Timing(n_frames=10, stored_rate="60"),
        clip=reference,
    )
    without = Camera(
        name="typed",
        view="rear",
        width_px=640,
        height_px=480,
        timing=Timing(n_frames=10, stored_rate="60"),
    )
    delivery = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(camera, without))
    return ProjectRecord(deliveries=(delivery,))


def test_the_path_is_relative_to_the_project_and_the_same_on_every_system(reference):
    assert reference.path == "clips/side.mp4"
    assert reference.size_bytes == 8000
    assert len(reference.head_sha256) == len(reference.tail_sha256) == 64


def test_without_a_project_the_path_is_absolute(folder):
    reference = clip_reference(folder / "clips" / "side.mp4", None)
    assert Path(reference.path).is_absolute()
    assert resolve_clip(None, reference) == folder / "clips" / "side.mp4"


def test_a_clip_outside_the_projects_folder_is_followed(folder, tmp_path):
    project_path = tmp_path / "elsewhere" / "a.delivery"
    reference = clip_reference(folder / "clips" / "side.mp4", project_path)
    assert reference.path == "../session/clips/side.mp4"
    assert resolve_clip(project_path, reference) == folder / "clips" / "side.mp4"


def test_a_folder_moved_as_a_whole_keeps_its_clips(folder, reference, tmp_path):
    moved = folder.rename(tmp_path / "archive")
    assert resolve_clip(moved / "may.delivery", reference) == moved / "clips" / "side.mp4"


@pytest.mark.parametrize("target", ["side.mp4", "a/b/side.mp4", "renamed.mp4", "a/renamed.mp4"])
def test_a_moved_or_renamed_clip_is_found_under_the_project(
    folder, project_path, reference, target
):
    (folder / target).parent.mkdir(parents=True, exist_ok=True)
    (folder / "clips" / "side.mp4").rename(folder / target)
    assert resolve_clip(project_path, reference) == folder / target


def test_another_file_of_that_name_and_size_is_not_taken(folder, project_path, reference):
    (folder / "clips" / "side.mp4").write_bytes(b"THE CLIP" * 1000)
    assert resolve_clip(project_path, reference) is None
    assert not is_same_clip(folder / "clips" / "side.mp4", reference)


def test_a_clip_named_on_another_system_is_found_by_its_name(folder, project_path, reference):
    far = clips.replace(reference, path="C:\\Users\\ana\\side.mp4")
    assert resolve_clip(project_path, far) == folder / "clips" / "side.mp4"


def test_hidden_folders_links_and_unreadable_paths_do_no_harm(folder, project_path, reference):
    (folder / ".cache").mkdir()
    (folder / "clips" / "side.mp4").rename(folder / ".cache" / "side.mp4")
    (folder / "round").symlink_to(folder, target_is_directory=True)
    assert resolve_clip(project_path, reference) is None
    assert resolve_clip(project_path, clips.replace(reference, path="a\0b")) is None


def test_the_search_gives_up_in_a_huge_folder(folder, project_path, reference, monkeypatch):
    monkeypatch.setattr(clips, "_MOST_ENTRIES", 3)
    for number in range(5):
        (folder / f"{number}.txt").write_bytes(b"")
    (folder / "clips" / "side.mp4").rename(folder / "z.mp4")
    assert resolve_clip(project_path, reference) is None


def test_missing_clips_are_listed(folder, project_path, reference):
    record = _record(reference)
    assert missing_clips(record, project_path) == []
    (folder / "clips" / "side.mp4").unlink()
    (missing,) = missing_clips(record, project_path)
    assert (missing.delivery, missing.camera, missing.reference) == ("one", "main", reference)


def test_a_clip_is_relinked_only_to_the_same_file(folder, project_path, reference, tmp_path):
    camera = _record(reference).deliveries[0].cameras[0]
    away = (folder / "clips" / "side.mp4").rename(tmp_path / "away.mp4")
    mended = relinked(camera, away, project_path)
    assert mended.clip.path == "../away.mp4"
    assert resolve_clip(project_path, mended.clip) == away

    away.write_bytes(b"smaller copy")
    with pytest.raises(ClipError, match="another file"):
        relinked(camera, away, project_path)
    accepted = relinked(camera, away, project_path, accept_other=True)
    assert accepted.clip.size_bytes == 12


def test_a_missing_clip_cannot_be_referred_to(project_path):
    with pytest.raises(ClipError, match="cannot be read"):
        clip_reference(project_path.with_name("none.mp4"), project_path)


def test_a_name_that_is_no_text_is_refused(project_path, monkeypatch):
    # most file systems refuse to hold such a name, so the reading of the file is left out
    monkeypatch.setattr(clips, "fingerprint", lambda _: Fingerprint(1, "", ""))
    with pytest.raises(InputValueError, match="rename the file"):
        clip_reference(project_path.with_name("\udcff.mp4"), project_path)


def test_a_project_saved_elsewhere_still_finds_its_clips(folder, project_path, reference, tmp_path):
    new_path = tmp_path / "other" / "a.delivery"
    record = rebased(_record(reference), project_path, new_path)
    clip = record.deliveries[0].cameras[0].clip
    assert clip.path == "../session/clips/side.mp4"
    assert resolve_clip(new_path, clip) == folder / "clips" / "side.mp4"

    (folder / "clips" / "side.mp4").unlink()
    kept = rebased(_record(reference), project_path, new_path)
    assert kept.deliveries[0].cameras[0].clip == reference


def test_a_voice_is_referred_to_from_the_new_folder_where_it_is_found(folder, tmp_path):
    (folder / "said.wav").write_bytes(b"a voice")
    script = Walkthrough(pair=("a", "b"), voice="said.wav")
    record = ProjectRecord(walkthroughs=(script,))
    (tmp_path / "other").mkdir()
    moved = rebased(record, folder / "may.delivery", tmp_path / "other" / "may.delivery")
    assert moved.walkthroughs[0].voice == "../session/said.wav"
    lost = ProjectRecord(walkthroughs=(replace(script, voice="gone.wav"),))
    kept = rebased(lost, folder / "may.delivery", tmp_path / "other" / "may.delivery")
    assert kept == lost
    # before a project is saved, its voice lies at a whole path
    unsaved = ProjectRecord(
        walkthroughs=(
            replace(script, voice=(folder / "said.wav").as_posix()),
            Walkthrough(pair=("b", "a")),
        )
    )
    saved = rebased(unsaved, None, folder / "may.delivery")
    assert [each.voice for each in saved.walkthroughs] == ["said.wav", ""]


@pytest.mark.skipif(os.name != "posix", reason="links of POSIX")
def test_links_to_project_folder_and_clip_name_the_same_place(folder, tmp_path):
    (tmp_path / "linked").symlink_to(folder)
    (tmp_path / "may.delivery").symlink_to(folder / "may.delivery")
    (folder / "link.mp4").symlink_to(folder / "clips" / "side.mp4")
    for project in ("session/may.delivery", "linked/may.delivery", "may.delivery"):
        for clip in ("session/clips/side.mp4", "linked/clips/side.mp4"):
            reference = clip_reference(tmp_path / clip, tmp_path / project)
            assert reference.path == "clips/side.mp4"
            found = resolve_clip(tmp_path / project, reference)
            assert found == folder / "clips" / "side.mp4"
        # a link beside the project is a place of its own
        assert clip_reference(folder / "link.mp4", tmp_path / project).path == "link.mp4"


def test_the_files_of_a_project_are_named(folder, project_path, reference):
    found = files_of(_record(reference), project_path)
    assert found == [project_path, folder / "clips" / "side.mp4"]
