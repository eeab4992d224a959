"""Deliveries of known results for the tests of this folder: what `evaluate` would say is chosen."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from deliverylab.core.compare import pooled
from deliverylab.core.compare.shared_errors import Taken
from deliverylab.core.metrics import evaluate as evaluate_module
from deliverylab.core.metrics.spec import PLACING, Contribution, Result
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.plan import Plan
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from tests.core.compare.results import result

YAW, DEPTH = "yaw of the camera", "depth not seen"


def delivery(
    name: str,
    *,
    athlete: str = "Ana",
    date: str = "2026-05-14",
    view: str = "open-side",
    yaw_deg: float = 0.0,
    plan: Plan | None = None,
    hand: str = "right",
) -> Delivery:
    """Return a delivery without positions, filmed by one scaled camera."""
    scale = PlanarScale(a=Point(0.0, 0.0), b=Point(100.0, 0.0), length_m=1.0, yaw_deg=yaw_deg)
    camera = Camera(
        name="main", view=view, width_px=1280, height_px=720,
        timing=Timing(n_frames=10, stored_rate="240"), scale=scale,
    )  # fmt: skip
    return Delivery(
        name=name, athlete=Athlete(name=athlete, hand=hand), cameras=(camera,), date=date, plan=plan
    )


def knee(
    of: Delivery, value: float | None, *, own: float = 2.0, yaw: float = 0.0, depth: float = 0.0,
    **changes: object,
) -> Result:  # fmt: skip
    """Return a lead knee at contact with these lines in its budget; None is not shown."""
    view = of.cameras[0].view
    if value is None:
        reason = {"reason": "no scale", "status": "not_shown"} | changes
        return result(delivery=of.name, value=None, u=None, view=view, camera="main", **reason)
    lines = [(PLACING, own), (YAW, yaw), (DEPTH, depth)]
    budget = tuple(Contribution(source, u) for source, u in lines if u > 0.0)
    u = sum(part.u**2 for part in budget) ** 0.5
    made = result(delivery=of.name, value=value, u=u, budget=budget, view=view, camera="main")
    return msgspec.structs.replace(made, **changes)


def taken(values: Sequence[float | None], **parts: float) -> list[Taken]:
    """Return results of as many deliveries of one athlete and day."""
    ones = [delivery(f"Ana {number}") for number, _ in enumerate(values, start=1)]
    return [Taken(one, knee(one, value, **parts)) for one, value in zip(ones, values, strict=True)]


def remember(of: Delivery, *results: Result) -> Delivery:
    """Have these taken for the delivery's results, alone and together with others."""
    pooled._RESULTS[id(of)] = (of, results)
    evaluate_module._LATEST.insert(0, (of, results))
    return of
