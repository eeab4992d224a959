from __future__ import annotations

from dataclasses import asdict

import msgspec
import pytest

from deliverylab.core.cameras.control import rubber
from deliverylab.core.cameras.pinhole import camera_facts
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.synthetic.field_filming import Phone
from deliverylab.core.vocabulary.field import BY_KEY
from deliverylab.core.workflow.space_alone import solve_alone
from deliverylab.core.workflow.space_facts import TARGET_M
from tests.core.workflow.two_phones import left_in_place, two_phone_delivery

replace = msgspec.structs.replace


@pytest.fixture(scope="module")
def phones():
    turned = (Phone(view="open-side", turn_deg=12.0), Phone(view="rear"))
    return two_phone_delivery(2, phones=turned)


@pytest.fixture
def project(phones):
    second = left_in_place(
        phones._replace(delivery=replace(phones.delivery, name="Ana 2")), "Ana 1"
    )
    return Project(ProjectRecord(deliveries=(phones.delivery, second)))


def test_where_a_camera_stood_comes_out_within_three_u(project, phones):
    hand = phones.delivery.athlete.hand
    for name, true in zip(("open-side", "rear"), phones.cameras, strict=True):
        outcome = solve_alone(project, "Ana 1", name)
        assert (outcome.findings, outcome.is_refused) == ((), False)
        assert len(outcome.residuals) == 6
        for key, value in asdict(camera_facts(true, name, hand, TARGET_M)).items():
            found, u = (getattr(each, key) for each in (outcome.stood.facts, outcome.stood.u))
            assert abs(found - value) < 3.0 * u, key


def test_the_scale_that_follows_is_an_edit(project):
    before = project.record
    outcome = solve_alone(project, "Ana 1", "open-side")
    inverse = project.apply(outcome.change)
    scale = project.camera("Ana 1", "open-side").scale
    assert scale.is_solved
    assert scale.yaw_deg == outcome.stood.facts.yaw_deg
    project.apply(inverse)
    assert project.record == before


def test_cameras_left_in_place_are_solved_from_the_clicked_delivery(project):
    outcome = solve_alone(project, "Ana 2", "rear")
    assert outcome.change.delivery == "Ana 2"
    assert outcome.stood == solve_alone(project, "Ana 1", "rear").stood


def test_the_rubber_alone_is_refused():
    few = two_phone_delivery(7, points=rubber(BY_KEY["baseball"])).delivery
    outcome = solve_alone(Project(ProjectRecord(deliveries=(few,))), "Ana 1", "rear")
    assert outcome.is_refused
    assert "rubber_only" in {found.key for found in outcome.findings}


def test_exchanged_cones_are_named(project):
    camera = project.camera("Ana 1", "rear")
    control = dict(camera.control)
    control["cone_left"], control["cone_right"] = control["cone_right"], control["cone_left"]
    project.replace_camera("Ana 1", replace(camera, control=control))
    outcome = solve_alone(project, "Ana 1", "rear")
    assert outcome.is_refused
    assert "cone left and cone right are exchanged" in {found.what for found in outcome.findings}


def test_without_clicks_and_without_a_camera(project):
    camera = project.camera("Ana 1", "rear")
    project.replace_camera("Ana 1", replace(camera, control={}))
    with pytest.raises(InputValueError, match="nothing of the field"):
        solve_alone(project, "Ana 1", "rear")
    with pytest.raises(NotFoundError):
        solve_alone(project, "Ana 1", "top")
