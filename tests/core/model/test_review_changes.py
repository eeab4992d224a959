from __future__ import annotations

import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.clip_changes import SetPosition
from deliverylab.core.model.delivery import Camera, Delivery, LookedAt
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.review_changes import SetLookedAt
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position

WHERE = {"delivery": "one", "camera": "side"}


@pytest.fixture
def project():
    timing = Timing(n_frames=10, stored_rate="240")
    camera = Camera(name="side", view="open-side", width_px=640, height_px=480, timing=timing)
    delivery = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(camera,))
    return Project(ProjectRecord(deliveries=(delivery,)))


def test_what_is_right_is_so_until_its_position_is_another_and_is_taken_back(project):
    at = Position(10.0, 20.0)
    project.apply(SetPosition(**WHERE, landmark="neck", frame=3, position=at))
    said = LookedAt(landmark="neck", frame=3, reason="jump", position=at)
    undo = project.apply(SetLookedAt(**WHERE, looked_at=(said,)))
    camera = project.camera("one", "side")
    assert camera.is_right("neck", 3, "jump")
    assert not camera.is_right("neck", 3, "length")
    assert not camera.is_right("neck", 4, "jump")
    moved = SetPosition(**WHERE, landmark="neck", frame=3, position=Position(11.0, 20.0))
    back = project.apply(moved)
    assert not project.camera("one", "side").is_right("neck", 3, "jump")
    project.apply(back)
    assert project.camera("one", "side").is_right("neck", 3, "jump")
    project.apply(undo)
    assert project.camera("one", "side").looked_at == ()


def test_an_unknown_landmark_is_refused(project):
    said = LookedAt(landmark="left_wing", frame=3, reason="jump")
    with pytest.raises(NotFoundError):
        project.apply(SetLookedAt(**WHERE, looked_at=(said,)))
