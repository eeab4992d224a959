from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import NotFoundError, UsageError
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.inputs import default_u_px
from deliverylab.core.model.precision import PlacingPrecision
from deliverylab.core.workflow.precision import precision_report
from deliverylab.core.workflow.precision_use import (
    figures_of,
    n_keeping_their_u,
    precision_of,
    take_up,
    uses_no_default,
)
from tests.core.workflow.placing import (
    demo_project,
    pixel_size_m,
    place_run,
    placed_by,
    scattered,
)


def _placed(factor):
    project = demo_project()
    random = np.random.default_rng(8)
    place = placed_by(project, random, size_m=pixel_size_m(project), factor=factor)
    scattered(project, place)
    place_run(project, "Sam", place)
    return project


def _u_of_trunk_tilt(project):
    results = evaluate(project.record.deliveries[0])
    (tilt,) = [
        result
        for result in results
        if (result.metric, result.event) == ("trunk_forward_tilt", "release")
    ]
    return tilt.expanded_u


def test_a_steady_hand_narrows_the_result_and_an_unsteady_one_widens_it():
    margins = {}
    for factor in (0.3, 2.0):
        project = _placed(factor)
        judged = _u_of_trunk_tilt(project)
        own = figures_of(precision_report(project.record), "Sam")
        inverse = project.apply(take_up(project.record, own))
        margins[factor] = _u_of_trunk_tilt(project) / judged
        project.apply(inverse)
        assert _u_of_trunk_tilt(project) == judged
    assert margins[0.3] < 0.97
    assert margins[2.0] > 1.2


def test_at_the_same_camera_the_default_is_the_technical_error_itself():
    project = _placed(1.0)
    report = precision_report(project.record)
    own = figures_of(report, "Sam")
    project.apply(take_up(project.record, own))
    delivery = project.record.deliveries[0]
    u_px = default_u_px(delivery, delivery.cameras[0])
    for row in report.person("Sam").rows:
        key = row.part if row.part in u_px else f"left_{row.part}"
        # the size of a pixel is rounded to a micrometre
        assert u_px[key] == pytest.approx(row.technical_error_px, rel=2e-3), row.part
        assert own.n_degrees_of_freedom[row.part] == row.technical_error.n_degrees_of_freedom


def test_figures_are_taken_up_everywhere_or_in_one_camera():
    project = demo_project()
    own = PlacingPrecision(placer="Sam", u_m={"hip": 0.01})
    name = project.record.deliveries[0].name
    for where, n in (({}, 4), ({"delivery": name}, 2), ({"delivery": name, "camera": "rear"}, 1)):
        change = take_up(project.record, own, **where)
        assert change.label == "Use the figures of Sam for placing"
        inverse = project.apply(change)
        cameras = [camera for each in project.record.deliveries for camera in each.cameras]
        assert sum(camera.precision == own for camera in cameras) == n
        project.apply(inverse)
    with pytest.raises(NotFoundError):
        take_up(project.record, own, delivery=name, camera="roof")


def test_positions_with_a_u_of_their_own_are_counted():
    project = demo_project()
    every = n_keeping_their_u(project.record)
    name = project.record.deliveries[0].name
    side, rear = (n_keeping_their_u(project.record, name, each) for each in ("side", "rear"))
    assert side == sum(map(len, project.record.deliveries[0].cameras[0].tracks.values()))
    assert side + rear < every
    scattered(project, placed_by(project, np.random.default_rng(1), size_m=0.004))
    assert n_keeping_their_u(project.record) == every - side


def test_too_few_repeats_are_refused_and_none_are_none():
    project = demo_project()
    place = placed_by(project, np.random.default_rng(8), size_m=pixel_size_m(project))
    place_run(project, "Sam", place, landmarks=["neck"], n_frames_each=4)
    report = precision_report(project.record)
    with pytest.raises(UsageError, match="5 points placed twice"):
        precision_of(report.person("Sam"))
    assert figures_of(report, "Kim") is None


def test_where_every_position_has_its_own_u_no_default_is_used():
    project = demo_project()
    assert n_keeping_their_u(project.record) > 0
    assert uses_no_default(project.record)
    assert not uses_no_default(_placed(1.0).record)
