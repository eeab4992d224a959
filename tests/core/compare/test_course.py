from __future__ import annotations

import math

from deliverylab.core.compare.change import ChangeOfMean
from deliverylab.core.compare.course import Course, Target, VisitMean
from deliverylab.core.numerics.agreement import Spread


def course(**changes):
    visits = tuple(
        VisitMean(date, 3, value, 1.0, 2.0, 1.5, ("Ana 1", "Ana 2", "Ana 3"), (value,) * 3)
        for date, value in (("2026-05-01", 40.0), ("2026-06-01", 46.0))
    )
    fields = {
        "metric": "lead_knee_flexion", "event": "release", "name": "Lead knee flexion",
        "phase": "release", "unit": "deg", "decimals": 0, "visits": visits,
        "error": Spread(2.0, 4), "step": None, "target": None, "left_out": (),
        "change": ChangeOfMean(
            "2026-05-01", "2026-06-01", 6.0, 4.5, 4.0, "changed", "more bent"
        ),
    }  # fmt: skip
    return Course(**(fields | changes))


def test_it_is_changed_where_any_of_its_changes_is():
    none = ChangeOfMean("a", "b", 1.0, 4.0, 4.0, "no detectable change", "")
    assert course().is_changed
    assert not course(change=none).is_changed
    assert course(change=none, step=course().change).is_changed
    assert not course(change=None).is_changed


def test_rows_are_one_a_visit_with_what_changed():
    target = Target(50.0, "more", "2026-05-01", "not reached")
    first, last = course(target=target).as_rows()
    assert (first["date"], first["value"], first["n"]) == ("2026-05-01", 40.0, 3)
    assert (last["date"], last["value"], last["U"]) == ("2026-06-01", 46.0, 2.0)
    for row in (first, last):
        assert (row["change"], row["detectable_change"], row["verdict"]) == (6.0, 4.5, "changed")
        assert (row["target"], row["target_reached"]) == (50.0, "not reached")
    bare = course(change=None, error=Spread(math.nan, 0)).as_rows()[0]
    assert (bare["SEM"], bare["change"], bare["verdict"], bare["target"]) == (None, None, "", None)
