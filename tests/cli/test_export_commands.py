from __future__ import annotations

import io

import msgspec
import numpy as np
import pandas as pd
import pytest

import deliverylab
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.space import SetUpFinding
from deliverylab.core.store.projectfile import save_project
from tests.core.workflow.seen_twice import seen_twice

NAMED = ("--delivery", "Ana 1")


@pytest.fixture(scope="module")
def delivery():
    return seen_twice().delivery


@pytest.fixture
def solved(delivery, tmp_path):
    path = tmp_path / "two phones.delivery"
    save_project(ProjectRecord(deliveries=(delivery,)), path)
    return path


def test_trajectories_as_c3d_and_as_a_table(run, solved, tmp_path, delivery):
    c3d, table = tmp_path / "ana.c3d", tmp_path / "ana.csv"
    status, said, notes = run("export", solved, *NAMED, "--c3d", c3d, "--csv", table)
    assert (status, said) == (0, "")
    assert f"written: {c3d}, 374 frames" in notes
    rows = pd.read_csv(table, keep_default_na=False)
    found = deliverylab.read_c3d(c3d)
    known = np.isfinite(found.points_m[..., 0])
    assert len(rows) == known.sum()
    np.testing.assert_allclose(
        rows[["x_m", "y_m", "z_m"]].to_numpy(), found.points_m[known], atol=2e-6
    )
    assert [event.name for event in found.events] == list(delivery.cameras[0].marks)


def test_the_table_can_be_printed(run, solved, delivery):
    status, said, _ = run("export", solved, *NAMED, "--csv", "-")
    assert status == 0
    rows = pd.read_csv(io.StringIO(said), keep_default_na=False)
    frame = deliverylab.trajectories(delivery)
    assert list(rows.columns) == list(frame.columns)
    np.testing.assert_allclose(rows["u_z_m"], frame["u_z_m"], atol=1e-6)
    assert frame.attrs["units"]["x_m"] == "m"


def test_the_same_from_python(delivery, tmp_path):
    found = deliverylab.read_c3d(deliverylab.write_c3d(delivery, tmp_path / "ana.c3d"))
    frame = deliverylab.trajectories(delivery)
    wrist = frame[frame["landmark"] == "left_wrist"]
    column = found.labels.index("left_wrist")
    np.testing.assert_allclose(wrist["x_m"], found.points_m[:, column, 0], rtol=1e-7)


def test_doubts_about_the_cameras_are_said(run, delivery, tmp_path):
    finding = SetUpFinding(
        key="far", severity="doubtful", what="a cone is off", where="cone_left", remedy="measure it"
    )
    space = msgspec.structs.replace(delivery.space, trust="doubtful", findings=(finding,))
    path = tmp_path / "doubtful.delivery"
    doubtful = msgspec.structs.replace(delivery, space=space)
    save_project(ProjectRecord(deliveries=(doubtful,)), path)
    status, _, notes = run("export", path, *NAMED, "--csv", tmp_path / "ana.csv")
    assert status == 0
    assert "the cameras are doubtful: a cone is off (cone_left); measure it" in notes


def test_cameras_that_are_not_solved(run, delivery, tmp_path):
    path = tmp_path / "two phones.delivery"
    unsolved = msgspec.structs.replace(delivery, space=None)
    save_project(ProjectRecord(deliveries=(unsolved,)), path)
    status, said, problem = run("export", path, *NAMED, "--c3d", tmp_path / "ana.c3d")
    assert (status, said) == (7, "")
    assert "the cameras are not solved yet" in problem
    assert "solve the cameras" in problem
    assert not (tmp_path / "ana.c3d").exists()


def test_one_camera_is_not_enough(run, project, tmp_path):
    status, _, problem = run("export", project, *NAMED, "--csv", tmp_path / "ana.csv")
    assert status == 7
    assert "one camera does not show it" in problem


def test_requests_that_lack_a_part(run, solved, tmp_path):
    for arguments, words in (
        ((), "nothing was asked for"),
        (("--results", "r.xls"), "says its format"),
        (("--png", "-", "--at", "release"), "not printed"),
        (("--png", tmp_path / "a.png"), "its file and its frame"),
        (("--png", tmp_path / "a.jpg", "--at", "release"), "let its name end in .png"),
        (("--c3d", "-"), "not printed"),
        (("--c3d", str(solved)), "write over another file"),
        (("--c3d", tmp_path / "a.c3d", "--csv", tmp_path / "a.c3d"), "write over another file"),
    ):
        status, _, problem = run("export", solved, *NAMED, *arguments)
        assert status == 2
        assert words in problem
    assert run("export", solved, "--delivery", "Nobody", "--csv", "-")[0] == 6


@pytest.mark.parametrize("ending", [".csv", ".json", ".parquet"])
def test_tables_in_every_format(run, project, tmp_path, ending):
    made = {
        which: tmp_path / f"{which}{ending}" for which in ("results", "tracks", "events", "budgets")
    }
    options = [part for which, path in made.items() for part in (f"--{which}", path)]
    differences = tmp_path / f"d{ending}"
    status, said, notes = run(
        "export", project, *options, "--differences", "Ana 1", "Model", differences
    )
    assert (status, said) == (0, "")
    opened = deliverylab.open_project(project)
    for which, path in made.items():
        expected = getattr(deliverylab, which)(opened)
        pd.testing.assert_frame_equal(deliverylab.read_table(path), expected, check_exact=True)
        assert f"written: {path}, {len(expected)} rows" in notes
    read = deliverylab.read_table(differences)
    expected = deliverylab.differences(opened, "Ana 1", "Model")
    pd.testing.assert_frame_equal(read, expected, check_exact=True)


def test_tables_of_one_delivery_can_be_printed(run, project):
    status, said, _ = run("export", project, *NAMED, "--events", "-")
    assert status == 0
    rows = pd.read_csv(io.StringIO(said))
    assert set(rows["delivery"]) == {"Ana 1"}
    assert "release" in set(rows["event"])


def test_a_frame_as_a_picture(run, project, tmp_path):
    path = tmp_path / "release.png"
    assert run("export", project, *NAMED, "--png", path, "--at", "release")[0] == 0
    assert path.read_bytes().startswith(b"\x89PNG")
    status, _, problem = run("export", project, "--png", path, "--at", "release")
    assert status == 2
    assert "--delivery" in problem
    assert run("export", project, *NAMED, "--png", path, "--at", "hand_break")[0] == 6
