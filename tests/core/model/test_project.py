from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import SetProjectField
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.timing import Timing


def _camera(name="main"):
    timing = Timing(n_frames=10, stored_rate="60")
    return Camera(name=name, view="rear", width_px=640, height_px=480, timing=timing)


def _delivery(name):
    return Delivery(name=name, athlete=Athlete(name="Ana"), cameras=(_camera(),))


@pytest.fixture
def project():
    return Project(ProjectRecord(deliveries=(_delivery("one"), _delivery("two"))))


class _Broken:
    label, key, touches = "Break", ("break",), frozenset({"project"})

    def apply(self, project):
        project.record = ProjectRecord(title="half done")
        raise InputValueError("it does not fit")


def test_observers_hear_of_each_change_after_it(project):
    heard = []
    project.observe(lambda change: heard.append((change.label, project.record.title)))
    inverse = project.apply(SetProjectField(field="title", value="May"))
    project.apply(inverse)
    assert heard == [("Set title", "May"), ("Set title", "")]


def test_a_change_that_fails_leaves_the_project_and_is_not_told(project):
    before = project.record
    heard = []
    project.observe(heard.append)
    with pytest.raises(InputValueError):
        project.apply(_Broken())
    assert project.record is before
    assert heard == []


def test_a_new_project_is_empty():
    record = Project().record
    assert record == ProjectRecord()
    assert (record.deliveries, record.pair, record.unit_system) == ((), None, "metric")


def test_deliveries_and_cameras_are_found_by_name(project):
    assert project.delivery("two").name == "two"
    assert project.camera("one").name == "main"
    with pytest.raises(NotFoundError, match="the deliveries are: one, two"):
        project.delivery("three")
    with pytest.raises(NotFoundError, match="none yet"):
        Project().delivery("one")
    with pytest.raises(NotFoundError, match="the cameras are: main"):
        project.camera("one", "rear")


def test_replacing_keeps_the_others_as_they_are(project):
    first, second = project.record.deliveries
    project.replace_delivery(_delivery("two"))
    assert project.record.deliveries[0] is first
    assert project.record.deliveries[1] is not second
    with pytest.raises(NotFoundError):
        project.replace_delivery(_delivery("three"))
    with pytest.raises(NotFoundError):
        project.replace_camera("one", _camera("rear"))
