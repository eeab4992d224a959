"""``get-detector`` and ``detect`` as a person types them; no network, no real detector."""

from __future__ import annotations

import hashlib
import json
import zipfile

import numpy as np
import pytest

from deliverylab.core.model.clip_changes import SetPositions
from deliverylab.core.model.project import Project
from deliverylab.core.model.track import Position
from deliverylab.core.store import detected_answers, detector_files
from deliverylab.core.store.projectfile import load_project, save_project
from deliverylab.core.tracking.pose_landmarks import KEYS
from deliverylab.core.video.writer import write_clip
from deliverylab.core.workflow import detecting
from tests.core.tracking.posed import RedBoxNetwork, drawn
from tests.core.workflow.walked import N_FRAMES, RATE_HZ, TORSO_PX, place

WEIGHTS = b"made-up weights"


@pytest.fixture(autouse=True)
def own_folders(tmp_path, monkeypatch):
    """Keep the user's own data and cache folders out of it."""
    monkeypatch.setattr(
        detector_files.platformdirs, "user_data_path", lambda *_, **__: tmp_path / "data"
    )
    monkeypatch.setattr(
        detected_answers.platformdirs, "user_cache_path", lambda *_, **__: tmp_path / "cache"
    )


@pytest.fixture
def walking(tmp_path, run, monkeypatch):
    """Make a project with a clip of a drawn person; the detector sees red boxes."""
    pictures = [drawn((*place(frame), TORSO_PX)) for frame in range(N_FRAMES)]
    write_clip(tmp_path / "walk.mp4", pictures, rate=RATE_HZ)
    project = tmp_path / "a.delivery"
    status, _, errors = run(
        *("new", project, "--delivery", "walk", "--clip", tmp_path / "walk.mp4"),
        *("--athlete", "Ana", "--hand", "right", "--height", "1.8", "--view", "open-side"),
    )
    assert status == 0, errors
    monkeypatch.setattr(detecting, "installed_network", RedBoxNetwork)
    return project


def test_the_detector_is_taken_from_a_wheel_and_removed_again(tmp_path, run, monkeypatch):
    monkeypatch.setattr(detector_files, "SHA256", hashlib.sha256(WEIGHTS).hexdigest())
    wheel = tmp_path / "brought.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        archive.writestr("mediapipe/modules/pose_landmark/pose_landmark_full.tflite", WEIGHTS)
    status, said, _ = run("get-detector", "--from", wheel)
    assert status == 0
    assert "brought.whl" in said
    assert str(tmp_path / "data") in said
    assert (tmp_path / "data" / "detector" / "pose_landmark_full.tflite").read_bytes() == WEIGHTS
    assert run("get-detector", "--remove")[1].strip() == "the landmark detector is removed"
    assert run("get-detector", "--remove")[1].strip() == "there is no landmark detector"


def test_another_file_is_refused(tmp_path, run):
    (tmp_path / "w.tflite").write_bytes(WEIGHTS)
    status, _, errors = run("get-detector", "--from", tmp_path / "w.tflite")
    assert status == 7
    assert "not the landmark detector" in errors


def test_without_the_detector_the_command_says_how_to_get_it(project, run):
    before = project.read_bytes()
    status, _, errors = run("detect", project, "--delivery", "Ana 1")
    assert status == 6
    assert "deliverylab get-detector" in errors
    assert project.read_bytes() == before


def test_landmarks_are_taken_over_and_told(walking, run):
    status, said, errors = run("detect", walking, "--delivery", "walk")
    assert status == 0, errors
    assert f"walk, main: {N_FRAMES} frames, 0 to {N_FRAMES - 1}; 100% of the points" in said
    # right-handed: the left knee is the lead one
    assert "lead knee" in said
    camera = load_project(walking).deliveries[0].cameras[0]
    assert len(camera.track("left_knee")) == N_FRAMES


