from __future__ import annotations

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deliverylab.core.errors import DeliveryLabError, UsageError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import (
    Batch,
    SetCamera,
    SetDelivery,
    SetProjectField,
    replace,
    replace_value,
)
from deliverylab.core.model.clip_changes import SetMark, SetPosition
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position
from tests.core.model.records import changes, deliveries, records


def _camera(name="main", view="open-side"):
    timing = Timing(n_frames=10, stored_rate="240")
    return Camera(name=name, view=view, width_px=640, height_px=480, timing=timing)


def _delivery(name="one", *cameras):
    return Delivery(name=name, athlete=Athlete(name="Ana"), cameras=cameras or (_camera(),))


def _project(*names):
    return Project(ProjectRecord(deliveries=tuple(_delivery(name) for name in names)))


def _run(project, script):
    """Apply what fits; return the inverses, and what was applied."""
    inverses, applied = [], []
    for change in script:
        before = project.record
        try:
            inverses.append(project.apply(change))
        except DeliveryLabError:
            assert project.record is before
        else:
            applied.append(change)
    return inverses, applied


@given(record=records, script=st.lists(changes, min_size=1, max_size=12))
@settings(max_examples=100)
def test_any_script_of_edits_undone_restores_the_project_and_redone_repeats_it(record, script):
    untouched = copy.deepcopy(record)
    project = Project(record)
    inverses, _ = _run(project, script)
    after = project.record

    redo = [project.apply(inverse) for inverse in reversed(inverses)]
    assert project.record == record == untouched

    undo = [project.apply(change) for change in reversed(redo)]
    assert project.record == after

    for change in reversed(undo):
        project.apply(change)
    assert project.record == record == untouched


@given(name=st.just("one"), delivery=deliveries("two"))
def test_a_delivery_put_in_anothers_place_keeps_the_place(name, delivery):
    project = _project("zero", "one", "last")
    inverse = project.apply(SetDelivery(name=name, delivery=delivery))
    assert [d.name for d in project.record.deliveries] == ["zero", "two", "last"]
    project.apply(inverse)
    assert [d.name for d in project.record.deliveries] == ["zero", "one", "last"]


def test_a_removed_delivery_comes_back_to_its_place():
    project = _project("a", "b", "c")
    inverse = project.apply(SetDelivery(name="b", delivery=None))
    assert [d.name for d in project.record.deliveries] == ["a", "c"]
    project.apply(inverse)
    assert [d.name for d in project.record.deliveries] == ["a", "b", "c"]


@pytest.mark.parametrize("index", [0, 1, None])
def test_a_new_delivery_goes_where_it_is_wanted(index):
    project = _project("a")
    project.apply(SetDelivery(name="new", delivery=_delivery("new"), index=index))
    names = [d.name for d in project.record.deliveries]
    assert names == (["new", "a"] if index == 0 else ["a", "new"])


def test_a_taken_name_is_refused():
    project = _project("a", "b")
    with pytest.raises(UsageError, match="taken"):
        project.apply(SetDelivery(name="a", delivery=_delivery("b")))
    with pytest.raises(UsageError, match="nothing of that name"):
        project.apply(SetDelivery(name="c", delivery=None))
    assert [d.name for d in project.record.deliveries] == ["a", "b"]


def test_a_camera_is_added_replaced_and_removed():
    project = _project("a")
    project.apply(SetCamera(delivery="a", name="second", camera=_camera("second", "rear")))
    assert [c.name for c in project.delivery("a").cameras] == ["main", "second"]
    inverse = project.apply(SetCamera(delivery="a", name="main", camera=None))
    assert [c.name for c in project.delivery("a").cameras] == ["second"]
    project.apply(inverse)
    assert [c.name for c in project.delivery("a").cameras] == ["main", "second"]


def test_an_unknown_view_is_refused():
    project = _project("a")
    for change in (
        SetCamera(delivery="a", name="main", camera=_camera(view="roof")),
        SetDelivery(name="b", delivery=_delivery("b", _camera(view="roof"))),
    ):
        with pytest.raises(DeliveryLabError, match="unknown view"):
            project.apply(change)


def test_a_batch_is_carried_out_whole_or_not_at_all():
    project = _project("a")
    before = project.record
    fits = SetMark(delivery="a", camera="main", event="release", mark=Mark(time_s=0.01))
    does_not = SetPosition(
        delivery="a", camera="main", landmark="ball", frame=99, position=Position(1.0, 2.0)
    )
    with pytest.raises(DeliveryLabError):
        project.apply(Batch(label="Both", changes=(fits, does_not)))
    assert project.record is before

    both = Batch(label="Both", changes=(fits, replace_value(does_not, frame=3)))
    assert both.touches == {"marks", "positions"}
    inverse = project.apply(both)
    assert project.camera("a").marks["release"].time_s == 0.01
    project.apply(inverse)
    assert project.record == before


def test_only_the_projects_own_fields_can_be_set():
    project = _project("a")
    project.apply(SetProjectField(field="title", value="May"))
    assert project.record.title == "May"
    with pytest.raises(UsageError):
        project.apply(SetProjectField(field="deliveries", value=()))


@given(change=changes)
def test_every_change_says_what_it_is(change):
    assert isinstance(change.label, str)
    assert all(isinstance(part, str) for part in change.key)
    known = {
        "positions", "marks", "scale", "precision", "space", "deliveries", "project", "looked_at",
    }  # fmt: skip
    assert change.touches <= known


def test_replacing_a_part_leaves_the_original():
    camera = _camera()
    assert replace(camera, view="rear").view == "rear"
    assert camera.view == "open-side"
