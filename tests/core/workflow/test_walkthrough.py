from __future__ import annotations

import wave
from fractions import Fraction
from itertools import pairwise

import av
import msgspec
import numpy as np
import pytest

from deliverylab.core.compare.walkthrough_plan import cues_of, walked
from deliverylab.core.errors import (
    ClipError,
    InputValueError,
    NotFoundError,
    OutputError,
    UsageError,
)
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.walkthrough import Stop, Walkthrough
from deliverylab.core.workflow.walkthrough import make_walkthrough, prepared, voice_path
from tests.core.walked_pair import pair, with_clip

replace = msgspec.structs.replace
SIZE = (640, 360)
STOPS = (Stop(event="foot_contact", pause_s=0.5), Stop(event="release", pause_s=0.4))
SCRIPT = Walkthrough(pair=("Ana 1", "Model"), stops=STOPS, speed=0.5)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("walked")


@pytest.fixture(scope="module")
def project(folder):
    """Return the place of a project whose deliveries have clips, and its record."""
    record = ProjectRecord(deliveries=tuple(with_clip(made, folder) for made in pair()))
    return folder / "a.delivery", record


@pytest.fixture(scope="module")
def made(project, folder):
    path, record = project
    return make_walkthrough(record, path, SCRIPT, folder / "made.mp4", size=SIZE)


def _wav(path, duration_s):
    samples = np.full(round(duration_s * 48_000), 9_000, "<i2")
    samples[::2] = -9_000
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(48_000)
        file.writeframes(samples.tobytes())
    return path


def _decoded(path):
    with av.open(str(path)) as clip:
        return [frame.to_ndarray(format="rgb24") for frame in clip.decode(video=0)]


def test_the_clip_is_what_plays_everywhere(made):
    with av.open(str(made)) as clip:
        assert "mp4" in clip.format.name
        (stream,) = clip.streams
        context = stream.codec_context
        assert (context.name, context.profile, context.pix_fmt) == ("h264", "High", "yuv420p")
        assert (context.width, context.height) == SIZE
        assert stream.average_rate == 30
        assert stream.start_time == 0
    content = made.read_bytes()
    assert content.index(b"moov") < content.index(b"mdat")


def test_frames_and_duration_are_those_of_the_plan(made):
    n_frames = len(cues_of(SCRIPT, walked(*pair())))
    # lead 0.3 s at half real time, pauses 0.5 and 0.4 s, 0.15 s of movement between
    assert n_frames == 18 + 15 + (9 - 1) + 12 + 18
    assert len(_decoded(made)) == n_frames
    with av.open(str(made)) as clip:
        stream = clip.streams.video[0]
        assert stream.duration * stream.time_base == Fraction(n_frames, 30)


def test_a_pause_stands_still_and_the_rest_moves(made):
    pictures = [each.astype(int) for each in _decoded(made)]
    steps = [np.abs(b - a).mean() for a, b in pairwise(pictures)]
    still = [*range(18, 18 + 14), *range(41, 41 + 11)]
    # a key frame, every second, codes the picture anew; else nothing changes
    coded = {29, 30, 59, 60}
    assert max(steps[number] for number in still if number not in coded) < 0.1
    assert max(steps[number] for number in still) < 0.8
    moving = [number for number in range(len(steps)) if number not in still]
    assert min(steps[number] for number in moving) > 0.8


