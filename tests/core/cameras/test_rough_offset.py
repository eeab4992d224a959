from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.cameras.body_tracks import smooth_alike
from deliverylab.core.cameras.rough_offset import rough_offset_s
from tests.core.workflow.two_phones import two_phone_delivery


@pytest.mark.parametrize("late_s", [0.0, 3.0, -7.0])
def test_clips_that_start_seconds_apart_find_each_other(late_s):
    filmed = two_phone_delivery(3).filmed
    first, second = filmed.delivery.tracks
    moved = replace(second, times_s=second.times_s + late_s)
    found = rough_offset_s(*smooth_alike((first, moved)))
    assert found is not None
    # the search that follows reaches 0.2 s on both sides
    assert found + late_s == pytest.approx(filmed.offsets_s[1], abs=0.05)


def test_without_movement_that_agrees_there_is_no_offset():
    first, second = two_phone_delivery(3).filmed.delivery.tracks
    rng = np.random.default_rng(1)
    still = replace(second, places_px=rng.normal(500.0, 2.0, second.places_px.shape))
    assert rough_offset_s(*smooth_alike((first, still))) is None
    nothing = replace(second, places_px=np.full_like(second.places_px, np.nan))
    assert rough_offset_s(*smooth_alike((first, nothing))) is None
