"""A ± wider than any difference between pitchers is no measurement."""

from __future__ import annotations

from typing import get_args

import msgspec
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.spec import Contribution
from deliverylab.core.metrics.usefulness import REMEDIES, USEFUL_LIMITS, too_unsure
from deliverylab.core.units import Unit


def test_every_unit_has_a_limit():
    assert USEFUL_LIMITS.keys() == set(get_args(Unit))


def test_the_largest_part_says_what_would_help():
    budget = [Contribution("depth not seen", 11.0), Contribution("placing the landmarks", 2.0)]
    assert too_unsure("deg", 12.0, budget) is None
    absence = too_unsure("deg", 12.6, budget)
    assert "± 25°" in absence.reason
    assert absence.remedy == REMEDIES["depth not seen"]


def test_nearly_every_part_of_a_budget_has_a_remedy(side, rear):
    parts = {p.source for f in (side, rear) for r in evaluate(f.delivery) for p in r.budget}
    without = parts - REMEDIES.keys()
    # What is entered or marked twice explains itself.
    assert all(s.startswith(("marking ", "height", "place of", "radar")) for s in without)


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