def test_what_waits_is_given_as_json_and_the_first_ones_as_text(walking, run, monkeypatch):
    class Unclear(RedBoxNetwork):
        def run(self, cut):
            answer = super().run(cut)
            answer.peaks[[27, 28]] = 0.1
            return answer

    monkeypatch.setattr(detecting, "installed_network", Unclear)
    status, said, errors = run("detect", walking, "--delivery", "walk", "--json", "-")
    assert status == 0
    answer = json.loads(said)
    waiting = answer["waiting"]
    assert answer["n_taken"] == (len(KEYS) - 2) * N_FRAMES
    assert {one["landmark"] for one in waiting} == {"left_ankle", "right_ankle"}
    assert "no clear point" in waiting[0]["reason"]
    _, said, errors = run("detect", walking, "--delivery", "walk")
    assert "mark the events" in errors
    run("mark", walking, "--delivery", "walk", "foot_contact=0.1667")
    _, said, _ = run("detect", walking, "--delivery", "walk")
    assert "place these first:" in said
    assert "lead ankle, frame 10:" in said


def test_where_left_and_right_are_not_certain_is_asked(walking, run, monkeypatch, tmp_path):
    class SeesLegsTheOtherWayRound(RedBoxNetwork):
        """Where the box is bluish."""

        def run(self, cut):
            answer = super().run(cut)
            if ((cut[..., 0] > 128) & (cut[..., 2] > 80)).mean() > 0.02:
                legs = np.array([25, 27, 29, 31])
                rows = answer.points[legs].copy()
                answer.points[legs], answer.points[legs + 1] = answer.points[legs + 1], rows
            return answer

    pictures = [drawn((*place(frame), TORSO_PX)) for frame in range(N_FRAMES)]
    for picture in pictures[12:]:
        picture[..., 2][picture[..., 0] > 128] = 140
    write_clip(tmp_path / "other.mp4", pictures, rate=RATE_HZ)
    project = tmp_path / "b.delivery"
    run(
        *("new", project, "--delivery", "walk", "--clip", tmp_path / "other.mp4"),
        *("--athlete", "Ana", "--hand", "right", "--height", "1.8", "--view", "open-side"),
    )
    monkeypatch.setattr(detecting, "installed_network", SeesLegsTheOtherWayRound)
    status, said, errors = run("detect", project, "--delivery", "walk")
    assert status == 0, errors
    assert "left and right are not certain, look at these:" in said
    assert "legs, frames 12 to 19" in said
    _, said, _ = run("detect", project, "--delivery", "walk", "--json", "-")
    asked = json.loads(said)["side_questions"]
    assert asked == [{"limb": "leg", "first_frame": 12, "last_frame": 19}]


def test_what_was_placed_by_hand_is_not_counted_as_taken(walking, run):
    project = Project(load_project(walking))
    place_neck = {"neck": {3: Position(1.0, 2.0)}}
    project.apply(SetPositions(delivery="walk", camera="main", positions=place_neck))
    save_project(project.record, walking)
    _, said, _ = run("detect", walking, "--delivery", "walk", "--json", "-")
    assert json.loads(said)["n_taken"] == len(KEYS) * N_FRAMES - 1


def test_a_run_broken_off_by_the_keyboard_says_that_it_goes_on(walking, run, monkeypatch):
    class Impatient(RedBoxNetwork):
        def run(self, cut):
            if self.n_runs > 60:
                raise KeyboardInterrupt
            return super().run(cut)

    before = walking.read_bytes()
    monkeypatch.setattr(detecting, "installed_network", Impatient)
    status, _, errors = run("detect", walking, "--delivery", "walk")
    assert status == 130
    assert "goes on there" in errors
    assert walking.read_bytes() == before
    again = RedBoxNetwork()
    monkeypatch.setattr(detecting, "installed_network", lambda: again)
    assert run("detect", walking, "--delivery", "walk")[0] == 0
    assert again.n_runs < 2 * N_FRAMES


def test_wrong_boxes_and_frames_are_refused(walking, run):
    target = ("detect", walking, "--delivery", "walk")
    assert run(*target, "--box", "1,2,3")[0] == 2
    assert run(*target, "--box", "1,2,3,4")[0] == 7
    assert run(*target, "--frames", "5-900")[0] == 7
    assert run(*target, "--step", "0")[0] == 2


def test_the_python_api_takes_over_in_one_step(walking):
    from deliverylab import detect_landmarks, open_project

    project = open_project(walking)
    found = detect_landmarks(project, walking, "walk", frames=(0, 9), step=3)
    assert found.frames.tolist() == [0, 3, 6, 9]
    assert len(project.camera("walk").track("neck")) == 4
