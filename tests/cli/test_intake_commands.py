from __future__ import annotations

import shutil
from fractions import Fraction

import numpy as np
import pytest

import deliverylab
from deliverylab.cli import intake_commands
from deliverylab.core.video.writer import write_clip

TYPED = ("--size", "1920x1080", "--frames", "480", "--rate", "240")


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    rng = np.random.default_rng(1)
    picture = rng.integers(0, 255, (48, 120, 3), dtype=np.uint8)
    frames = [np.roll(picture, 3 * number, axis=1)[:, :64] for number in range(12)]
    path = tmp_path_factory.mktemp("clip") / "side.mp4"
    return write_clip(path, frames, Fraction(30000, 1001))


def _record(path):
    return deliverylab.open_project(path).record


def test_a_project_without_a_clip_is_made(run, tmp_path):
    path = tmp_path / "a.delivery"
    status, out, err = run(
        *("new", path, "--delivery", "Ana 1", *TYPED, "--athlete", "Ana", "--hand", "left"),
        *("--height", "5'9\"", "--mass", "70", "--view", "rear", "--camera", "phone"),
        *("--capture-rate", "480", "--ball-speed", "80mph", "--date", "2026-05-01"),
        *(
            "--sex",
            "female",
            "--segment-masses",
            "dempster",
            "--title",
            "May",
            "--units",
            "imperial",
        ),
    )
    assert (status, err) == (0, "")
    assert "1920x1080, 480 frames, 240 frames a second, captured at 480" in out
    record = _record(path)
    (delivery,) = record.deliveries
    (camera,) = delivery.cameras
    assert (record.title, record.unit_system) == ("May", "imperial")
    assert (delivery.athlete.hand, delivery.athlete.sex) == ("left", "female")
    assert delivery.athlete.mass_table == "dempster"
    assert delivery.athlete.height_m == pytest.approx(1.7526)  # 69 inches
    assert delivery.ball_speed_m_s == pytest.approx(35.7632)  # 80 mph
    assert (camera.name, camera.view, camera.clip) == ("phone", "rear", None)
    assert camera.timing.true_rate_hz == 480.0


def test_a_project_with_a_clip_refers_to_it_beside_the_project(run, clip, tmp_path):
    shutil.copy(clip, tmp_path / "side.mp4")
    path = tmp_path / "a.delivery"
    status, out, err = run("new", path, "--delivery", "Ana 1", "--clip", tmp_path / "side.mp4")
    assert status == 0
    assert "64x48, 12 frames, 29.97 frames a second" in out
    assert "say --hand left" in err
    assert "--height" in err
    (camera,) = _record(path).deliveries[0].cameras
    assert camera.clip.path == "side.mp4"
    assert camera.timing.stored_rate == "30000/1001"


def test_an_existing_file_is_not_written_over(run, project):
    before = project.read_bytes()
    status, _, err = run("new", project, "--delivery", "X", *TYPED)
    assert status == 8
    assert "--overwrite" in err
    assert project.read_bytes() == before
    status, _, _ = run("new", project, "--delivery", "X", *TYPED, "--overwrite")
    assert status == 0
    assert [d.name for d in _record(project).deliveries] == ["X"]


def test_a_further_delivery_knows_the_athlete(run, tmp_path):
    path = tmp_path / "a.delivery"
    facts = ("--athlete", "Ana", "--hand", "left", "--height", "1.8")
    assert run("new", path, "--delivery", "Ana 1", *TYPED, *facts)[0] == 0
    assert run("add", path, "--delivery", "Ana 2", *TYPED, "--athlete", "Ana")[0] == 0
    first, second = _record(path).deliveries
    assert first.athlete == second.athlete


def test_a_further_camera_joins_and_an_existing_one_is_refused(run, project):
    status, _, _ = run(
        "add", project, "--delivery", "Model", "--camera", "rear", "--view", "rear", *TYPED
    )
    assert status == 0
    model = deliverylab.open_project(project).delivery("Model")
    assert [camera.name for camera in model.cameras] == ["main", "rear"]
    assert model.athlete.hand == "left"
    before = project.read_bytes()
    status, _, err = run("add", project, "--delivery", "Model", *TYPED)
    assert status == 2
    assert "name the new camera with --camera" in err
    assert project.read_bytes() == before


