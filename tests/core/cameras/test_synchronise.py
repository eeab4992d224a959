from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.cameras.synchronise import find_offset
from deliverylab.core.errors import InputValueError
from tests.core.cameras.filmed import standard


def test_true_cameras_find_the_offset_within_its_u():
    filmed = standard()
    curve = find_offset(filmed.cameras, filmed.delivery, 1)
    error = curve.offset_s - filmed.offsets_s[1]
    assert abs(error) < 3.0 * curve.u_offset_s
    # 120 and 60 frames a second, 2 px: a few tenths of a millisecond
    assert 1e-5 < curve.u_offset_s < 5e-4


def test_the_curve_has_its_lowest_point_at_the_offset_and_rises_beside_it():
    filmed = standard()
    curve = find_offset(filmed.cameras, filmed.delivery, 1)
    lowest = np.nanargmin(curve.misses)
    assert abs(curve.shifts_s[lowest] - filmed.offsets_s[1]) <= 0.004
    assert curve.misses[lowest] == pytest.approx(1.0, abs=0.2)
    assert np.nanmedian(curve.misses) > 2.0


def test_clips_far_apart_need_a_start():
    filmed = standard()
    apart = replace(filmed.delivery, offsets_s=(30.0,))
    with pytest.raises(InputValueError, match="share no time"):
        find_offset(filmed.cameras, apart, 1)
