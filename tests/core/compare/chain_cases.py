"""Differences that line up, for the tests of chains."""

from __future__ import annotations

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.spec import Result


def compared(metric_key: str, event: str, times_u: float | None) -> Difference:
    """Return a difference of so many U, with its sign; None could not be compared.

    Below 1 it is within error.
    """
    spec = metric(metric_key)

    def result(delivery: str, value: float) -> Result:
        return Result(
            delivery=delivery, metric=metric_key, event=event, name=spec.name, phase=spec.phase,
            unit=spec.unit, decimals=spec.decimals, status="measured", value=value, u=0.7,
        )  # fmt: skip

    if times_u is None:
        sides = {"a": result("Ana 1", 0.0), "b": result("Ben 2", 0.0)}
        return Difference(**sides, verdict="not_comparable", reason="another view")
    is_clear = abs(times_u) > 1.0
    return Difference(
        a=result("Ana 1", 20.0 + 2.0 * times_u),
        b=result("Ben 2", 20.0),
        verdict="clear" if is_clear else "within_error",
        d=2.0 * times_u,
        u=1.0,
        words=(spec.more if times_u > 0 else spec.less) if is_clear else "",
    )


SLOW_START = ("com_forward_speed", "leg_lift")
FOOT = ("lead_foot_direction", "foot_plant")
PELVIS = ("pelvis_rotation", "foot_contact")
SHOULDERS = ("shoulder_line_rotation", "foot_contact")
SEPARATION = ("separation", "foot_contact")
TRUNK = ("trunk_forward_tilt", "release")
EXTENSION = ("release_extension", "release")


def line_up(**changed: float | None) -> list[Difference]:
    """Return a front foot that flies open, and all that commonly follows; some changed by metric."""
    sizes: dict[tuple[str, str], float | None] = {
        FOOT: -3.0, PELVIS: 2.5, SHOULDERS: 2.2, SEPARATION: -2.0, TRUNK: -1.8, EXTENSION: -1.6,
        ("arm_slot", "release"): 1.9, ("lead_knee_height", "leg_lift"): 0.3,
    }  # fmt: skip
    return [compared(*key, changed.get(key[0], size)) for key, size in sizes.items()]
