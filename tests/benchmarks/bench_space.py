"""How near the truth two phones come: the README's table of what both cameras measure together.

Run ``PYTHONPATH=. python tests/benchmarks/bench_space.py [N] [WORD ...]``; it prints tables in Markdown,
only of the set-ups whose names hold one of the words.  Every figure is of our own simulation
(`deliverylab.core.synthetic.field_filming`): varied deliveries, 2 px of placing, 10 mm constant beside
the joint in each clip, rubber and two cones taped to 10 mm, focal length unknown by 10 %, phones
levelled to 1 degree, clocks started by hand.  Results are those of the program's own evaluation.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from dataclasses import replace as dataclass_replace

import numpy as np

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.space_sight import SPACE_VIEW
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.synthetic.field_filming import FieldCare, Phone
from tests.core.metrics.solved import (
    REAR,
    SIDE,
    Solved,
    solved_delivery,
    true_value,
    with_true_cameras,
)
from tests.core.workflow.suggested import with_suggested_events

IN_ALL, PER_AXIS = FieldCare(bias_m=0.010 / np.sqrt(3.0)), FieldCare(bias_m=0.010)
"""10 mm between landmark and joint: counted over all directions together, or along each axis."""
SLOW_REAR = Phone(view="rear", rate_hz=60.0)
OBLIQUE = Phone(view="open-side", turn_deg=-45.0)
SET_UPS: dict[str, tuple[FieldCare, tuple[Phone, ...]]] = {
    "side + rear": (IN_ALL, (SIDE, REAR)),
    "side + rear, 10 mm an axis": (PER_AXIS, (SIDE, REAR)),
    "side 240 + rear 60": (IN_ALL, (SIDE, SLOW_REAR)),
    "side + 45°": (IN_ALL, (SIDE, OBLIQUE)),
}
FIRST_SEED = 3000
"""Other deliveries than those by which constants were chosen (1000 to 2059)."""
KINDS = frozenset(
    {"at_event", "between_events", "extreme", "peak_rate", "peak_rate_time", "speed", "peak_speed"}
)
"""What the figure's truth tells directly."""


@dataclass
class Column:
    """Errors of one result over all deliveries."""

    errors: list[float] = field(default_factory=list)
    u: list[float] = field(default_factory=list)
    k: list[float] = field(default_factory=list)
    by_perfect: list[float] = field(default_factory=list)
    n_hidden: int = 0

    def cell(self, decimals: int) -> str:
        """Return RMSE, coverage, and the share shown where that is not nearly all."""
        if not self.errors:
            return "–"
        errors, expanded = np.array(self.errors), np.array(self.u) * np.array(self.k)
        rmse = float(np.sqrt(np.mean(errors**2)))
        cover = 100.0 * np.mean(np.abs(errors) <= expanded)
        text = f"{rmse:.{decimals}f} ({cover:.0f} %)"
        share = len(errors) / (len(errors) + self.n_hidden)
        return text if share > 0.955 else f"{text}, shown {100.0 * share:.0f} %"

    @property
    def added(self) -> float:
        """RMS of what solving the cameras adds to the error."""
        gaps = np.array(self.errors) - np.array(self.by_perfect)
        return float(np.sqrt(np.nanmean(gaps**2))) if len(gaps) else float("nan")


def readings(delivery: Delivery) -> dict[tuple[str, str], tuple[float | None, float, float]]:
    """Return value, u and k of all results that several cameras made together."""
    return {
        (r.metric, r.event): (r.value, r.u or 0.0, r.coverage_factor)
        for r in evaluate(delivery)
        if r.view == SPACE_VIEW and BY_KEY[r.metric].kind in KINDS
    }


def of_set_up(
    care: FieldCare,
    phones: tuple[Phone, ...],
    n: int,
    marked: Callable[[Solved], Delivery] = lambda solved: solved.delivery,
) -> tuple[dict[tuple[str, str], Column], dict[str, list[float]]]:
    """Film, solve and measure n deliveries.

    Parameters
    ----------
    care, phones, n :
        How, from where, how many.
    marked : callable
        Gives the delivery with its events marked in another way than where they truly are.

    Returns
    -------
    columns, cameras : dict
        Errors by metric and event; errors of the clock (ms, beside its u) and directions.
    """
    columns: dict[tuple[str, str], Column] = {}
    cameras: dict[str, list[float]] = {"clock": [], "u clock": [], "directions": []}
    for seed in range(FIRST_SEED, FIRST_SEED + n):
        solved = solved_delivery(seed, phones, care)
        true_cameras = dataclass_replace(solved, delivery=with_true_cameras(solved))
        here, perfect = readings(marked(solved)), readings(marked(true_cameras))
        for (metric, event), (value, u, k) in here.items():
            column = columns.setdefault((metric, event), Column())
            if value is None:
                column.n_hidden += 1
                continue
            true = true_value(solved, metric, event)
            best = perfect[metric, event][0]
            column.errors.append(value - true)
            column.u.append(u)
            column.k.append(k)
            column.by_perfect.append(np.nan if best is None else best - true)
        offsets_s = solved.solution.offsets_s[0, 1] - solved.filmed.offsets_s[1]
        cameras["clock"].append(1e3 * offsets_s)
        cameras["u clock"].append(1e3 * float(solved.solution.u_offset_s(0)[0]))
        cameras["directions"].append(solved.delivery.space.worst_deg or np.nan)
    return columns, cameras


def main(n: int, words: list[str]) -> None:
    """Print one table of all set-ups."""
    chosen = {name: how for name, how in SET_UPS.items() if any(word in name for word in words)}
    found = {name: of_set_up(*how, n) for name, how in chosen.items()}
    if any(word in "suggested" for word in words):
        found["side + rear, events suggested"] = of_set_up(
            IN_ALL, (SIDE, REAR), n, with_suggested_events
        )
    rows = list(dict.fromkeys(key for columns, _ in found.values() for key in columns))
    lines = [f"| | | {' | '.join(found)} |", f"|---|---|{'---|' * len(found)}"]
    for metric, event in rows:
        spec = BY_KEY[metric]
        cells = [
            columns.get((metric, event), Column()).cell(spec.decimals + 1)
            for columns, _ in found.values()
        ]
        lines.append(
            f"| {metric} ({spec.unit}) | {event.replace('_', ' ')} | {' | '.join(cells)} |"
        )
    lines.append(f"\nRMSE (share of stated ± that hold the truth); n = {n}\n")
    for name, (columns, cameras) in found.items():
        pooled = [
            abs(e) <= u * k
            for c in columns.values()
            for e, u, k in zip(c.errors, c.u, c.k, strict=True)
        ]
        angles = [c.added for (m, _), c in columns.items() if BY_KEY[m].unit == "deg" and c.errors]
        clock, u_clock = np.array(cameras["clock"]), np.array(cameras["u clock"])
        lines.append(
            f"{name}: clock {np.sqrt(np.mean(clock**2)):.2f} ms RMS, within 2 u "
            f"{100 * np.mean(np.abs(clock) < 2 * u_clock):.0f} %; solving adds at most "
            f"{max(angles):.2f}° to an angle; all ± {100 * np.mean(pooled):.1f} % ({len(pooled)})"
        )
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main(int((sys.argv[1:2] or ["50"])[0]), sys.argv[2:] or [""])
