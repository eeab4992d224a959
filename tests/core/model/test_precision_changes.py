from __future__ import annotations

import pytest

from deliverylab.core.errors import UsageError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.precision import PlacingPrecision, PlacingRun
from deliverylab.core.model.precision_changes import SetPlacingRun, SetPrecision
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.timing import Timing


@pytest.fixture
def project():
    camera = Camera(
        name="main", view="rear", width_px=640, height_px=480,
        timing=Timing(n_frames=10, stored_rate="240"),
    )  # fmt: skip
    delivery = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(camera,))
    return Project(ProjectRecord(deliveries=(delivery,)))


def _names(project):
    return [run.name for run in project.delivery("one").placing_runs]


def test_runs_are_added_and_removed_in_their_order(project):
    for name in ("a", "b", "c"):
        run = PlacingRun(name=name, placer="Sam")
        project.apply(SetPlacingRun(delivery="one", name=name, run=run))
    inverse = project.apply(SetPlacingRun(delivery="one", name="b", run=None))
    assert _names(project) == ["a", "c"]
    project.apply(inverse)
    assert _names(project) == ["a", "b", "c"]
    with pytest.raises(UsageError, match="nothing of that name"):
        project.apply(SetPlacingRun(delivery="one", name="d", run=None))


def test_a_run_goes_on_in_its_place(project):
    run = PlacingRun(name="a", placer="Sam")
    project.apply(SetPlacingRun(delivery="one", name="a", run=run))
    later = PlacingRun(name="a", placer="Sam", date="2026-05-02")
    inverse = project.apply(SetPlacingRun(delivery="one", name="a", run=later))
    assert project.delivery("one").placing_runs == (later,)
    project.apply(inverse)
    assert project.delivery("one").placing_runs == (run,)


def test_precision_is_set_and_taken_back(project):
    own = PlacingPrecision(placer="Sam", u_m={"hip": 0.03})
    inverse = project.apply(SetPrecision(delivery="one", camera="main", precision=own))
    assert project.camera("one").precision == own
    project.apply(inverse)
    assert project.camera("one").precision is None
