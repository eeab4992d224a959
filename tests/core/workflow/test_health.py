from __future__ import annotations

import pytest

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.workflow.health import project_health

SCALE = {"a": Point(0.0, 0.0), "b": Point(100.0, 0.0), "length_m": 1.0, "distance_m": 11.0}
MARKS = {
    "leg_lift": Mark(time_s=0.10),
    "foot_contact": Mark(time_s=1.00),
    "release": Mark(time_s=1.15),
}


def _record(athlete=None, pair=None, **parts):
    usual = {
        "name": "main",
        "view": "open-side",
        "width_px": 640,
        "height_px": 480,
        "timing": Timing(n_frames=480, stored_rate="240"),
        "scale": PlanarScale(**SCALE),
        "marks": MARKS,
    }
    athlete = athlete or Athlete(name="Ana", height_m=1.8)
    delivery = Delivery(name="one", athlete=athlete, cameras=(Camera(**(usual | parts)),))
    return ProjectRecord(deliveries=(delivery,), pair=pair)


def _found(record, path=None):
    return [(finding.level, finding.what) for finding in project_health(record, path)]


def test_a_sound_project_has_one_good_finding():
    (finding,) = project_health(_record(), None)
    assert (finding.level, finding.where) == ("ok", "project")


@pytest.mark.parametrize(
    ("parts", "level", "said"),
    [
        ({"scale": None}, "problem", "there is no scale"),
        ({"scale": PlanarScale(**(SCALE | {"distance_m": None}))}, "note", "distance is not known"),
        ({"scale": PlanarScale(**(SCALE | {"distance_m": 3.0}))}, "note", "3 m away"),
        ({"scale": PlanarScale(**SCALE, yaw_deg=-14.0)}, "note", "14° off square"),
        ({"marks": {}}, "note", "not all marked"),
        ({"duplicate_frames": (4, 9)}, "note", "2 of 480 frames repeat"),
        ({"timing": Timing(n_frames=90, stored_rate="60")}, "note", "60 frames a second"),
        ({"athlete": Athlete(name="Ana")}, "note", "height is not known"),
        ({"pair": ("one", "gone")}, "note", "'gone'"),
        (
            {"tracks": {"ball": Track.of([(3, Position(640.0, 10.0))])}},
            "problem",
            "1 position lies outside",
        ),
        (
            {"tracks": {"ball": Track.of([(3, Position(1.0, 1.0))])}, "first_frame": 4},
            "note",
            "trimmed away",
        ),
    ],
)
def test_each_fault_is_found_alone_and_has_a_remedy(parts, level, said):
    (finding,) = project_health(_record(**parts), None)
    assert finding.level == level
    assert said in finding.what
    assert finding.remedy


def test_a_yaw_is_no_fault_from_behind():
    record = _record(view="rear", scale=PlanarScale(**SCALE, yaw_deg=-14.0))
    assert _found(record)[0][0] == "ok"


def test_suspected_slow_motion_is_a_problem():
    slow = MARKS | {"release": Mark(time_s=1.9)}
    (finding,) = project_health(_record(marks=slow), None)
    assert finding.level == "problem"
    assert finding.what.endswith("s is usual")
    assert finding.remedy.startswith("if this is slow motion, set the capture rate")


def test_a_clip_is_missing_moved_or_in_place(tmp_path):
    project = tmp_path / "a.delivery"
    clip = tmp_path / "side.mp4"
    clip.write_bytes(b"clip")
    record = _record(clip=clip_reference(clip, project))
    assert _found(record, project)[0][0] == "ok"

    (tmp_path / "clips").mkdir()
    moved = clip.rename(tmp_path / "clips" / "side.mp4")
    (finding,) = project_health(record, project)
    assert finding.level == "note"
    assert str(moved) in finding.what

    moved.unlink()
    (finding,) = project_health(record, project)
    assert finding.level == "problem"
    assert "cannot be found" in finding.what


def test_problems_come_first():
    record = _record(scale=None, athlete=Athlete(name="Ana"))
    assert [level for level, _ in _found(record)] == ["problem", "note"]


def test_an_empty_project_and_a_delivery_without_a_camera_are_told():
    assert _found(ProjectRecord()) == [("note", "it holds no delivery")]
    bare = Delivery(name="one", athlete=Athlete(name="Ana", height_m=1.8), cameras=())
    assert _found(ProjectRecord(deliveries=(bare,))) == [("problem", "it has no camera")]
