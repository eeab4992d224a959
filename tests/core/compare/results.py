"""Results and differences with chosen numbers, for the tests of this folder."""

from __future__ import annotations

from typing import Any

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Result


def result(**changes: Any) -> Result:
    """Return a measured lead knee at contact, with these fields changed."""
    fields: dict[str, Any] = {
        "delivery": "Ana 1",
        "metric": "lead_knee_flexion",
        "event": "foot_contact",
        "name": "Lead knee flexion",
        "phase": "foot contact",
        "unit": "deg",
        "decimals": 0,
        "status": "measured",
        "value": 40.0,
        "u": 2.0,
    }
    return Result(**(fields | changes))


def difference(**changes: Any) -> Difference:
    """Return a clear difference, with these fields changed; metric and event go to its results."""
    what = {key: changes.pop(key) for key in ("metric", "event") if key in changes}
    fields: dict[str, Any] = {
        "a": result(**what),
        "b": result(**what, delivery="Ben 2", value=48.0),
        "verdict": "clear",
        "d": -8.0,
        "u": 2.0,
        "score": 1.0,
    }
    return Difference(**(fields | changes))
