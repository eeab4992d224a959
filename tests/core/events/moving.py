"""Courses of a drawn delivery, without a camera: what the rules see where nothing is noisy."""

from __future__ import annotations

import numpy as np

from deliverylab.core.events.body_courses import SUGGESTION_ROLES, BodyCourses
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.landmarks import key_for_role

COLUMNS = {"side": [0, 2], "end": [1, 2], "space": [0, 1, 2]}


def places(truth, role):
    """Return a landmark's places in space, m."""
    return truth.positions_m[key_for_role(role, truth.spec.hand)]


def drawn(rate_hz=240.0, **spec):
    """Return a delivery of the published means."""
    return build_delivery(DeliverySpec(**spec), rate_hz)


def courses(truth, sight="side", *, roles=SUGGESTION_ROLES, rows=slice(None), noise_m=0.0, seed=0):
    """Return the courses that a sight shows of some roles, in some frames."""
    rng = np.random.default_rng(seed)
    seen = {}
    for role in roles:
        seen[role] = places(truth, role)[rows][:, COLUMNS[sight]]
        seen[role] = seen[role] + rng.normal(0.0, noise_m, seen[role].shape)
    return BodyCourses.of(sight, dict.fromkeys(seen, truth.times_s[rows]), seen)
