"""Deliveries drawn from the two columns of a published table, filmed from the side and measured.

Drawn are the stride, the stride knee at contact and the height; all else is the figure's usual delivery.
Heights and the spread of a knee from event to event are judgement: the table prints group spreads only.
"""

from __future__ import annotations

import math
from dataclasses import replace

import msgspec
import numpy as np

from deliverylab.core.compare.difference import compare_parties
from deliverylab.core.compare.parties import Party
from deliverylab.core.compare.published import PUBLISHED
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.filming import FilmingSetUp
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.workflow.trust_delivery import Care, simulated_delivery

GROUPS = {
    level: {
        (row.metric, row.event): (row.mean, row.spread) for row in PUBLISHED if row.level == level
    }
    for level in ("youth", "college")
}
"""Mean and spread by metric and event."""
N_OF = {"youth": 32, "college": 30}
HEIGHT_M = {"youth": (1.65, 0.08), "college": (1.76, 0.06)}  # judgement
KNEE_AT = {"foot_contact": 2, "full_layback": 3, "release": 4}
"""Where an event's knee stands among the figure's instants."""
SET_UP = FilmingSetUp()


def compared_groups(seed: int) -> tuple[Difference, ...]:
    """Draw both groups, film each delivery with one square side camera, measure and compare."""
    rng = np.random.default_rng(seed)
    youth, college = (
        Party(f"32 and 30: {level}", tuple(_thrown(level, n, rng) for n in range(N_OF[level])))
        for level in ("youth", "college")
    )
    return compare_parties(youth, college)


def _thrown(level: str, number: int, rng: np.random.Generator) -> Delivery:
    """Draw until the figure can do what was drawn, then film and place it as a person would."""
    while True:
        try:
            synthetic = build_delivery(_spec(level, rng), SET_UP.rate_hz)
        except InputValueError:
            continue
        at = {
            round(time_s * SET_UP.rate_hz) + step
            for event, time_s in synthetic.events.items()
            for step in (-1, 0, 1)
            if event in {"leg_lift", "foot_contact", "foot_plant"}
        }
        made = simulated_delivery(synthetic, SET_UP, Care(), rng, frames=at).delivery
        name = f"{level} {number}"
        return msgspec.structs.replace(
            made, name=name, athlete=msgspec.structs.replace(made.athlete, name=name)
        )


def _spec(level: str, rng: np.random.Generator) -> DeliverySpec:
    group, base = GROUPS[level], DeliverySpec()
    knee = list(base.lead_knee_flexion_deg)
    shared = rng.standard_normal()
    for event, place in KNEE_AT.items():
        mean, spread = group["lead_knee_flexion", event]
        own = math.sqrt(0.7) * shared + math.sqrt(0.3) * rng.standard_normal()
        knee[place] = mean + spread * own
    height, height_sd = HEIGHT_M[level]
    return replace(
        base,
        height_m=float(rng.normal(height, height_sd)),
        stride_percent_height=float(rng.normal(*group["stride_length", ""])),
        lead_knee_flexion_deg=tuple(knee),
    )
