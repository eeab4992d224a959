from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.changes import replace
from deliverylab.core.workflow.space_facts import solved_stands
from deliverylab.shell.field_plan_content import field_scene
from tests.core.workflow.two_phones import solved_two_phones


def test_phones_stand_where_they_truly_stood():
    solved = solved_two_phones()
    delivery = solved.delivery
    scene = field_scene(delivery, delivery.field, solved_stands(delivery), "metric")
    for phone, truth in zip(scene.phones, solved.phones.cameras, strict=True):
        # the solve's own u of a distance is a tenth of a metre
        assert np.hypot(*(np.array(phone.at_m) - truth.position_m[:2])) < 0.5
        looks_deg = float(np.degrees(truth.parameters[0]))
        assert phone.looks_deg == pytest.approx(looks_deg, abs=1.5)
        half_deg = np.degrees(np.arctan(0.5 * truth.size_px[0] / truth.focal_px))
        assert phone.half_deg == pytest.approx(half_deg, abs=2.0)
        assert "m away" in phone.distance
        assert "off square" in phone.yaw
    # corners of the rubber front left first, the plate's rear point farthest
    assert scene.rubber_m[0].tolist() == pytest.approx([0.0, 0.3048])
    assert scene.plate_m[:, 0].max() == pytest.approx(18.44, abs=0.01)
    assert [point.number for point in scene.points] == [1, 2, 3, 4, 5, 6]


def test_without_a_solve_there_is_no_plan():
    delivery = replace(solved_two_phones().delivery, space=None)
    assert field_scene(delivery, delivery.field, (), "metric") is None
