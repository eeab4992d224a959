"""Expectations of an invented set-up."""

from __future__ import annotations

import math

from deliverylab.shell.set_up_plan import Expectation


def expected(name="Stride", *, error=1.0, margin=3.0, n_shown=10, **fields) -> Expectation:
    """Return what a set-up makes of one metric."""
    is_shown = n_shown > 0
    known = {
        "name": name,
        "when": "at release",
        "unit": "deg",
        "decimals": 0,
        "error": error if is_shown else math.nan,
        "margin": margin if is_shown else math.nan,
        "limit": 12.0,
        "n": 10,
        "n_shown": n_shown,
        "limited_by": "placing the landmarks" if is_shown else "",
        "reason": "" if n_shown == 10 else "not seen from there",
        "remedy": "" if n_shown == 10 else "film from elsewhere",
        "row": {"metric": name, "unit": "deg"},
    }
    return Expectation(**known | fields)
