"""What errs alike in several deliveries, and what errs anew in each: by the lines of their budgets.

References
----------
.. [1] JCGM 100:2008, 5.2 (inputs that several values share).
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from deliverylab.core.metrics.remedies import CAMERAS, CLOCKS, HEIGHT, MARKING, SMOOTHING, TIMING
from deliverylab.core.metrics.spec import PLACING, Contribution, Result
from deliverylab.core.model.delivery import Delivery

OWN_SOURCES = frozenset(
    {
        PLACING,
        TIMING,
        SMOOTHING,
        CLOCKS,
        "placing the ball",
        "middle of the ball",
        "time stamps",
        "where the ball is thrown to",
        "radar gun",
    }
)
"""Sources that err anew in every delivery; marks of events are among them, whatever their event."""
STAND_SOURCES = frozenset(
    {
        "scale length",
        "plane of the scale",
        "level of the camera",
        "yaw of the camera",
        "distance of the camera",
    }
)
"""Sources that err alike in what one camera, as it is stated, filmed on one day: how it stands, and
the stick that was laid.  Clicked anew, these are the same."""
CLICKED_SOURCES = frozenset({"scale points", "place of the rubber"})
"""Sources that err alike as long as the very same click is used."""
ATHLETE_SOURCES = frozenset({HEIGHT, "segment weights"})
"""Sources that err alike in all of an athlete's deliveries; all others (depth, one plane) do so in
those that are seen from the same view."""


@dataclass(frozen=True)
class Taken:
    """One delivery's result with the delivery that it is of."""

    delivery: Delivery
    result: Result


def is_own(part: Contribution) -> bool:
    """Return whether a line of a budget errs anew in every delivery."""
    return part.source in OWN_SOURCES or part.source.startswith(MARKING)


def own_u(result: Result) -> float:
    """Return the part of u that errs anew in every delivery, in the metric's unit."""
    return math.sqrt(sum(part.u**2 for part in result.budget if is_own(part)))


def shared_parts(taken: Sequence[Taken]) -> dict[tuple[str, Hashable], float]:
    """Return what the mean of results keeps of each part that does not average out.

    Parameters
    ----------
    taken : sequence of Taken
        Shown results of one metric and event.

    Returns
    -------
    dict of (str, Hashable) to float
        By source and by what it is shared through: Σu/n over those that share it, for they err
        alike.  Different entries are independent.
    """
    parts: dict[tuple[str, Hashable], float] = {}
    for one in taken:
        lines: dict[tuple[str, Hashable], float] = {}
        for part in one.result.budget:
            if is_own(part):
                continue
            key = (part.source, _shared_through(part.source, one))
            lines[key] = math.hypot(lines.get(key, 0.0), part.u)
        for key, u in lines.items():
            parts[key] = parts.get(key, 0.0) + u / len(taken)
    return parts


def _shared_through(source: str, one: Taken) -> Hashable:
    """Return what another delivery must have in common to err alike in this part."""
    athlete, camera = one.delivery.athlete.name, one.delivery.camera(one.result.camera or None)
    if source in ATHLETE_SOURCES:
        return athlete
    if source == CAMERAS:
        return one.delivery.space.field_inputs if one.delivery.space else one.delivery.name
    scale = camera.scale
    if source in CLICKED_SOURCES:
        return (one.delivery.date, scale and (scale.a, scale.b, scale.rubber))
    if source in STAND_SOURCES:
        stated = scale and (scale.length_m, scale.distance_m, scale.yaw_deg, scale.vertical_deg)
        return (one.delivery.date, camera.view, camera.width_px, camera.height_px, stated)
    return (athlete, one.result.view)
