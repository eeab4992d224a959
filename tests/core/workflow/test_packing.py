from __future__ import annotations

import zipfile
from pathlib import Path

import msgspec
import numpy as np
import pytest

from deliverylab.core.errors import ClipError, OutputError
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.model.walkthrough import Walkthrough
from deliverylab.core.store.archive import NOTE_NAME, unpack_archive
from deliverylab.core.store.clips import missing_clips, resolve_clip
from deliverylab.core.store.projectfile import load_project
from deliverylab.core.video.index import build_index
from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.voice import Voice, read_voice
from deliverylab.core.video.writer import write_clip
from deliverylab.core.workflow import packing_blur
from deliverylab.core.workflow.health import project_health
from deliverylab.core.workflow.packing import pack
from deliverylab.core.workflow.packing_choice import PackOptions
from deliverylab.core.workflow.packing_cut import SAME
from tests.core.workflow.packed import BEFORE, example, longer, saved_with_clips

replace = msgspec.structs.replace
PLACE = "+52.1000+004.3000/"


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """A project of one delivery in one camera, with more film than matters, and its path."""
    record = example()
    delivery = longer(record.deliveries[0])
    delivery = replace(delivery, cameras=delivery.cameras[:1], space=None)
    script = Walkthrough(pair=(delivery.name, "Model"), voice="voice.wav")
    record = replace(record, deliveries=(delivery,), pair=None, walkthroughs=(script,))
    folder = tmp_path_factory.mktemp("whole")
    return saved_with_clips(record, folder, metadata={"location": PLACE, "title": "Wim Aldery"})


@pytest.fixture(scope="module")
def packed(whole, tmp_path_factory):
    record, path = whole
    folder = tmp_path_factory.mktemp("packed")
    made = pack(record, path, folder / "o.zip")
    return made, unpack_archive(made.path, folder / "elsewhere")


def test_it_opens_elsewhere_with_the_same_results(whole, packed):
    record, _ = whole
    after = load_project(packed[1])
    for old, new in zip(evaluate(record.deliveries[0]), evaluate(after.deliveries[0]), strict=True):
        assert (new.status, new.reason) == (old.status, old.reason)
        if old.value is not None:
            assert new.value == pytest.approx(old.value, rel=SAME, abs=SAME)
            assert new.u == pytest.approx(old.u, rel=SAME, abs=SAME)
    assert missing_clips(after, packed[1]) == []
    assert [f.what for f in project_health(after, packed[1]) if f.level == "problem"] == []


def test_frames_show_what_they_showed(whole, packed):
    record, path = whole
    made, elsewhere = packed
    old = record.deliveries[0].cameras[0]
    new = load_project(elsewhere).deliveries[0].cameras[0]
    shift = made.clips[0].first_frame
    assert 0 < shift < BEFORE
    assert new.first_frame == old.first_frame - shift
    with (
        FrameReader(build_index(resolve_clip(path, old.clip))) as before,
        FrameReader(build_index(resolve_clip(elsewhere, new.clip))) as after,
    ):
        assert after.index.n_frames == new.timing.n_frames == made.clips[0].n_frames
        for frame in (0, 17, new.timing.n_frames - 1):
            # neighbours differ by 4 levels
            grey = float(before.read(frame + shift).mean())
            assert abs(float(after.read(frame).mean()) - grey) < 2.0
        np.testing.assert_allclose(
            after.index.times_s, new.timing.times_s[: after.index.n_frames], atol=1e-4
        )


def test_place_and_voice_stay_behind(whole, packed):
    data = Path(packed[0].path).read_bytes()
    assert PLACE.encode() in next(whole[1].parent.glob("*.mp4")).read_bytes()
    assert PLACE.encode() not in data
    assert load_project(packed[1]).walkthroughs == ()


def test_the_note_says_what_was_done(packed):
    made, elsewhere = packed
    assert (elsewhere.parent / NOTE_NAME).read_text("utf-8") == made.note
    clip = made.clips[0]
    assert f"frames {clip.first_frame} to {clip.last_frame} of {clip.n_whole}" in made.note
    assert "Faces were not blurred." in made.note


