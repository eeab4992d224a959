"""Lost stretches that are bridged by the likeliest course, within their limits."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.tracking.flow import FlowCourse
from deliverylab.core.workflow.tracking_bridge import (
    LARGEST_U_SHARE,
    LONGEST_HIDDEN_S,
    LONGEST_S,
    bridged_places,
)
from tests.core.workflow.slid import slid

N, RATE_HZ, SIZE_PX = 40, 120.0, 100.0
FRAMES = range(N)


def course(lost, *, u_px=3.0, u_lost_px=5.0):
    """Return a course in which these frames are lost; its likeliest place is (frame, 2 frame)."""
    is_lost = np.isin(np.arange(N), list(lost))
    likely = np.stack((np.arange(N), 2.0 * np.arange(N)), axis=-1)
    u_likely = np.where(is_lost, u_lost_px, u_px)
    return FlowCourse(
        frames=np.arange(N),
        xy_px=np.where(is_lost[:, None], np.nan, likely),
        u_px=np.where(is_lost, np.nan, u_px),
        lost=is_lost.astype(np.uint8) * 3,
        likely_px=likely,
        u_likely_px=u_likely,
    )


def bridged(lost, hidden=(), wanted=FRAMES, **how):
    return bridged_places(slid().cameras[0], course(lost, **how), wanted, set(hidden), SIZE_PX)


def test_a_lost_stretch_takes_the_likeliest_places_with_their_u_and_looks_bridged():
    found = bridged(range(10, 16))
    assert sorted(found) == list(range(10, 16))
    assert found[12] == (12.0, 24.0, 5.0, "filled")


def test_what_is_too_unsure_stays_empty():
    assert bridged(range(10, 16), u_lost_px=LARGEST_U_SHARE * SIZE_PX + 0.1) == {}


@pytest.mark.parametrize(("n", "is_bridged"), [(int(LONGEST_S * RATE_HZ) + 1, True), (38, False)])
def test_a_long_stretch_is_not_bridged(n, is_bridged):
    assert bool(bridged(range(1, 1 + n))) == is_bridged


def test_hidden_frames_stay_empty_and_a_long_time_behind_something_is_not_led_through():
    n_short = int(LONGEST_HIDDEN_S * RATE_HZ)
    short = range(12, 12 + n_short)
    found = bridged(range(10, 22), hidden=short)
    assert sorted(found) == [frame for frame in range(10, 22) if frame not in short]
    assert bridged(range(10, 22), hidden=range(12, 20)) == {}
    # also where the course itself is sure: nobody saw it there
    assert bridged(range(10, 13), hidden=range(13, 20)) == {}


def test_only_frames_gone_through_count_and_nothing_lies_beside_the_anchors():
    assert sorted(bridged(range(10, 16), wanted=range(12, 40))) == [12, 13, 14, 15]
    beside = course(range(30, 40))
    beside.u_likely_px[30:] = np.nan
    assert bridged_places(slid().cameras[0], beside, FRAMES, set(), SIZE_PX) == {}
