from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deliverylab.core.errors import (
    NewerVersionError,
    NotFoundError,
    OutputError,
    ProjectFileError,
)
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import ClipReference, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.track import Position
from deliverylab.core.store.projectfile import (
    document_from_bytes,
    load_project,
    open_project_file,
    record_from_bytes,
    record_from_document,
    record_to_bytes,
    save_project,
)
from deliverylab.core.store.replacing import ChangedOnDiskError
from tests.core.model.records import records

FIRST_VERSION = Path(__file__).parents[2] / "data" / "project_v1.delivery"


@given(record=records)
def test_open_save_open_gives_the_same_project(record, tmp_path_factory):
    path = tmp_path_factory.mktemp("saved") / "a.delivery"
    save_project(record, path)
    first = load_project(path)
    data = path.read_bytes()
    save_project(first, path)
    assert first == load_project(path) == record
    assert path.read_bytes() == data


def test_a_file_of_the_first_version_opens():
    record = load_project(FIRST_VERSION)
    avery, blake = record.deliveries
    camera = avery.camera("main")
    assert (record.title, record.unit_system) == ("May session", "imperial")
    assert (avery.athlete.height_m, blake.athlete.hand) == (1.85, "left")
    assert camera.timing.stored_rate == "30000/1001"
    assert camera.timing.true_rate_hz == 240.0
    assert camera.scale.rubber == (455.0, 902.25)
    assert camera.track("right_wrist").at(49) == Position(803.0, 409.25, 2.5)
    assert camera.track("left_knee").at(230) == Position(990.4, 690.6, 3.0, "imported")
    assert camera.is_occluded("left_hand", 49)
    assert avery.camera("rear phone").timing.times_s[3] == 0.0501
    assert record.pair == ("Avery 1", "Blake 1")


def test_a_position_stands_on_one_line():
    lines = FIRST_VERSION.read_text(encoding="utf-8").splitlines()
    assert "[49, 803.0, 409.25, 2.5]," in [line.strip() for line in lines]


# ------------------------------------------------------------------------------ damaged files


@pytest.fixture(scope="module")
def good():
    return FIRST_VERSION.read_bytes()


def _outcome(read):
    """Return what reading gives, or the one kind of error it may end in."""
    try:
        return read()
    except ProjectFileError as error:
        return error


@given(data=st.binary(max_size=200))
@settings(max_examples=200)
def test_any_bytes_are_refused_politely(data):
    with pytest.raises(ProjectFileError):
        record_from_bytes(data, "a.delivery")


@given(data=st.data())
@settings(max_examples=300)
def test_a_damaged_file_opens_or_is_refused_and_never_more(data, good):
    damaged = bytearray(good)
    for _ in range(data.draw(st.integers(1, 3))):
        start = data.draw(st.integers(0, len(damaged) - 1))
        n_bytes = data.draw(st.integers(0, 40))
        damaged[start : start + n_bytes] = data.draw(st.binary(max_size=10))
    outcome = _outcome(lambda: record_from_bytes(bytes(damaged), "a.delivery"))
    if isinstance(outcome, ProjectFileError):
        assert outcome.where.startswith("a.delivery")
        assert outcome.remedy
    else:
        assert isinstance(outcome, ProjectRecord)


_LEAVES = st.sampled_from([None, True, -1, 0, 1.5, 1e308, 2**80, "", "x", [], {}, [[]], {"a": 1}])


def _places(value, path=()):
    yield path
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inner in items if isinstance(value, dict | list) else ():
        if isinstance(inner, dict | list):
            yield from _places(inner, (*path, key))
        else:
            yield (*path, key)


@given(data=st.data())
@settings(max_examples=300)
def test_a_wrong_value_anywhere_is_refused_or_harmless(data, good):
    document = document_from_bytes(good, "a")
    path = data.draw(st.sampled_from([place for place in _places(document) if place]))
    owner = document
    for key in path[:-1]:
        owner = owner[key]
    owner[path[-1]] = data.draw(_LEAVES)
    outcome = _outcome(lambda: record_from_document(document, "a.delivery"))
    if isinstance(outcome, NewerVersionError):
        assert path == ("version",)
    elif isinstance(outcome, ProjectFileError):
        assert outcome.where.startswith("a.delivery, $.")
    else:
        assert record_from_bytes(record_to_bytes(outcome, "a"), "a") == outcome


