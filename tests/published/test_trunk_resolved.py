"""How sure one square side camera is of the trunk at release, by deliveries a side.

Common practice: an instructor points out about ten degrees of forward trunk at release, so that U of
the difference should be half of that.
"""

from __future__ import annotations

import math
from dataclasses import replace

import msgspec
import pytest

from deliverylab.core.compare.difference import compare_parties
from deliverylab.core.compare.parties import party_from
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from tests.published.filmed import filmed

WANTED_U_DEG = 5.0


def _side(name: str, trunk_deg: float, n: int) -> list[Delivery]:
    """Return n throws of a steady athlete; the yaw is stated to 1°, placing as judged."""
    spec = DeliverySpec()
    spec = replace(spec, trunk_forward_deg=(*spec.trunk_forward_deg[:4], trunk_deg))
    one = filmed(name, spec, u_px=math.nan)
    camera = one.cameras[0]
    square = msgspec.structs.replace(camera.scale, u_yaw_deg=1.0)
    camera = msgspec.structs.replace(camera, scale=square)
    return [
        msgspec.structs.replace(one, name=f"{name} {number}", cameras=(camera,))
        for number in range(n)
    ]


@pytest.mark.parametrize(("n", "is_enough"), [(1, False), (2, False), (3, True), (4, True)])
def test_three_deliveries_a_side_resolve_half_of_ten_degrees(n, is_enough):
    found = compare_parties(party_from(_side("A", 15.4, n)), party_from(_side("B", 25.4, n)))
    trunk = next(d for d in found if (d.metric, d.event) == ("trunk_forward_tilt", "release"))
    assert trunk.d == pytest.approx(-10.0, abs=1.0)
    assert (trunk.expanded_u <= WANTED_U_DEG) is is_enough
    # what the camera's yaw and the hidden depth leave does not average out
    assert trunk.expanded_u > 2.0
