from __future__ import annotations

import msgspec
import pytest
from hypothesis import given

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, LookedAt, Mark
from deliverylab.core.model.field import FieldPoint, FieldSetUp
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.checks import complaints, place_of_fault, plain
from deliverylab.core.store.schema import to_document
from tests.core.model.records import records


@given(record=records)
def test_what_edits_produce_is_never_complained_about(record):
    assert list(complaints(record)) == []


def test_each_contradiction_is_named_with_its_place():
    timing = Timing(n_frames=10, stored_rate="60")
    camera = Camera(
        name="main",
        view="roof",
        width_px=640,
        height_px=480,
        timing=timing,
        occluded={"left_wing": (3,), "ball": (10,)},
    )
    delivery = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(camera, camera))
    found = dict(complaints(ProjectRecord(deliveries=(delivery,))))
    path = "$.project.deliveries[0].cameras"
    assert found == {
        f"{path}[1].name": "the name 'main' stands twice",
        f"{path}[0].view": "there is no view 'roof'",
        f"{path}[0].occluded.left_wing": "there is no such landmark",
        f"{path}[0].occluded.ball": "the clip has no frame 10",
        f"{path}[1].view": "there is no view 'roof'",
        f"{path}[1].occluded.left_wing": "there is no such landmark",
        f"{path}[1].occluded.ball": "the clip has no frame 10",
    }


@pytest.mark.parametrize(
    ("changes", "place", "said"),
    [
        ({"width_px": 10**400}, "width_px", "too large"),
        ({"marks": {"release": Mark(time_s=0.1, u_s=1e300)}}, "marks.release.u_s", "too large"),
        ({"marks": {"release": Mark(time_s=float("nan"))}}, "marks.release.time_s", "too large"),
        ({"tracks": {"ball": Track.of([(3, Position(1.0, -1e300))])}}, "tracks.ball", "too large"),
        (
            {"tracks": {"ball": Track.of([(3, Position(1.0, 2.0, 1e9))])}},
            "tracks.ball",
            "too large",
        ),
        ({"timing": Timing(n_frames=10**8, stored_rate="60")}, "timing.n_frames", "too large"),
        (
            {"timing": Timing(n_frames=3, stored_rate="60", stamps_s=(0.0, 0.2, 0.2))},
            "timing.stamps_s",
            "do not ascend",
        ),
        ({"first_frame": 10}, "first_frame", "no frame 10"),
        (
            {"looked_at": (LookedAt(landmark="neck", frame=10, reason="jump"),)},
            "looked_at.neck",
            "no frame 10",
        ),
        (
            {"scale": PlanarScale(a=Point(0, 0), b=Point(1e300, 0), length_m=1.0)},
            "scale.b[0]",
            "too large",
        ),
    ],
)
def test_what_no_clip_has_is_named(changes, place, said):
    camera = Camera(
        name="main",
        view="rear",
        width_px=640,
        height_px=480,
        timing=Timing(n_frames=10, stored_rate="60"),
    )
    changed = msgspec.structs.replace(camera, **changes)
    delivery = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(changed,))
    ((path, what),) = complaints(ProjectRecord(deliveries=(delivery,)))
    assert path == f"$.project.deliveries[0].cameras[0].{place}"
    assert said in what


def test_points_of_a_field_that_do_not_hold_together_are_named():
    cone, top = (
        FieldPoint(key=key, name=key, kind="pole", place_m=(0, 0, 2), u_m=(0.02,) * 3, above=above)
        for key, above in (("cone", ""), ("top", "foot"))
    )
    field = FieldSetUp(points=(cone, top, cone))
    delivery = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(), field=field)
    path = "$.project.deliveries[0].field.points"
    assert list(complaints(ProjectRecord(deliveries=(delivery,)))) == [
        (f"{path}[1]", "a point counts from one that does not come before it"),
        (f"{path}[2]", "a point of the field stands twice"),
    ]


def test_a_fault_outside_the_deliveries_keeps_its_own_place():
    problem = msgspec.ValidationError("Expected `str`, got `int` - at `$.project.title`")
    document = to_document(ProjectRecord())
    assert place_of_fault(document, problem) == ("$.project.title", "Expected `str`, got `int`")
    assert place_of_fault({"project": []}, problem)[0] == "$.project.title"


def test_a_message_is_never_empty():
    assert plain(OverflowError()) == "OverflowError"
    assert plain(RecursionError("maximum recursion depth")) == "nested too deeply"
