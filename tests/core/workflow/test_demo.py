from __future__ import annotations

import shutil

import pytest

import deliverylab
from deliverylab.core.errors import NotFoundError, OutputError
from deliverylab.core.report.raster import page_sizes_mm
from deliverylab.core.store.clips import missing_clips
from deliverylab.core.store.projectfile import load_project
from deliverylab.core.workflow import demo
from deliverylab.core.workflow.checklist import checklist
from deliverylab.core.workflow.demo import build_demo, examples_dir
from deliverylab.core.workflow.health import project_health
from deliverylab.core.workflow.space_freshness import is_out_of_date
from deliverylab.core.workflow.space_solve import solve


@pytest.fixture(scope="module")
def outcome(tmp_path_factory):
    return build_demo(tmp_path_factory.mktemp("demo") / "new folder")


def test_everything_is_written(outcome):
    for what, path in outcome.files():
        assert path.stat().st_size > 1000, what
    assert len(page_sizes_mm(outcome.page_path)) == 1
    assert outcome.picture_path.read_bytes().startswith(b"\x89PNG")


def test_the_copied_project_finds_its_clips_beside_it(outcome):
    record = load_project(outcome.project_path)
    assert missing_clips(record, outcome.project_path) == []
    clips = outcome.project_path.parent / "clips"
    assert len(list(clips.glob("*.mp4"))) == 4
    assert [finding.level for finding in project_health(record, outcome.project_path)] == ["ok"]


def test_the_example_is_finished_as_far_as_the_page(outcome):
    record = load_project(outcome.project_path)
    project = deliverylab.open_project(outcome.project_path)
    a, b = (project.delivery(name) for name in record.pair)
    assert [step.state for step in checklist(a, b)] == ["done"] * 6 + ["next"]
    assert {a.athlete.hand, b.athlete.hand} == {"left", "right"}


def test_both_deliveries_are_solved_and_up_to_date(outcome):
    project = deliverylab.open_project(outcome.project_path)
    for delivery in project.record.deliveries:
        assert [camera.name for camera in delivery.cameras] == ["side", "rear"]
        assert {len(camera.control) for camera in delivery.cameras} == {6}
        assert (delivery.space.trust, delivery.space.findings) == ("good", ())
        assert is_out_of_date(project, delivery) == ""
        # a shipped solution is what the solve makes of the shipped project
        again = solve(project, delivery.name).solution
        for kept, made in zip(delivery.space.cameras, again.cameras, strict=True):
            assert kept.numbers == pytest.approx(made.numbers, abs=1e-4)
            assert kept.offset_s == pytest.approx(made.offset_s, abs=1e-5)


def test_the_planted_differences_are_clear(outcome):
    clear = {(d.metric, d.event) for d in outcome.differences if d.verdict == "clear"}
    # the scenario gives the athlete a shorter stride, a knee that gives way, less speed
    assert ("stride_length", "") in {(metric, "") for metric, _ in clear}
    assert ("lead_knee_flexion", "release") in clear
    assert ("com_forward_speed", "foot_contact") in clear
    n_clear = sum(d.verdict == "clear" for d in outcome.differences)
    assert f"{n_clear} clear differences" in outcome.summary


def test_running_it_again_keeps_what_somebody_edited(tmp_path):
    parts = []
    first = build_demo(tmp_path, progress=parts.append)
    assert first.kept_path is None
    assert parts == sorted(parts)
    assert parts[-1] == 1.0
    again = build_demo(tmp_path)
    assert again.kept_path is None
    edited = first.project_path.read_bytes() + b"\n"
    first.project_path.write_bytes(edited)
    third = build_demo(tmp_path)
    assert third.kept_path.read_bytes() == edited
    assert load_project(third.project_path) == load_project(third.kept_path)
    assert ("your edits of an earlier demo", third.kept_path) in third.files()
    (tmp_path / "demo.delivery").write_bytes(edited + b"\n")
    fourth = build_demo(tmp_path)
    assert third.kept_path.read_bytes() == edited
    assert fourth.kept_path.read_bytes() == edited + b"\n"


def test_other_visits_lie_beside_it_and_stay_as_somebody_edited_them(outcome, tmp_path):
    here = {path.name for path in outcome.project_path.parent.glob("*.delivery")}
    assert here == {"demo.delivery", "aldery-july.delivery", "aldery-october.delivery"}
    visit = build_demo(tmp_path).project_path.parent / "aldery-july.delivery"
    edited = visit.read_bytes() + b"\n"
    visit.write_bytes(edited)
    build_demo(tmp_path)
    assert visit.read_bytes() == edited


@pytest.mark.parametrize(
    "name", ["results.csv", "page.pdf", "clips/model-side.mp4", "aldery-july.delivery"]
)
def test_what_no_demo_wrote_is_not_written_over(tmp_path, name):
    (tmp_path / "clips").mkdir()
    (tmp_path / name).write_bytes(b"mine")
    with pytest.raises(OutputError, match=f"write over your {name}"):
        build_demo(tmp_path)
    assert (tmp_path / name).read_bytes() == b"mine"
    assert not (tmp_path / "demo.delivery").exists()


def test_a_place_that_cannot_be_written_is_said(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_bytes(b"")
    with pytest.raises(OutputError, match="choose another folder with --out"):
        build_demo(blocked)


def test_the_examples_are_found_in_a_clone_and_in_an_installed_package(tmp_path, monkeypatch):
    assert (examples_dir() / "demo.delivery").is_file()
    package = tmp_path / "site" / "deliverylab"
    (package / "examples").mkdir(parents=True)
    assert demo._package_folder().name == "deliverylab"
    monkeypatch.setattr(demo, "_package_folder", lambda: package)
    with pytest.raises(NotFoundError, match="not here"):
        examples_dir()
    shutil.copy(demo.Path(__file__), package / "examples" / "demo.delivery")
    assert examples_dir() == package / "examples"
