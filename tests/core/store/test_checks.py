from __future__ import annotations

import msgspec
from hypothesis import given

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.timing import Timing
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


def test_a_fault_outside_the_deliveries_keeps_its_own_place():
    problem = msgspec.ValidationError("Expected `str`, got `int` - at `$.project.title`")
    document = to_document(ProjectRecord())
    assert place_of_fault(document, problem) == ("$.project.title", "Expected `str`, got `int`")
    assert place_of_fault({"project": []}, problem)[0] == "$.project.title"


def test_a_message_is_never_empty():
    assert plain(OverflowError()) == "OverflowError"
    assert plain(RecursionError("maximum recursion depth")) == "nested too deeply"
