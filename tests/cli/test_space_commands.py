"""Two phones on the command line: clicks, a session, the solve, the clocks."""

from __future__ import annotations

import json

import pytest

import deliverylab
from deliverylab.core.errors import SolveError
from deliverylab.core.model.changes import replace
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.store.projectfile import load_project, save_project
from tests.core.workflow.two_phones import left_in_place, solved_two_phones, two_phone_delivery

ONE = ("--delivery", "Ana 1")


def control_table(path, camera, *more):
    rows = ["point,x_m,y_m,z_m,x_px,y_px"]
    rows += [f"{key},,,,{click.x_px:.3f},{click.y_px:.3f}" for key, click in camera.control.items()]
    path.write_text("\n".join((*rows, *more)) + "\n", encoding="utf-8")
    return path


@pytest.fixture
def unclicked(tmp_path):
    """Return a project of a delivery that was filmed and placed, and nothing more."""
    delivery = solved_two_phones().phones.delivery
    bare = left_in_place(solved_two_phones().phones._replace(delivery=delivery), "")
    path = tmp_path / "two.delivery"
    save_project(ProjectRecord(deliveries=(bare,)), path)
    return path


@pytest.fixture
def solved(tmp_path):
    path = tmp_path / "solved.delivery"
    save_project(solved_two_phones().record, path)
    return path


def test_from_tables_to_a_solved_project(run, unclicked, tmp_path):
    cameras = solved_two_phones().phones.delivery.cameras
    for camera in cameras:
        table = control_table(tmp_path / f"{camera.name}.csv", camera)
        status, said, _ = run("control", unclicked, *ONE, "--camera", camera.name, table)
        assert (status, said) == (
            0,
            f"Ana 1, {camera.name}: 6 points of 6 clicked, 6 by this table\n",
        )
    status, said, notes = run("solve", unclicked, *ONE)
    assert (status, notes) == (0, "")
    for words in (
        "open-side: ",
        "m away, lens",
        "off square (rear)",
        "clock of rear: add 77.",
        "(good)",
        "cone_left           rear",
        "limbs keep their lengths",
    ):
        assert words in said
    assert load_project(unclicked).deliveries[0].space.findings == ()
    assert deliverylab.trajectories(load_project(unclicked).deliveries[0]).shape[0] > 1000


def test_a_table_sets_places_a_field_and_how_the_camera_stands(run, unclicked, tmp_path):
    camera = solved_two_phones().phones.delivery.cameras[1]
    table = control_table(tmp_path / "a.csv", camera, "stick,3,0.5,0.2,100,200")
    status, said, _ = run(
        *("control", unclicked, *ONE, "--camera", "rear", table, "--field", "youth-46"),
        *("--layout", "four-cones", "--zoom", "2", "--not-level", "--turn", "-5"),
    )
    assert (status, said) == (0, "Ana 1, rear: 7 points of 9 clicked, 7 by this table\n")
    delivery = load_project(unclicked).deliveries[0]
    assert delivery.field.size == "youth-46"
    assert delivery.field.point("stick").place_m == (3.0, 0.5, 0.2)
    stand = delivery.camera("rear").stand
    assert (stand.zoom, stand.u_level_deg, stand.turn_deg) == (2.0, None, -5.0)


def test_a_table_that_cannot_be_read_changes_nothing(run, unclicked, tmp_path):
    camera = solved_two_phones().phones.delivery.cameras[1]
    before = unclicked.read_bytes()
    table = control_table(tmp_path / "a.csv", camera, "bucket,,,,100,200")
    status, _, notes = run("control", unclicked, *ONE, "--camera", "rear", table)
    assert status == 7
    assert "where 'bucket' is on the field is not known" in notes
    assert unclicked.read_bytes() == before
    status, _, notes = run("solve", unclicked, *ONE)
    assert status == 7
    assert "clicked in no picture" in notes


def test_a_refused_solve_has_a_status_of_its_own_and_is_kept(run, tmp_path):
    # landmarks at the events alone: nothing slow is to be solved
    delivery = two_phone_delivery(5, only_events=True).delivery
    side, rear = delivery.cameras
    control = dict(rear.control)
    control["cone_left"], control["cone_right"] = control["cone_right"], control["cone_left"]
    path = tmp_path / "wrong.delivery"
    wrong = replace(delivery, cameras=(side, replace(rear, control=control)))
    save_project(ProjectRecord(deliveries=(wrong,)), path)
    status, said, notes = run("solve", path, *ONE)
    assert status == SolveError.exit_code
    assert "cone left and cone right are exchanged (Ana 1: rear)" in notes
    assert "refused: cone left and cone right are exchanged" in said
    assert load_project(path).deliveries[0].space.is_refused


