from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.workflow.space_facts import solved_stands
from deliverylab.shell.drawing.field_plan import FieldPlan
from deliverylab.shell.field_plan_content import field_scene
from tests.core.workflow.two_phones import solved_two_phones


@pytest.fixture
def scene():
    delivery = solved_two_phones().delivery
    return field_scene(delivery, delivery.field, solved_stands(delivery), "metric")


@pytest.fixture
def plan(qtbot):
    made = FieldPlan()
    qtbot.addWidget(made)
    made.resize(620, 540)
    made.show()
    return made


def test_phones_rubber_and_cones_are_in_sight_to_scale(plan, scene):
    plan.show_scene(scene, "metric")
    for place in (*(one.at_m for one in scene.phones), *(one.at_m for one in scene.points)):
        assert plan.rect().contains(plan.to_widget(*place).toPoint())
    across = plan.to_widget(0.0, 1.0) - plan.to_widget(0.0, 0.0)
    along = plan.to_widget(1.0, 0.0) - plan.to_widget(0.0, 0.0)
    assert -across.y() == pytest.approx(along.x())


def test_how_far_a_phone_is_off_square_is_drawn(plan, scene):
    plan.show_scene(scene, "metric")
    straight = plan.grab().toImage()
    turned = replace(scene.phones[0], looks_deg=scene.phones[0].looks_deg + 15.0)
    plan.show_scene(replace(scene, phones=(turned, *scene.phones[1:])), "metric")
    assert plan.grab().toImage() != straight


def test_it_says_the_same_in_words(plan, scene):
    plan.show_scene(scene, "metric")
    for phone in scene.phones:
        assert f"{phone.name} {phone.distance}, {phone.yaw}" in plan.accessibleName()


def test_without_a_solve_only_the_ground_is_painted(plan, scene):
    plan.show_scene(None, "metric")
    assert not plan.grab().isNull()
