"""Deliveries on a field that several tests solve: seen by two phones, at few frames a second."""

from __future__ import annotations

from functools import cache

import numpy as np

from deliverylab.core.cameras.joint_solve import Solution, solve_cameras
from deliverylab.core.synthetic.field_filming import FilmedField, Phone, film_field
from deliverylab.core.synthetic.population import varied_delivery

SIDE, REAR = Phone(view="open-side", rate_hz=120.0), Phone(view="rear", rate_hz=60.0)


@cache
def standard(seed: int = 1) -> FilmedField:
    """Film one delivery from the side and from behind, on the standard field."""
    rng = np.random.default_rng(seed)
    return film_field(varied_delivery(rng), (SIDE, REAR), rng)


@cache
def solved(seed: int = 1) -> Solution:
    """Solve it, the offset looked for."""
    filmed = standard(seed)
    return solve_cameras(filmed.set_ups, filmed.points, [filmed.delivery], search_s=0.2)
