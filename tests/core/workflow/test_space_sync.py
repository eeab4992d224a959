from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.workflow.space_sound import ClockBySound
from deliverylab.core.workflow.space_sync import sync_curves
from tests.core.workflow.two_phones import solved_two_phones, two_phone_delivery


def test_the_lowest_point_is_the_offset_and_marks_stand_beside_it():
    solved = solved_two_phones()
    (found,) = sync_curves(Project(solved.record), "Ana 1")
    truth = solved.phones.true_offsets_s[1]
    assert (found.camera, found.first) == ("rear", "open-side")
    assert abs(found.curve.offset_s - truth) < 3.0 * found.curve.u_offset_s
    # 0.19 ms here
    assert 0.0 < found.curve.u_offset_s < 0.3e-3
    lowest = found.curve.shifts_s[np.nanargmin(found.curve.misses)]
    # shifts are 4 ms apart
    assert lowest == pytest.approx(truth, abs=2.1e-3)
    assert found.solved_s == solved.delivery.space.cameras[1].offset_s
    # seven marks to the nearest frame of 60 a second: u is 1.9 ms
    assert abs(found.marked.offset_s - truth) < 3.0 * found.marked.u_s
    apart_s = abs(found.marked.offset_s - found.solved_s)
    u_s = np.hypot(found.marked.u_s, found.u_solved_s)
    assert found.e_n == pytest.approx(apart_s / (2.0 * u_s))
    assert found.heard is None
    # 30 ms away with a u of 15 ms: one U
    assert found.agreement(ClockBySound(found.solved_s + 0.030, 0.015)) == pytest.approx(
        1.0, rel=0.01
    )
    (listened,) = sync_curves(Project(solved.record), "Ana 1", listen_from="a.delivery")
    assert listened.heard is None


def test_clips_without_movement_have_no_curve():
    delivery = two_phone_delivery(5, only_events=True).delivery
    with pytest.raises(InputValueError, match="too few landmarks"):
        sync_curves(Project(ProjectRecord(deliveries=(delivery,))), "Ana 1")