def test_a_voice_goes_along_where_sound_is_asked_for(whole, tmp_path):
    record, path = whole
    name = record.deliveries[0].name
    script = Walkthrough(pair=(name, name), voice="voice.wav")
    spoken = replace(record, walkthroughs=(script,))
    voice = path.parent / "voice.wav"
    write_clip(
        voice.with_suffix(".mp4"),
        [np.zeros((64, 64, 3), np.uint8)] * 15,
        30,
        voice=Voice(np.full((1, 24_000), 900, np.int16)),
        metadata={"location": PLACE},
    )
    voice.with_suffix(".mp4").rename(voice)
    options = PackOptions(has_sound=True)
    kept = unpack_archive(pack(spoken, path, tmp_path / "a.zip", options).path, tmp_path / "a")
    told = kept.parent / load_project(kept).walkthroughs[0].voice
    # AAC fills its last packet, and begins with one of its own
    assert read_voice(told).duration_s == pytest.approx(0.5, abs=0.045)
    assert PLACE.encode() in voice.read_bytes()
    assert PLACE.encode() not in told.read_bytes()
    left = unpack_archive(pack(spoken, path, tmp_path / "b.zip").path, tmp_path / "b")
    assert load_project(left).walkthroughs[0].voice == ""
    voice.write_bytes(b"no sound, but somebody's letter")
    with pytest.raises(ClipError):
        pack(spoken, path, tmp_path / "c.zip", options)
    assert not (tmp_path / "c.zip").exists()
    voice.unlink()


def test_whole_clips_are_not_cut(whole, tmp_path):
    record, path = whole
    made = pack(record, path, tmp_path / "o.zip", PackOptions(is_whole=True))
    after = load_project(unpack_archive(made.path, tmp_path / "out"))
    assert after.deliveries[0].cameras[0].timing == record.deliveries[0].cameras[0].timing


def test_without_names_nothing_names_anybody(whole, tmp_path, monkeypatch):
    monkeypatch.setattr(packing_blur, "detector_weights", lambda: None)
    record, path = whole
    options = PackOptions(leaves_names_out=True, blurs_faces=True)
    made = pack(record, path, tmp_path / "o.zip", options)
    with zipfile.ZipFile(made.path) as archive:
        names = archive.namelist()
        everything = b"".join(archive.read(name) for name in names)
    assert names == ["delivery.delivery", NOTE_NAME, "clips/clip-01.mp4"]
    for name in (b"Aldery", b"Wim", b"Alder Creek", b"may.delivery"):
        assert name not in everything
    clip = made.clips[0]
    assert clip.n_located + clip.n_coarse == clip.n_frames
    assert "it misses most" in made.note


def test_those_who_stay_behind_are_not_named_either(whole, tmp_path):
    record, path = whole
    own = record.deliveries[0]
    said = Priority(metric="stride_length", way="more", cue="As far as Noor Veldkamp, Wim")
    own = replace(own, plan=Plan(priorities=(said,)))
    other = replace(
        own, name="Veldkamp 1", athlete=replace(own.athlete, name="Noor Veldkamp"), cameras=()
    )
    both = replace(record, deliveries=(other, own))
    options = PackOptions(leaves_names_out=True, deliveries=(own.name,))
    made = pack(both, path, tmp_path / "o.zip", options)
    (packed,) = load_project(unpack_archive(made.path, tmp_path / "out")).deliveries
    assert packed.name == "Athlete A 1"
    assert packed.plan.priorities[0].cue == "As far as Athlete B, Athlete A"


def test_a_clip_that_is_not_there_is_said(whole, tmp_path):
    record, path = whole
    moved = tmp_path / ".my: may?.delivery"
    moved.write_bytes(path.read_bytes())
    made = pack(record, moved, tmp_path / "o.zip")
    assert made.clips[0].is_missing
    assert "could not be found" in made.note
    opened = unpack_archive(made.path, tmp_path / "out")
    assert opened.name == "my may.delivery"
    after = load_project(opened)
    # whoever has the clip can still link it: its frames count as they did
    assert after.deliveries[0].cameras[0].timing == record.deliveries[0].cameras[0].timing
    assert evaluate(after.deliveries[0]) is not None


def test_stopping_leaves_nothing(whole, tmp_path):
    record, path = whole
    shares = []

    def stop(share):
        shares.append(share)
        if share > 0.5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        pack(record, path, tmp_path / "o.zip", progress=stop)
    assert list(tmp_path.iterdir()) == []
    assert shares == sorted(shares)


def test_a_folder_that_is_not_there_is_said_before_clips_are_coded(whole, tmp_path):
    record, path = whole
    begun = []
    with pytest.raises(OutputError, match="no such folder"):
        pack(record, path, tmp_path / "missing" / "o.zip", progress=begun.append)
    assert begun == []