def test_the_clip_s_own_picture_is_at_the_stop(made, project):
    walk = prepared(project[1], SCRIPT, size=SIZE)
    picture = _decoded(made)[18 + 7]
    cue = walk.cues[18 + 7]
    green = (picture[..., 1] > 120) & (picture[..., 2] < 130)
    for is_model, area in ((False, walk.layout.athlete), (True, walk.layout.model)):
        _, _, frame = walk.pair.side(cue, is_model=is_model)
        part = green[area.top : area.bottom, area.left : area.right]
        columns = np.nonzero(part[area.height // 3 : area.height // 2])[1]
        bar_x = round(100.0 + 0.6 * frame)
        expected = walk.places[is_model].to_picture(bar_x, 0.0)[0]
        # the bar is drawn about the column where the body stood in that frame
        assert 0.5 * (columns.min() + columns.max()) == pytest.approx(expected, abs=2.0)


@pytest.mark.parametrize(
    ("voice_s", "offset_s", "n_frames"), [(1.0, 0.5, 71), (3.0, 0.5, 105), (2.366, 0.0, 71)]
)
def test_a_voice_is_laid_under_it_and_heard_to_its_end(
    project, tmp_path, voice_s, offset_s, n_frames
):
    path, record = project
    voice = _wav(tmp_path / "v.wav", voice_s)
    script = replace(SCRIPT, voice=str(voice), voice_offset_s=offset_s)
    out = make_walkthrough(record, path, script, tmp_path / "w.mp4", size=SIZE)
    with av.open(str(out)) as clip:
        picture, sound = clip.streams.video[0], clip.streams.audio[0]
        assert picture.frames == n_frames
        assert sound.codec_context.name == "aac"
        assert float(sound.duration * sound.time_base) == pytest.approx(n_frames / 30, abs=1e-6)
        heard = np.concatenate([each.to_ndarray()[0] for each in clip.decode(audio=0)])
    loud = np.flatnonzero(np.abs(heard) > 0.1) / 48_000
    assert loud[0] == pytest.approx(offset_s, abs=0.03)
    assert loud[-1] == pytest.approx(offset_s + voice_s, abs=0.03)


def test_the_last_picture_stands_while_the_voice_goes_on(project, tmp_path):
    path, record = project
    script = replace(SCRIPT, voice=str(_wav(tmp_path / "v.wav", 3.0)))
    out = make_walkthrough(record, path, script, tmp_path / "w.mp4", size=SIZE)
    last = [each.astype(int) for each in _decoded(out)[71:]]
    assert len(last) == 90 - 71
    assert max(np.abs(each - last[0]).mean() for each in last) < 0.3


def test_a_voice_is_found_from_the_project_s_folder(project, folder):
    path, record = project
    _wav(folder / "beside.wav", 0.2)
    script = replace(SCRIPT, voice="beside.wav")
    assert voice_path(script, path) == folder / "beside.wav"
    assert voice_path(SCRIPT, path) is None
    assert make_walkthrough(record, path, script, folder / "heard.mp4", size=SIZE) is not None


@pytest.mark.parametrize("content", [None, b"no sound"])
def test_a_voice_that_cannot_be_read_is_refused(project, tmp_path, content):
    path, record = project
    if content is not None:
        (tmp_path / "v.wav").write_bytes(content)
    script = replace(SCRIPT, voice=str(tmp_path / "v.wav"))
    with pytest.raises(ClipError):
        make_walkthrough(record, path, script, tmp_path / "w.mp4", size=SIZE)
    assert not (tmp_path / "w.mp4").exists()


def test_cancelled_it_leaves_nothing(project, tmp_path):
    path, record = project
    asked = iter([False] * 20)
    seen = []
    out = make_walkthrough(
        record, path, SCRIPT, tmp_path / "w.mp4", size=SIZE,
        progress=seen.append, is_cancelled=lambda: next(asked, True),
    )  # fmt: skip
    assert out is None
    assert list(tmp_path.iterdir()) == []
    assert len(seen) == 20


def test_cancelled_it_leaves_an_older_file_as_it_was(project, tmp_path):
    path, record = project
    old = tmp_path / "w.mp4"
    old.write_bytes(b"older")
    assert make_walkthrough(record, path, SCRIPT, old, size=SIZE, is_cancelled=lambda: True) is None
    assert old.read_bytes() == b"older"
    assert list(tmp_path.iterdir()) == [old]


def test_progress_goes_to_the_end(project, tmp_path):
    path, record = project
    seen = []
    make_walkthrough(record, path, SCRIPT, tmp_path / "w.mp4", size=SIZE, progress=seen.append)
    assert seen == sorted(seen)
    assert len(seen) == 71
    assert seen[-1] == 1.0


def test_without_clips_the_skeletons_walk_alone_and_it_is_told(project, tmp_path):
    _, record = project
    problems = {}
    out = make_walkthrough(
        record, tmp_path / "elsewhere.delivery", SCRIPT, tmp_path / "w.mp4", size=SIZE,
        problems=problems,
    )  # fmt: skip
    assert len(_decoded(out)) == 71
    assert set(problems) == {"Ana 1.mp4", "Model.mp4"}
    bare = ProjectRecord(deliveries=pair())
    assert make_walkthrough(bare, None, SCRIPT, tmp_path / "b.mp4", size=SIZE) is not None


def test_it_is_not_written_over_what_it_is_made_from(project, folder):
    path, record = project
    before = (folder / "Model.mp4").read_bytes()
    with pytest.raises(UsageError, match="written over"):
        make_walkthrough(record, path, SCRIPT, folder / "Model.mp4", size=SIZE)
    assert (folder / "Model.mp4").read_bytes() == before


def test_a_moved_clip_is_not_written_over_either(project, folder, tmp_path):
    _, record = project
    (tmp_path / "kept").mkdir()
    moved = tmp_path / "kept" / "Model.mp4"
    moved.write_bytes((folder / "Model.mp4").read_bytes())
    with pytest.raises(UsageError, match="written over"):
        make_walkthrough(record, tmp_path / "a.delivery", SCRIPT, moved, size=SIZE)


@pytest.mark.parametrize("name", ["w.avi", "w", "none/w.mp4"])
def test_places_that_cannot_be_are_refused(project, tmp_path, name):
    path, record = project
    with pytest.raises(OutputError) as refusal:
        make_walkthrough(record, path, SCRIPT, tmp_path / name, size=SIZE)
    assert refusal.value.where == str(tmp_path / name)


def test_what_cannot_be_shown_is_refused(project, tmp_path):
    path, record = project
    out = tmp_path / "w.mp4"
    with pytest.raises(InputValueError):
        make_walkthrough(record, path, SCRIPT, out, size=(641, 360))
    with pytest.raises(NotFoundError):
        make_walkthrough(record, path, replace(SCRIPT, pair=("Ana 1", "No")), out, size=SIZE)
    layback = replace(SCRIPT, stops=(Stop(event="full_layback"),))
    with pytest.raises(UsageError, match="not marked"):
        make_walkthrough(record, path, layback, out, size=SIZE)


def test_going_back_reads_the_clip_again(project, tmp_path):
    path, record = project
    stops = (STOPS[1], STOPS[0], STOPS[1])
    script = replace(SCRIPT, stops=stops)
    out = make_walkthrough(record, path, script, tmp_path / "w.mp4", size=SIZE)
    pictures = _decoded(out)
    assert len(pictures) == len(cues_of(script, walked(*pair())))
    first, again = (pictures[number].astype(int) for number in (18 + 6, -18 - 6))
    assert np.abs(first - again).mean() < 1.0