@pytest.mark.parametrize(
    ("old", "new", "place", "said"),
    [
        (b'"height_m": 1.85', b'"height_m": 185', "$.project.deliveries[0].athlete", "metres"),
        (b'"height_m": 1.85', b'"height_m": "tall"', "athlete.height_m", "Expected `float"),
        (b'"mass_kg"', b'"weight"', "$.project.deliveries[0].athlete", "unknown field `weight`"),
        (b"[48, 800.125, 410.5]", b"[48, 800.125]", "cameras[0].tracks.right_wrist", "row 0"),
        (b"[49, 803.0, 409.25, 2.5]", b"[48, 1, 2]", "tracks.right_wrist", "stands twice"),
        (b'"right_wrist"', b'"right_wing"', "tracks.right_wing", "no such landmark"),
        (b"[230, 990.4", b"[480, 990.4", "tracks.left_knee", "no frame 480"),
        (b'"left_hand": [48, 49]', b'"left_hand": [48, 999]', "occluded.left_hand", "no frame 999"),
        (b'"leg_lift"', b'"leg_drop"', "marks.leg_drop", "no such event"),
        (b'"view": "rear"', b'"view": "roof"', "cameras[1].view", "no view 'roof'"),
        (b'"length_m": 1.5', b'"length_m": 0.0', "cameras[0].scale", "length"),
        (b"30000/1001", b"30000/0", "cameras[0].timing", "stored rate"),
        (b'"Blake 1",\n        "athlete"', b'"Avery 1",\n        "athlete"', "[1].name", "twice"),
        (b'"pair"', b'"couple"', "$.project", "unknown field `couple`"),
        (b'"width_px": 1920', b'"width_px": 0', "cameras[0].width_px", "no size"),
        (b'"u_s": 0.02', b'"u_s": -0.02', "marks.foot_contact.u_s", "negative"),
    ],
)
def test_the_message_says_where_in_the_file(good, old, new, place, said, tmp_path):
    assert good.count(old) >= 1
    path = tmp_path / "a.delivery"
    path.write_bytes(damaged := good.replace(old, new, 1))
    with pytest.raises(ProjectFileError) as caught:
        load_project(path)
    assert place in caught.value.where
    assert said in caught.value.what
    assert str(path) in caught.value.where
    assert "left as it is" not in caught.value.what
    assert path.read_bytes() == damaged


def test_a_newer_file_is_refused_and_left_untouched(good, tmp_path):
    path = tmp_path / "a.delivery"
    path.write_bytes(newer := good.replace(b'"version": 1', b'"version": 2'))
    with pytest.raises(NewerVersionError, match="version 2"):
        load_project(path)
    assert path.read_bytes() == newer


def test_a_byte_order_mark_of_an_editor_does_no_harm(good):
    assert record_from_bytes(b"\xef\xbb\xbf" + good, "a") == load_project(FIRST_VERSION)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "empty"),
        (b"  \n", "empty"),
        (b"\x00\x00\x00\x20ftypisom" * 1000, "not a deliverylab project"),
        (b"[]", "not a deliverylab project"),
        (b'{"a": ' * 5000, "damaged"),
        (b'{"format": "deliverylab-project", "version": 1, "project": {"ti', "damaged"),
        (b'{"format": "deliverylab-project", "version": 1}', "missing required field `project`"),
        (b'{"format": "deliverylab-project", "version": 1, "project": 5}', "got `int`"),
    ],
)
def test_what_is_no_project_is_refused(data, said, tmp_path):
    path = tmp_path / "a.delivery"
    path.write_bytes(data)
    with pytest.raises(ProjectFileError, match=said):
        load_project(path)


def test_a_missing_file_and_a_folder_are_told_apart(tmp_path):
    with pytest.raises(NotFoundError, match="no such project file"):
        load_project(tmp_path / "none.delivery")
    with pytest.raises(ProjectFileError, match="cannot be read"):
        load_project(tmp_path)


