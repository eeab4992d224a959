from __future__ import annotations

from dataclasses import asdict

import msgspec
import pytest

from deliverylab.core.cameras.pinhole import camera_facts
from deliverylab.core.workflow.space_facts import TARGET_M, solved_stands
from tests.core.workflow.two_phones import solved_two_phones


def test_where_cameras_stood_within_three_u():
    solved = solved_two_phones()
    stands = solved_stands(solved.delivery)
    assert [stood.camera for stood in stands] == ["open-side", "rear"]
    for stood, camera in zip(stands, solved.phones.cameras, strict=True):
        true = asdict(camera_facts(camera, stood.view, solved.delivery.athlete.hand, TARGET_M))
        for key, value in asdict(stood.facts).items():
            u = getattr(stood.u, key)
            assert u > 0.0
            assert abs(value - true[key]) < 3.0 * u, key


def test_u_of_the_turns_is_what_the_covariance_says():
    solved = solved_two_phones()
    space = solved.delivery.space
    (first, _) = solved_stands(solved.delivery)
    # yaw and height are numbers of the camera themselves
    assert first.u.yaw_deg == pytest.approx(57.29578 * space.covariance[0][0] ** 0.5, rel=1e-3)
    assert first.u.height_m == pytest.approx(space.covariance[5][5] ** 0.5, rel=1e-3)


def test_nothing_solved_tells_nothing():
    delivery = solved_two_phones().phones.delivery
    assert solved_stands(delivery) == ()
    gone = msgspec.structs.replace(
        solved_two_phones().delivery, cameras=solved_two_phones().delivery.cameras[:1]
    )
    assert [stood.camera for stood in solved_stands(gone)] == ["open-side"]
