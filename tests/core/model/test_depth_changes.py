from __future__ import annotations

import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.depth_changes import SetDepthChoice
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.timing import Timing


@pytest.fixture
def project():
    timing = Timing(n_frames=10, stored_rate="240")
    camera = Camera(name="side", view="open-side", width_px=640, height_px=480, timing=timing)
    delivery = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(camera,))
    return Project(ProjectRecord(deliveries=(delivery,)))


def choice(value, event="release", limb="throwing_forearm"):
    return SetDepthChoice(delivery="one", camera="side", event=event, limb=limb, choice=value)


def test_a_choice_is_set_changed_and_taken_back(project):
    assert choice("nearer").label == "Say how the forearm points"
    first = project.apply(choice("nearer"))
    assert first == choice(None)
    second = project.apply(choice("farther"))
    assert project.camera("one", "side").depth_choices == {
        "release": {"throwing_forearm": "farther"}
    }
    project.apply(second)
    project.apply(first)
    assert project.camera("one", "side").depth_choices == {}


def test_the_limbs_and_events_stand_apart(project):
    project.apply(choice("nearer"))
    project.apply(choice("farther", limb="throwing_upper_arm"))
    project.apply(choice("farther", event="foot_contact"))
    project.apply(choice(None))
    assert project.camera("one", "side").depth_choices == {
        "release": {"throwing_upper_arm": "farther"},
        "foot_contact": {"throwing_forearm": "farther"},
    }


@pytest.mark.parametrize("wrong", [{"event": "lunch"}, {"limb": "lead_shank"}])
def test_what_does_not_exist_is_refused(project, wrong):
    with pytest.raises(NotFoundError, match="unknown"):
        project.apply(choice("nearer", **wrong))
    assert project.camera("one", "side").depth_choices == {}
