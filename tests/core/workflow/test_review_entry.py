from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.clip_changes import SetPosition
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.workflow.review import to_look_at
from deliverylab.core.workflow.review_entry import AT_EVENT_WEIGHT, MOST_WEIGHT, entry, saying_right
from tests.benchmarks.bench_review import filmed, moved, with_tracks


@pytest.fixture(scope="module")
def wrong():
    clean = filmed(7001, 240.0, 0.7)[0]
    track = clean.cameras[0].track("left_hand")
    return with_tracks(clean, {"left_hand": moved(track, slice(60, 63), np.array([25.0, 0.0]))})


def test_a_weight_is_bounded_and_doubled_at_an_event(wrong):
    camera = wrong.cameras[0]
    at = camera.timing.frame_at(camera.marks["release"].time_s)
    far = entry(wrong, camera, 0, "neck", "jump", "", 99.0)
    near = entry(wrong, camera, at, "neck", "jump", "", 99.0)
    assert (far.weight, near.weight) == (MOST_WEIGHT, AT_EVENT_WEIGHT * MOST_WEIGHT)


def test_what_is_said_to_be_right_stays_off_the_list_until_it_is_moved(wrong):
    project = Project(ProjectRecord(deliveries=(wrong,)))

    def hand():
        looks = to_look_at(project.record, project.delivery(wrong.name))
        return [each for each in looks if each.landmark == "left_hand"]

    (look,) = hand()
    undo = project.apply(saying_right(wrong, look))
    assert hand() == []
    at = wrong.camera(look.camera).track("left_hand").at(look.frame)
    project.apply(
        SetPosition(
            delivery=wrong.name, camera=look.camera, landmark="left_hand", frame=look.frame,
            position=at._replace(x_px=at.x_px + 30.0),
        )
    )  # fmt: skip
    (again,) = hand()
    change = saying_right(project.delivery(wrong.name), again)
    assert len(change.looked_at) == 1, "what lapsed is not kept"
    project.apply(undo)
    assert len(hand()) == 1
