"""A ± wider than any difference between pitchers is no measurement."""

from __future__ import annotations

from typing import get_args

import msgspec
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.remedies import REMEDIES
from deliverylab.core.metrics.spec import Contribution
from deliverylab.core.metrics.usefulness import USEFUL_LIMITS, too_unsure
from deliverylab.core.units import Unit


def test_every_unit_has_a_limit():
    assert USEFUL_LIMITS.keys() == set(get_args(Unit))


def test_the_largest_part_says_what_would_help():
    budget = [Contribution("depth not seen", 11.0), Contribution("placing the landmarks", 2.0)]
    assert too_unsure("deg", 24.0, budget) is None
    absence = too_unsure("deg", 25.2, budget)
    assert "± 25°" in absence.reason
    assert absence.remedy == REMEDIES["depth not seen"]


def test_many_small_lines_of_one_source_count_together():
    budget = [Contribution("depth not seen", 8.0)]
    budget += [Contribution("placing the landmarks", 6.0, role) for role in ("neck", "head_top")]
    assert too_unsure("deg", 30.0, budget).remedy == REMEDIES["placing the landmarks"]


@pytest.mark.parametrize("u_yaw_deg", [2.0, 45.0])
def test_an_unknown_yaw_hides_what_hangs_on_it(side, u_yaw_deg):
    camera = side.delivery.cameras[0]
    scale = msgspec.structs.replace(camera.scale, u_yaw_deg=u_yaw_deg)
    camera = msgspec.structs.replace(camera, scale=scale)
    delivery = msgspec.structs.replace(side.delivery, cameras=(camera,))
    tilt = next(
        r for r in evaluate(delivery) if (r.metric, r.event) == ("trunk_forward_tilt", "release")
    )
    assert tilt.is_shown == (u_yaw_deg == 2.0)
    if not tilt.is_shown:
        assert "too unsure" in tilt.reason