# --------------------------------------------------------------------------------- safe writing


@pytest.mark.parametrize("step", ["os.fsync", "pathlib.Path.replace"])
def test_a_full_disk_leaves_the_old_file(step, tmp_path, monkeypatch):
    path = tmp_path / "a.delivery"
    save_project(ProjectRecord(title="old"), path)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(step, full)
    with pytest.raises(OutputError, match="No space left"):
        save_project(ProjectRecord(title="new"), path)
    monkeypatch.undo()
    assert load_project(path).title == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_missing_folder_is_said(tmp_path):
    with pytest.raises(OutputError, match="choose another folder"):
        save_project(ProjectRecord(), tmp_path / "none" / "a.delivery")


def test_the_file_and_then_its_folder_are_flushed(tmp_path, monkeypatch):
    kinds = []
    flush = os.fsync

    def noted(handle):
        kinds.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        flush(handle)

    monkeypatch.setattr(os, "fsync", noted)
    save_project(ProjectRecord(), tmp_path / "a.delivery")
    assert kinds == (["file", "folder"] if os.name == "posix" else ["file"])


@pytest.mark.skipif(os.name != "posix", reason="permissions and links of POSIX")
def test_permissions_and_links_are_kept(tmp_path):
    path, link = tmp_path / "a.delivery", tmp_path / "link.delivery"
    save_project(ProjectRecord(), path)
    path.chmod(0o640)
    link.symlink_to(path)
    save_project(ProjectRecord(title="new"), link)
    assert link.is_symlink()
    assert load_project(link).title == load_project(path).title == "new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


_SAVE_FOR_EVER = """
import sys
from deliverylab.core.store.projectfile import load_project, save_project
record = load_project(sys.argv[1])
print("ready", flush=True)
while True:
    save_project(record, sys.argv[2])
"""


@pytest.mark.skipif(os.name != "posix", reason="SIGKILL")
def test_a_process_killed_while_saving_leaves_a_whole_file(tmp_path):
    path = tmp_path / "a.delivery"
    save_project(ProjectRecord(title="old"), path)
    for _ in range(3):
        process = subprocess.Popen(
            [sys.executable, "-c", _SAVE_FOR_EVER, str(FIRST_VERSION), str(path)],
            stdout=subprocess.PIPE,
            cwd=Path(__file__).parents[3],
        )
        with process:
            process.stdout.readline()
            time.sleep(0.05)
            process.send_signal(signal.SIGKILL)
        assert load_project(path).title in {"old", "May session"}


def test_what_json_cannot_hold_is_not_written(tmp_path):
    path = tmp_path / "a.delivery"
    clip = ClipReference(path="a.mp4", size_bytes=1, head_sha256="", tail_sha256="")
    assert clip.size_bytes == 1
    for record in (
        ProjectRecord(title="\udcff"),
        ProjectRecord(
            deliveries=(
                Delivery(
                    name="a",
                    athlete=Athlete(name="b", u_height_m=float("nan")),
                    cameras=(),
                ),
            )
        ),
    ):
        with pytest.raises(OutputError, match="undo the last step"):
            save_project(record, path)
    assert not path.exists()


def test_a_file_saved_by_somebody_else_is_kept(tmp_path):
    path = tmp_path / "a.delivery"
    save_project(ProjectRecord(title="old"), path)
    record, state = open_project_file(path)
    assert record.title == "old"
    state = save_project(ProjectRecord(title="ours"), path, expected_state=state)
    state = save_project(ProjectRecord(title="ours again"), path, expected_state=state)
    save_project(ProjectRecord(title="theirs"), path)
    with pytest.raises(ChangedOnDiskError):
        save_project(ProjectRecord(title="ours once more"), path, expected_state=state)
    assert load_project(path).title == "theirs"


@pytest.mark.skipif(os.name != "posix", reason="pipes of POSIX")
def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "a.delivery")
    with pytest.raises(ProjectFileError, match="not a file"):
        load_project(tmp_path / "a.delivery")
