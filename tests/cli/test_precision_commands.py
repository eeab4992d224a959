from __future__ import annotations

import csv
import json

import cv2
import numpy as np
import pytest

import deliverylab
from deliverylab.core.metrics.inputs import metres_per_px
from deliverylab.core.store import personal


@pytest.fixture(autouse=True)
def data_folder(monkeypatch, tmp_path):
    folder = tmp_path / "data"
    monkeypatch.setattr(personal.platformdirs, "user_data_path", lambda *_, **__: folder)
    return folder


@pytest.fixture
def camera(project):
    return deliverylab.open_project(project).delivery("Ana 1").cameras[0]


TARGET = ("--delivery", "Ana 1")


def _fill(plan, camera, *, scatter_px, shift_px=(0.0, 0.0), seed=0):
    """Fill a plan in as a person with this scatter and shift would; the last point is not seen."""
    random = np.random.default_rng(seed)
    with plan.open(newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows[:-1]:
        at = camera.track(row["landmark"]).at(int(row["frame"]))
        off = random.normal(shift_px, scatter_px)
        row["x_px"], row["y_px"] = f"{at.x_px + off[0]:.2f}", f"{at.y_px + off[1]:.2f}"
    with plan.open("w", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)


def _placed(run, project, camera, folder, placer, *plan, first_by=None, **person):
    table = folder / f"{placer}.csv"
    assert run("repeat", project, *TARGET, "--plan", table, *plan)[0] == 0
    _fill(table, camera, **person)
    first = () if first_by is None else ("--first-by", first_by)
    return run("repeat", project, *TARGET, "--placed", table, "--placer", placer, *first)


def test_a_plan_hides_places_and_order(run, project):
    status, out, _ = run("repeat", project, *TARGET, "--plan", "-", "--landmarks", "neck,lead_hip")
    lines = out.splitlines()
    assert (status, lines[0]) == (0, "frame,landmark,x_px,y_px")
    assert all(line.endswith(",,") for line in lines[1:])
    assert {line.split(",")[1] for line in lines[1:]} == {"neck", "left_hip"}
    assert len(lines) == 13
    again = run("repeat", project, *TARGET, "--plan", "-", "--landmarks", "neck,lead_hip")[1]
    other = run(
        *("repeat", project, *TARGET, "--plan", "-", "--landmarks", "neck,lead_hip", "--seed", "2")
    )[1]
    assert again == out != other


def test_what_is_placed_again_becomes_the_default_u(run, project, camera, tmp_path, data_folder):
    status, out, err = _placed(
        run, project, camera, tmp_path, "Kim", "--landmarks", "throwing_hip,lead_hip,neck",
        scatter_px=4.0,
    )  # fmt: skip
    assert (status, err) == (0, "")
    # 3 landmarks in 6 frames, the last not seen
    assert "17 points placed again by Kim, 17 of them beside a first placing by Kim" in out

    picture = tmp_path / "kim.png"
    status, out, err = run("precision", project, "--png", picture, "--use", "Kim")
    assert status == 0, err
    assert [line.split()[0] for line in out.splitlines()[2:5]] == ["neck", "hip", "all"]
    assert "default u from Kim: hip, neck; others as judged" in err
    assert cv2.imread(str(picture)).shape[2] == 3

    own = deliverylab.open_project(project).delivery("Ana 1").cameras[0].precision
    assert own.placer == "Kim"
    # the first placing is the truth here, so that d has one scatter, not two: TEM = 4 px / √2
    size = metres_per_px(deliverylab.open_project(project).delivery("Ana 1"), camera)
    assert own.u_m["hip"] / size == pytest.approx(4.0 / np.sqrt(2.0), rel=0.4)
    assert json.loads((data_folder / "placing.json").read_text())["people"]["Kim"]["u_m"] == own.u_m

    assert run("precision", project, "--use-judged")[0] == 0
    assert deliverylab.open_project(project).delivery("Ana 1").cameras[0].precision is None


def test_a_new_project_takes_remembered_figures_up(run, made, project, camera, tmp_path):
    _placed(run, project, camera, tmp_path, "Kim", scatter_px=4.0)
    assert run("precision", project, "--use", "Kim")[0] == 0
    fresh = tmp_path / "fresh.delivery"
    fresh.write_bytes(made.read_bytes())
    status, out, err = run("precision", fresh, "--use", "Kim", "--delivery", "Model")
    assert status == 0, err
    assert "nobody has placed" in out
    project = deliverylab.open_project(fresh)
    assert project.delivery("Model").cameras[0].precision.placer == "Kim"
    assert project.delivery("Ana 1").cameras[0].precision is None
    status, _, err = run("precision", fresh, "--use", "Lee")
    assert status == 6
    assert "remembered from earlier projects: Kim" in err


def test_two_people_are_compared(run, project, camera, tmp_path):
    plan = ("--landmarks", "throwing_elbow,glove_elbow", "--times", "2")
    _placed(run, project, camera, tmp_path, "Sam", *plan, scatter_px=1.0, seed=1)
    _, out, _ = _placed(
        run, project, camera, tmp_path, "Kim", *plan, scatter_px=1.0, seed=2, shift_px=(0.0, -5.0)
    )
    assert "beside a first placing by Sam" in out
    status, out, _ = run("precision", project, "--json", "-")
    rows = json.loads(out)
    assert status == 0
    shift = next(
        row for row in rows if row["kind"] == "two people" and row["axis"] == "up"
        and row["part"] == "elbow"
    )  # fmt: skip
    frame = deliverylab.precision(deliverylab.open_project(project))
    assert len(frame) == len(rows)
    assert frame["bias_m"].dropna().tolist() == [row["bias_m"] for row in rows if "bias_m" in row]
    assert frame.attrs["units"]["bias_m"] == "m"
    size = metres_per_px(deliverylab.open_project(project).delivery("Ana 1"), camera)
    assert (shift["a"], shift["b"]) == ("Sam", "Kim")
    # up is against the picture's y; 12 points, each the mean of two or three placings of 1 px
    assert shift["bias_m"] / size == pytest.approx(5.0, abs=0.9)
    assert shift["limit_low_m"] < shift["bias_m"] < shift["limit_high_m"]
    assert "Kim minus Sam" in run("precision", project)[1]
    picture = tmp_path / "two.png"
    _, _, err = run("precision", project, "--png", picture)
    assert err.count("written:") == 3
    assert (tmp_path / "two-3.png").is_file()


def test_a_run_is_taken_out_again(run, project, camera, tmp_path):
    _placed(run, project, camera, tmp_path, "Kim", scatter_px=4.0)
    (kept,) = deliverylab.open_project(project).delivery("Ana 1").placing_runs
    assert run("repeat", project, *TARGET, "--remove", kept.name)[0] == 0
    assert deliverylab.open_project(project).delivery("Ana 1").placing_runs == ()
    assert run("repeat", project, *TARGET, "--remove", kept.name)[0] == 6


def test_what_cannot_be_is_refused_and_nothing_is_written(run, project, camera, tmp_path):
    before = project.read_bytes()
    table = tmp_path / "again.csv"
    table.write_text("frame,landmark,x_px,y_px\n40,neck,1,\n")
    taken = ("repeat", project, *TARGET, "--placed", table)
    assert run(*taken)[0] == 2
    status, _, err = run(*taken, "--placer", "Kim")
    assert (status, "line 2" in err) == (7, True)
    assert run("repeat", project, *TARGET, "--plan", project)[0] == 2
    assert run("repeat", project, *TARGET, "--plan", "-", "--landmarks", "wing")[0] == 6
    assert run("repeat", project, *TARGET, "--plan", "-", "--times", "0")[0] == 2
    assert run("precision", project, "--png", tmp_path / "none.png")[0] == 2
    assert project.read_bytes() == before
    table.write_text("frame,landmark,x_px,y_px\n40,neck,1,2\n")
    assert run(*taken, "--placer", "Kim")[0] == 0
    status, _, err = run("precision", project, "--use", "Kim")
    assert (status, "too little was placed again" in err) == (2, True)
