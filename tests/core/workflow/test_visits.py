from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.model.delivery import ClipReference, Mark
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.projectfile import save_project
from deliverylab.core.workflow.visits import athlete_deliveries, deliveries_in
from tests.core.compare.thrown import delivery


def _clip(name, sha="a"):
    return ClipReference(path=name, size_bytes=1, head_sha256=sha, tail_sha256=sha)


def _filmed(name, sha, release_s, **facts):
    made = delivery(name, **facts)
    camera = msgspec.structs.replace(
        made.cameras[0],
        clip=_clip(f"{name}.mp4", sha),
        marks={"release": Mark(time_s=release_s)},
    )
    return msgspec.structs.replace(made, cameras=(camera,))


@pytest.fixture
def folder(tmp_path):
    may = (_filmed("Ana 1", "a", 0.01), _filmed("Ben 1", "b", 0.01, athlete="Ben"))
    june = (
        _filmed("Ana 1", "c", 0.01, date="2026-06-01"),
        _filmed("Ana 2", "d", 0.01, date=""),
        _filmed("Ana 3", "e", 0.01, date="2026-04-01", hand="left"),
    )
    save_project(ProjectRecord(deliveries=may), tmp_path / "may.delivery")
    save_project(ProjectRecord(deliveries=june), tmp_path / "june.delivery")
    (tmp_path / "bad.delivery").write_text("{ no")
    (tmp_path / "empty.delivery").write_text("")
    (tmp_path / "notes.txt").write_text("nothing of ours")
    (tmp_path / "deeper.delivery").mkdir()
    return tmp_path


def test_all_files_are_read_and_bad_ones_are_named(folder):
    before = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    found = deliveries_in(folder)
    assert [each.name for each in found.deliveries] == ["Ana 2", "Ana 3", "Ana 1", "Ben 1", "Ana 1"]
    assert found.athletes == ("Ana", "Ben")
    named = [remark.split(" passed over: ")[0] for remark in found.remarks]
    assert named == ["bad.delivery", "deeper.delivery", "empty.delivery"]
    assert {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()} == before


@pytest.mark.parametrize("name", ["Ana", " ana "])
def test_an_athletes_deliveries_are_dated_of_one_hand_and_each_throw_once(folder, name):
    found = athlete_deliveries(deliveries_in(folder), name)
    assert [(each.delivery.name, each.file) for each in found.kept] == [
        ("Ana 1", "may.delivery"),
        ("Ana 1", "june.delivery"),
    ]
    said = " / ".join(found.remarks)
    assert "Ana 2 in june.delivery passed over: it has no date" in said
    assert "Ana 3 in june.delivery passed over: left-handed, right-handed in most" in said


def test_a_slip_of_the_newest_hand_leaves_the_earlier_visits(folder):
    slip = _filmed("Ana 9", "f", 0.01, date="2026-07-01", hand="left")
    save_project(ProjectRecord(deliveries=(slip,)), folder / "july.delivery")
    (folder / "june.delivery").unlink()
    earlier = _filmed("Ana 2", "g", 0.01, date="2026-05-20")
    save_project(ProjectRecord(deliveries=(earlier,)), folder / "june.delivery")
    found = athlete_deliveries(deliveries_in(folder), "Ana")
    assert [each.delivery.name for each in found.kept] == ["Ana 1", "Ana 2"]
    assert any(remark.startswith("Ana 9 in july.delivery") for remark in found.remarks)


def test_a_copied_project_does_not_count_its_throws_twice(folder):
    (folder / "copy.delivery").write_bytes((folder / "may.delivery").read_bytes())
    found = athlete_deliveries(deliveries_in(folder), "Ana")
    assert len(found.kept) == 2
    assert any("the same throw as Ana 1 in copy.delivery" in remark for remark in found.remarks)


def test_two_throws_of_one_clip_are_two(tmp_path):
    ones = (_filmed("Ana 1", "a", 0.01), _filmed("Ana 2", "a", 0.9))
    save_project(ProjectRecord(deliveries=ones), tmp_path / "may.delivery")
    again = (_filmed("Ana 1 anew", "a", 0.02), _filmed("Ana 3", "f", 0.01))
    save_project(ProjectRecord(deliveries=again), tmp_path / "may again.delivery")
    kept = athlete_deliveries(deliveries_in(tmp_path), "Ana").kept
    assert [each.delivery.name for each in kept] == ["Ana 1 anew", "Ana 3", "Ana 2"]


def test_the_project_worked_on_stands_for_its_file(folder):
    edited = ProjectRecord(deliveries=(delivery("Ana 9", date="2026-07-01"),))
    found = deliveries_in(folder, (folder / "may.delivery", edited))
    names = [each.name for each in found.deliveries]
    assert "Ana 9" in names
    assert "Ben 1" not in names


def test_units_are_those_of_the_latest_deliverys_project(folder):
    record = ProjectRecord(
        unit_system="imperial", deliveries=(_filmed("Ana 5", "z", 0.01, date="2026-08-01"),)
    )
    save_project(record, folder / "august.delivery")
    assert athlete_deliveries(deliveries_in(folder), "Ana").unit_system == "imperial"
    assert athlete_deliveries(deliveries_in(folder), "Ben").unit_system == "metric"


def test_nobody_and_nowhere_are_said(folder):
    with pytest.raises(NotFoundError, match="there are: Ana, Ben"):
        athlete_deliveries(deliveries_in(folder), "Cy")
    with pytest.raises(NotFoundError, match="no such folder"):
        deliveries_in(folder / "gone")


def test_an_athlete_without_any_date_has_no_visit(tmp_path):
    record = ProjectRecord(deliveries=(delivery("Ana 1", date=""),))
    save_project(record, tmp_path / "a.delivery")
    found = athlete_deliveries(deliveries_in(tmp_path), "Ana")
    assert found.kept == ()
    assert found.remarks == ("Ana 1 in a.delivery passed over: it has no date",)
