from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.workflow.filling import fill, filling_change
from tests.core.metrics.conftest import film_delivery

KEY = "left_knee"


@pytest.fixture(scope="module")
def side():
    return film_delivery(u_px=1.0).delivery


@pytest.fixture
def gappy(side):
    camera = side.cameras[0]
    frames = camera.track(KEY).frames
    gone = {int(f): None for f in (*frames[20:23], *frames[40:80])}
    tracks = camera.tracks | {KEY: camera.track(KEY).updated(gone)}
    return msgspec.structs.replace(side, cameras=(msgspec.structs.replace(camera, tracks=tracks),))


def test_short_gaps_are_bridged_and_long_ones_told(gappy, side):
    camera = gappy.cameras[0]
    filling = fill(gappy, camera, landmarks=[KEY])
    (places,) = filling.positions.values()
    assert len(places) == 3
    for frame, place in places.items():
        true = side.cameras[0].track(KEY).at(frame)
        assert place.origin == "filled"
        assert np.hypot(place.x_px - true.x_px, place.y_px - true.y_px) < 4.0 * place.u_px
    assert [gap.reason for gap in filling.still_open] == ["long"]


def test_one_change_fills_and_a_second_run_is_the_same(gappy):
    project = Project(ProjectRecord(deliveries=(gappy,)))
    camera = gappy.cameras[0]
    back = project.apply(filling_change(gappy, camera, fill(gappy, camera)))
    now = project.record.deliveries[0]
    again = fill(now, now.cameras[0])
    project.apply(filling_change(now, now.cameras[0], again))
    assert project.record.deliveries[0] == now
    project.apply(back)
    assert project.record.deliveries[0] == gappy