@pytest.mark.parametrize(
    ("options", "status", "said"),
    [
        ((), 2, "give --clip FILE, or all three"),
        (("--size", "640x480", "--frames", "9"), 2, "give --clip FILE, or all three"),
        (("--clip", "a.mp4", "--rate", "60"), 2, "leave them out"),
        ((*TYPED, "--view", "roof"), 2, "invalid choice: 'roof'"),
        ((*TYPED, "--height", "180"), 7, "height cannot be 180"),
        ((*TYPED, "--height", "tall"), 2, "is not a length"),
        ((*TYPED, "--mass", "nan"), 2, "is not a number"),
        ((*TYPED, "--ball-speed", "fast"), 2, "is not a speed"),
        ((*TYPED, "--ball-speed", "95"), 7, "metres a second"),
        ((*TYPED, "--date", "1.5.26"), 2, "write it as 2026-05-31"),
        ((*TYPED, "--birth-year", "3000"), 2, "no year of birth"),
        ((*TYPED, "--capture-rate", "30000/0"), 2, "is not a rate"),
        ((*TYPED, "--ball-speed", "1,234"), 2, "is not a speed"),
        ((*TYPED, "--athlete", "A\x1b[31m"), 2, "holds more than text"),
        ((*TYPED, "--athlete", "\udcff"), 2, "holds more than text"),
        ((*TYPED, "--title", "x" * 500), 2, "is too long"),
        ((*TYPED, "--capture-rate", "0"), 7, "capture rate cannot be true"),
        (("--size", "640x480", "--frames", "0", "--rate", "60"), 2, "not a number of frames"),
        (("--size", "640x480", "--frames", "9", "--rate", "60fps"), 7, "stored rate"),
        ((*TYPED, "--camera", " "), 7, "a camera needs a name"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_written(run, options, status, said, tmp_path):
    path = tmp_path / "a.delivery"
    found, _, err = run("new", path, "--delivery", "Ana 1", *options)
    assert found == status
    assert said in err
    assert err.count("\n") == 1
    assert not path.exists()


def test_names_and_numbers_are_tidied(run, tmp_path):
    path = tmp_path / "a.delivery"
    status, _, _ = run(
        *("new", path, "--delivery", "  Ana\u3000\n1 ", *TYPED, "--ball-speed", "38,4"),
        *("--date", "20260501", "--capture-rate", "240000/1001", "--birth-year", "2011"),
    )
    assert status == 0
    (delivery,) = _record(path).deliveries
    assert (delivery.name, delivery.athlete.name) == ("Ana 1", "Ana 1")
    assert (delivery.ball_speed_m_s, delivery.date) == (38.4, "2026-05-01")
    assert delivery.cameras[0].timing.true_rate_hz == pytest.approx(239.76, abs=0.001)
    assert run("add", path, "--delivery", "Ana 1 ", *TYPED)[0] == 2


def test_only_a_project_is_written_over(run, tmp_path):
    clip = tmp_path / "ana.mp4"
    clip.write_bytes(b"a clip")
    status, _, err = run("new", clip, "--delivery", "Ana 1", *TYPED, "--overwrite")
    assert (status, clip.read_bytes()) == (8, b"a clip")
    assert "only a project" in err


@pytest.mark.parametrize("length", [250, 400])
def test_a_long_name_is_taken_or_refused_politely(run, tmp_path, length):
    path = tmp_path / ("x" * (length - 9) + ".delivery")
    status, _, err = run("new", path, "--delivery", "Ana 1", *TYPED)
    assert status == (0 if length < 255 else 8), err


def test_two_programs_may_add_at_once(run, tmp_path, monkeypatch):
    path = tmp_path / "a.delivery"
    assert run("new", path, "--delivery", "Ana 1", *TYPED)[0] == 0
    looked = intake_commands._camera

    def slowly(arguments):
        monkeypatch.undo()
        assert run("add", path, "--delivery", "Ana 2", *TYPED)[0] == 0
        return looked(arguments)

    monkeypatch.setattr(intake_commands, "_camera", slowly)
    assert run("add", path, "--delivery", "Ana 3", *TYPED)[0] == 0
    assert [delivery.name for delivery in _record(path).deliveries] == ["Ana 1", "Ana 2", "Ana 3"]