def test_one_camera_alone_as_json(run, unclicked, tmp_path):
    camera = solved_two_phones().phones.delivery.cameras[0]
    run("control", unclicked, *ONE, control_table(tmp_path / "a.csv", camera))
    status, said, _ = run("solve", unclicked, *ONE, "--camera", camera.name, "--json", "-")
    assert status == 0
    found = json.loads(said)
    assert found["is_refused"] is False
    assert found["cameras"][0]["u_yaw_deg"] < 1.0
    assert {each["point"] for each in found["residuals"]} == set(camera.control)
    scale = load_project(unclicked).deliveries[0].cameras[0].scale
    assert scale.yaw_deg == pytest.approx(found["cameras"][0]["yaw_deg"])
    # in words, and once more: a scale that followed from a solve is no own one
    status, said, notes = run("solve", unclicked, *ONE, "--camera", camera.name)
    assert (status, notes) == (0, "")
    assert "off square (open side)" in " ".join(said.split())


def test_the_solve_and_the_clocks_as_json(run, solved, tmp_path):
    status, said, notes = run("solve", solved, *ONE, "--json", tmp_path / "a.json")
    assert (status, "written" in notes) == (0, True)
    assert "clock of rear" in said
    found = json.loads((tmp_path / "a.json").read_text(encoding="utf-8"))
    assert found["trust"] == "good"
    assert found["clocks"][1]["u_offset_s"] < 3e-4
    assert (len(found["limbs"]), found["worst_places"]) == (8, [])
    status, said, _ = run("sync", solved, *ONE, "--json", "-")
    (curve,) = json.loads(said)
    assert status == 0
    assert len(curve["shifts_s"]) == len(curve["misses_u"]) == 101
    assert curve["offset_s"] == pytest.approx(found["clocks"][1]["offset_s"], abs=1e-3)
    status, said, _ = run("sync", solved, *ONE, "--sound", "--plot", tmp_path / "a.pdf")
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF")
    assert status == 0
    assert "by a sharp sound  no clip" in said
    assert "by event marks" in said
    assert said.count("#\n") > 20


def test_a_scale_that_a_person_changed_is_not_replaced_by_the_next_solve(run, solved):
    assert load_project(solved).deliveries[0].cameras[0].scale.is_solved
    assert run("scale", solved, *ONE, "--yaw-deg", "3")[0] == 0
    assert run("solve", solved, *ONE)[0] == 0
    own, other = (camera.scale for camera in load_project(solved).deliveries[0].cameras)
    assert (own.is_solved, own.yaw_deg) == (False, 3.0)
    assert other.is_solved


def test_cameras_left_in_place_and_taken_back(run, tmp_path):
    delivery = solved_two_phones().phones.delivery
    other = left_in_place(
        solved_two_phones().phones._replace(delivery=replace(delivery, name="Ana 2")), ""
    )
    path = tmp_path / "two.delivery"
    save_project(ProjectRecord(deliveries=(delivery, other)), path)
    two = ("--delivery", "Ana 2")
    status, said, _ = run("cameras-from", path, *two, "Ana 1")
    assert (status, said) == (0, "Ana 2: the cameras are those of Ana 1\n")
    status, _, notes = run(
        "control", path, *two, control_table(tmp_path / "a.csv", delivery.cameras[0])
    )
    assert status == 2
    assert "takes its cameras from another one" in notes
    status, said, _ = run("cameras-from", path, *two, "none")
    assert (status, said) == (0, "Ana 2: the cameras are its own\n")
    assert load_project(path).deliveries[1].cameras_from == ""
    assert run("cameras-from", path, *two, "Ana 2")[0] == 7


def test_from_python():
    project = Project(solved_two_phones().before)
    (curve,) = deliverylab.sync(Project(solved_two_phones().record), "Ana 1")
    assert curve.camera == "rear"
    outcome = deliverylab.solve(project, "Ana 1")
    assert project.delivery("Ana 1").space == outcome.solution
    assert deliverylab.worst_places(project.delivery("Ana 1")) == ()
    alone = deliverylab.solve_camera(project, "Ana 1", "rear")
    assert project.camera("Ana 1", "rear").scale == alone.change.scale


def test_results_of_cameras_solved_before_a_click_changed_say_so(run, solved, tmp_path):
    status, _, notes = run("measure", solved, *ONE)
    assert (status, notes) == (0, "")
    camera = load_project(solved).deliveries[0].cameras[0]
    table = tmp_path / "moved.csv"
    x_px, y_px = camera.control["cone_left"].x_px + 3.0, camera.control["cone_left"].y_px
    table.write_text(f"point,x_m,y_m,z_m,x_px,y_px\ncone_left,,,,{x_px},{y_px}\n", encoding="utf-8")
    run("control", solved, *ONE, "--camera", camera.name, table)
    for command in (("measure",), ("export", "--csv", "-")):
        _, _, notes = run(command[0], solved, *ONE, *command[1:])
        assert "Ana 1: the cameras were solved before the field" in notes
