from __future__ import annotations

import json

import av
import msgspec
import pytest

import deliverylab
from deliverylab.core.errors import (
    ClipError,
    InputValueError,
    NotFoundError,
    OutputError,
    UsageError,
)
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.walkthrough import Stop, Walkthrough
from deliverylab.core.store.projectfile import save_project
from tests.core.walked_pair import pair, with_clip

PAIR = ("Ana 1", "Model")
SCRIPT = Walkthrough(
    pair=PAIR, stops=(Stop(event="release", pause_s=0.2, caption="In a few words"),), speed=1.0
)


@pytest.fixture(scope="module")
def walked(tmp_path_factory):
    """Return a project of two deliveries with clips, and with a script."""
    folder = tmp_path_factory.mktemp("walked")
    deliveries = tuple(with_clip(made, folder) for made in pair())
    record = ProjectRecord(deliveries=deliveries, walkthroughs=(SCRIPT,))
    save_project(record, folder / "a.delivery")
    save_project(msgspec.structs.replace(record, walkthroughs=()), folder / "plain.delivery")
    return folder / "a.delivery"


def _n_frames(path):
    with av.open(str(path)) as clip:
        return clip.streams.video[0].frames


def test_the_project_s_own_script_is_used(run, walked, tmp_path):
    out = tmp_path / "w.mp4"
    status, said, notes = run("walkthrough", walked, *PAIR, "--out", out, "--size", "640x360")
    assert (status, notes) == (0, "")
    assert said == f"written: {out}\n"
    # 0.3 s before and after the one stop at real time, and 0.2 s of standing still
    assert _n_frames(out) == 9 + 6 + 9


def test_options_change_the_script(run, walked, tmp_path):
    out = tmp_path / "w.mp4"
    options = ("--speed", "0.5", "--pause", "1", "--size", "640x360")
    assert run("walkthrough", walked, *PAIR, "--out", out, *options)[0] == 0
    assert _n_frames(out) == 18 + 30 + 18


def test_a_script_is_written_edited_and_used(run, walked, tmp_path):
    plain, path = walked.with_name("plain.delivery"), tmp_path / "s.json"
    assert run("walkthrough", plain, *PAIR, "--write-script", path)[0] == 0
    script = json.loads(path.read_text(encoding="utf-8"))
    assert [stop["event"] for stop in script["stops"]] == ["leg_lift", "foot_contact", "release"]
    script["stops"] = [{"event": "foot_contact", "pause_s": 0.5}]
    script["speed"] = 1.0
    path.write_text(json.dumps(script), encoding="utf-8")
    out = tmp_path / "w.mp4"
    command = ("walkthrough", plain, *PAIR, "--script", path, "--out", out, "--size", "640x360")
    assert run(*command)[0] == 0
    assert _n_frames(out) == 9 + 15 + 9


def test_a_script_is_printed(run, walked):
    status, said, _ = run("walkthrough", walked, *PAIR, "--write-script", "-", "--voice-at", "1.5")
    assert status == 0
    assert json.loads(said)["stops"][0]["caption"] == "In a few words"
    assert json.loads(said)["voice_offset_s"] == 1.5


@pytest.mark.parametrize(
    ("options", "kind"),
    [
        ((), UsageError),
        (("--out", "w.avi"), OutputError),
        (("--out", "w.mp4", "--size", "641x360"), InputValueError),
        (("--out", "w.mp4", "--size", "large"), UsageError),
        (("--out", "w.mp4", "--speed", "9"), InputValueError),
        (("--out", "w.mp4", "--pause", "-1"), InputValueError),
        (("--out", "w.mp4", "--voice", "none.wav"), ClipError),
        (("--out", "w.mp4", "--script", "none.json"), NotFoundError),
    ],
)
def test_what_cannot_be_is_refused(run, walked, tmp_path, monkeypatch, options, kind):
    monkeypatch.chdir(tmp_path)
    status, said, err = run("walkthrough", walked, *PAIR, *options)
    assert (status, said) == (kind.exit_code, "")
    assert err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_it_is_not_written_over_a_clip(run, walked):
    clip = walked.parent / "Model.mp4"
    before = clip.read_bytes()
    assert run("walkthrough", walked, *PAIR, "--out", clip)[0] == UsageError.exit_code
    assert clip.read_bytes() == before


def test_a_delivery_that_is_not_there_is_named(run, walked, tmp_path):
    status, _, err = run("walkthrough", walked, "Ana 1", "No", "--out", tmp_path / "w.mp4")
    assert status == NotFoundError.exit_code
    assert "the deliveries are: Ana 1, Model" in err


def test_without_clips_a_note_says_why(run, walked, tmp_path):
    moved = tmp_path / "a.delivery"
    moved.write_bytes(walked.read_bytes())
    out = tmp_path / "w.mp4"
    status, said, notes = run("walkthrough", moved, *PAIR, "--out", out, "--size", "640x360")
    assert (status, said) == (0, f"written: {out}\n")
    assert notes.count("the clip cannot be found") == 2


def test_letters_without_a_font_are_noted(run, walked, tmp_path):
    path, out = tmp_path / "s.json", tmp_path / "w.mp4"
    script = {
        "pair": PAIR,
        "stops": [{"event": "release", "pause_s": 0, "caption": "𓀀"}],
        "speed": 2,
    }
    path.write_text(json.dumps(script), encoding="utf-8")
    _, _, notes = run(
        *("walkthrough", walked, *PAIR, "--script", path, "--out", out, "--size", "640x360")
    )
    assert "no font here has 𓀀" in notes


def test_from_python(walked, tmp_path):
    project = deliverylab.open_project(walked)
    assert deliverylab.walkthrough_script(project, *PAIR) == SCRIPT
    out = deliverylab.walkthrough(walked, *PAIR, tmp_path / "w.mp4", size=(640, 360))
    assert _n_frames(out) == 24
    shorter = msgspec.structs.replace(SCRIPT, speed=1.5)
    deliverylab.walkthrough(walked, *PAIR, out, script=shorter, size=(640, 360))
    assert _n_frames(out) == 6 + 6 + 6
