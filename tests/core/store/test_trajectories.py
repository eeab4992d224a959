from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.errors import InputValueError


def test_times_run_from_the_start(thrown):
    assert thrown.times_s[[0, 1, -1]] == pytest.approx([0.4, 0.4 + 1 / 239.76, 0.4 + 239 / 239.76])


def test_parts_that_do_not_belong_together_are_refused(thrown):
    for wrong in (
        {"labels": ("neck",)},
        {"residuals_m": thrown.residuals_m[1:]},
        {"descriptions": ("one",)},
        {"rate_hz": 0.0},
        {"points_m": thrown.points_m[:0], "residuals_m": thrown.residuals_m[:0]},
    ):
        with pytest.raises(InputValueError, match="trajectories need"):
            replace(thrown, **wrong)
