"""``ball`` and ``fall`` from the command line."""

from __future__ import annotations

import json

import numpy as np
import pytest

import deliverylab
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.projectfile import save_project
from tests.core.metrics.flown import even, flown, thrown_m


@pytest.fixture
def tossed(tmp_path):
    """Save a project with a ball tossed up at 3 m/s, filmed at 60 a second."""
    times_s = np.arange(40) / 60.0
    places = np.zeros((40, 3))
    places[:, 0], places[:, 2] = 1.2 + 0.5 * times_s, 1.0 + 3.0 * times_s - 4.903325 * times_s**2
    delivery = flown(places, even(40, 60), np.arange(40))
    path = tmp_path / "toss.delivery"
    save_project(ProjectRecord(deliveries=(delivery,)), path)
    return path


def test_a_toss_says_what_g_is(run, tossed):
    status, out, err = run("fall", tossed, "--delivery", "Ana 1")
    assert (status, err) == (0, "")
    assert "g comes out as 9.8" in out
    assert "placing the ball" in out


def test_a_toss_as_json_and_by_frames(run, tossed):
    status, out, _ = run("fall", tossed, "--delivery", "Ana 1", "--frames", "3-35", "--json", "-")
    answer = json.loads(out)
    assert status == 0
    assert answer["n"] == 33
    # no air was drawn, and air is taken off: half a per cent
    assert answer["g_m_s2"] == pytest.approx(9.80665, abs=0.06)
    assert answer["is_agreeing"] is True


def test_a_toss_from_a_table(run, tossed, tmp_path):
    table = tmp_path / "ball.csv"
    # 100 px at each frame, no fall at all
    rows = [f"{frame},ball,{300 + 5 * frame},200" for frame in range(20)]
    table.write_text("\n".join(("frame,landmark,x_px,y_px", *rows)), encoding="utf-8")
    status, out, err = run("fall", tossed, "--delivery", "Ana 1", "--positions", table)
    assert status == 1
    assert "does not fall" in out
    assert "upside down" in err


def test_a_table_without_a_ball_is_refused(run, tossed, tmp_path):
    table = tmp_path / "knee.csv"
    table.write_text("frame,landmark,x_px,y_px\n1,left_knee,3,4\n", encoding="utf-8")
    status, _, err = run("fall", tossed, "--delivery", "Ana 1", "--positions", table)
    assert status == 2
    assert "holds no ball" in err


@pytest.mark.parametrize("frames", ["9-3", "x", "0-999"])
def test_frames_that_cannot_be_are_refused(run, tossed, frames):
    status, _, err = run("fall", tossed, "--delivery", "Ana 1", "--frames", frames)
    assert status == 2
    assert "frame" in err


def test_without_a_clip_the_ball_cannot_be_looked_for(run, tossed):
    status, _, err = run("ball", tossed, "--delivery", "Ana 1")
    assert status == 3
    assert "there is no clip" in err


def test_the_ball_is_found_placed_and_told(run, tossed, monkeypatch):
    from deliverylab.core.tracking.ball import BallFlight
    from deliverylab.core.workflow import ball as workflow

    frames = np.arange(26, 36)
    thrown = flown(thrown_m((frames - 24) / 240), even(60, 240), frames, radar_m_s=38.0)
    save_project(ProjectRecord(deliveries=(thrown,)), tossed.with_name("b.delivery"))
    xy_px = thrown.cameras[0].track("ball").xy_px

    def found(_delivery, camera: Camera, *_, **__):
        assert camera.name == "main"
        return BallFlight(rows=frames, xy_px=xy_px, u_px=np.full(10, 0.4), speed_px_s=9.0)

    monkeypatch.setattr(workflow, "look_for_ball", found)
    target = (tossed.with_name("b.delivery"), "--delivery", "Ana 1")
    status, out, err = run("ball", *target)
    assert (status, err) == (0, "")
    assert "the ball in 10 frames, 26 to 35" in out
    assert "mph" in out
    assert "agrees with the radar reading" in out
    status, out, _ = run("ball", *target, "--kind", "softball-12", "--json", "-")
    answer = json.loads(out)
    assert answer["ball"] == "softball-12"
    assert answer["frames"] == frames.tolist()
    assert deliverylab.open_project(target[0]).delivery("Ana 1").ball == "softball-12"


def test_a_search_in_vain_places_nothing(run, tossed, monkeypatch):
    from deliverylab.core.tracking.ball import BallFlight
    from deliverylab.core.workflow import ball as workflow

    none = BallFlight(
        rows=np.zeros(0, dtype=np.int64), xy_px=np.zeros((0, 2)), u_px=np.zeros(0),
        speed_px_s=np.nan, reason="nothing in these frames flies like a ball",
    )  # fmt: skip
    monkeypatch.setattr(workflow, "look_for_ball", lambda *_, **__: none)
    before = deliverylab.open_project(tossed).delivery("Ana 1").cameras[0].track("ball")
    status, out, err = run("ball", tossed, "--delivery", "Ana 1")
    assert status == 1
    assert "nothing in these frames flies like a ball" in out
    assert "by hand" in err
    assert deliverylab.open_project(tossed).delivery("Ana 1").cameras[0].track("ball") == before


def test_a_falling_ball_is_looked_for_and_nothing_is_stored(run, tossed, monkeypatch):
    from deliverylab.core.tracking.ball import BallFlight
    from deliverylab.core.workflow import ball as workflow

    truth = deliverylab.open_project(tossed).delivery("Ana 1").cameras[0].track("ball")
    asked = []

    def found(_delivery, _camera, _path, frames):
        asked.append(frames)
        rows = np.arange(5, 30)
        return BallFlight(rows=rows, xy_px=truth.xy_px[rows], u_px=np.full(25, 0.4), speed_px_s=9.0)

    monkeypatch.setattr(workflow, "look_for_fall", found)
    status, out, _ = run("fall", tossed, "--delivery", "Ana 1", "--frames", "3-35", "--find")
    assert status == 0
    assert asked == [(3, 35)]
    assert "from 25 positions" in out
    assert deliverylab.open_project(tossed).delivery("Ana 1").cameras[0].track("ball") == truth
    none = BallFlight(
        rows=np.zeros(0, dtype=np.int64), xy_px=np.zeros((0, 2)), u_px=np.zeros(0),
        speed_px_s=np.nan, reason="nothing in these frames falls like a ball",
    )  # fmt: skip
    monkeypatch.setattr(workflow, "look_for_fall", lambda *_: none)
    status, _, err = run("fall", tossed, "--delivery", "Ana 1", "--find")
    assert status == 2
    assert "falls like a ball" in err
