from __future__ import annotations

import pytest
from msgspec.structs import replace

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.timing import TimeRepair, Timing
from deliverylab.core.model.timing_changes import SetRowTime, SetTiming

TIMING = Timing(n_frames=4, stored_rate="30")


def project():
    camera = Camera(name="main", view="rear", width_px=640, height_px=480, timing=TIMING)
    delivery = Delivery(name="a", athlete=Athlete(name="Ana"), cameras=(camera,))
    return Project(ProjectRecord(deliveries=(delivery,)))


def test_a_repair_is_set_and_taken_back():
    mended = replace(TIMING, repair=TimeRepair(times_s=(0.0, 0.04, 0.04, 0.08), note="mended"))
    of = project()
    before = of.record
    inverse = of.apply(SetTiming(delivery="a", camera="main", timing=mended))
    assert of.camera("a", "main").timing == mended
    of.apply(inverse)
    assert of.record == before


def test_another_clips_timing_is_refused():
    with pytest.raises(InputValueError, match="another clip"):
        project().apply(SetTiming(delivery="a", camera="main", timing=replace(TIMING, n_frames=5)))


def test_row_time_is_set_and_taken_back():
    of = project()
    inverse = of.apply(SetRowTime(delivery="a", camera="main", row_time_s=2e-5, u_row_time_s=1e-6))
    assert (of.camera("a", "main").row_time_s, of.camera("a", "main").u_row_time_s) == (2e-5, 1e-6)
    of.apply(inverse)
    assert of.camera("a", "main").row_time_s == 0.0


@pytest.mark.parametrize("wrong", [{"row_time_s": 1.0}, {"row_time_s": 0.0, "u_row_time_s": -1.0}])
def test_what_no_camera_does_is_refused(wrong):
    with pytest.raises(InputValueError):
        project().apply(SetRowTime(delivery="a", camera="main", **wrong))
