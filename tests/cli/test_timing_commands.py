from __future__ import annotations

import json

import numpy as np
import pytest

from deliverylab.core.store.projectfile import load_project
from tests.core.video.doctored import doctored_clip


def _camera(path):
    return load_project(path).deliveries[0].cameras[0]


@pytest.fixture
def made(run, tmp_path):
    def make(kind):
        doctored_clip(tmp_path / "a.mp4", kind, np.random.default_rng(2))
        project = tmp_path / "p.delivery"
        status, _, err = run(
            "new", project, "--delivery", "A", "--clip", tmp_path / "a.mp4", "--height", "1.8"
        )
        assert status == 0
        return project, err

    return make


def test_a_pulled_down_clip_is_repaired_told_and_given_back(run, made):
    project, err = made("pulled-down")
    assert "time axis is repaired" in err
    assert _camera(project).timing.repair is not None
    status, out, _ = run("timing", project, "--delivery", "A")
    assert status == 0
    assert "repaired: 1 of" in out
    assert "offer: measure by the times as they are stored" in out
    status, out, _ = run("check", project, "--json", "-")
    assert any("time axis is repaired" in each["what"] for each in json.loads(out))
    assert run("timing", project, "--delivery", "A", "--as-stored")[0] == 0
    assert _camera(project).timing.repair is None
    assert run("timing", project, "--delivery", "A", "--look")[0] == 0
    assert _camera(project).timing.repair is not None


def test_made_up_pictures_withhold_speeds_until_trusted(run, made):
    project, err = made("blended")
    assert "made up between" in err
    assert [doubt.kind for doubt in _camera(project).timing.doubts] == ["interpolated"]
    status, out, _ = run("check", project)
    assert status == 1
    assert "speeds are withheld" in out.replace("\n", " ")
    assert run("timing", project, "--delivery", "A", "--trust")[0] == 0
    assert _camera(project).timing.doubts == ()


def test_rates_offered_set_and_taken_back(run, tmp_path):
    project = tmp_path / "p.delivery"
    size = ["--size", "640x480", "--frames", "400", "--rate", "30"]
    run("new", project, "--delivery", "A", *size)
    run("mark", project, "--delivery", "A", "foot_contact=5", "release=6.16")
    assert "set the capture rate to 240" in run("timing", project, "--delivery", "A")[1]
    assert run("timing", project, "--delivery", "A", "--capture-rate", "240")[0] == 0
    assert _camera(project).timing.capture_rate_hz == 240.0
    assert "offer" not in run("timing", project, "--delivery", "A")[1]
    assert run("timing", project, "--delivery", "A", "--stored-rate")[0] == 0
    assert _camera(project).timing.capture_rate_hz is None


def test_rolling_shutter_is_set_and_turned_off(run, tmp_path):
    project = tmp_path / "p.delivery"
    run("new", project, "--delivery", "A", "--size", "640x480", "--frames", "9", "--rate", "60")
    where = ("timing", project, "--delivery", "A")
    assert "12 ms a picture" in run(*where, "--read-out", "12", "--u-read-out", "3")[1]
    assert _camera(project).row_time_s == pytest.approx(0.012 / 480)
    assert _camera(project).u_row_time_s == pytest.approx(0.003 / 480)
    assert run(*where, "--read-out", "0")[0] == 0
    assert _camera(project).row_time_s == 0.0
    assert run(*where, "--read-out", "900")[0] != 0
    assert run(*where, "--u-read-out", "1")[0] == 2
    assert run(*where, "--look")[0] == 2
