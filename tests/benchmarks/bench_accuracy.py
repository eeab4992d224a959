"""How near the truth one camera comes: the README's table of error, coverage and share shown.

Run ``python tests/benchmarks/bench_accuracy.py [N]``; it prints a table in Markdown.  Every figure is
of our own simulation (`deliverylab.core.workflow.trust`): varied deliveries around published means,
placed with the program's default u, everything stated lying around the truth by its u.
"""

from __future__ import annotations

import sys

from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.synthetic.filming import FilmingSetUp
from deliverylab.core.workflow.trust import MetricTrust, trust
from deliverylab.core.workflow.trust_delivery import Care

UNKNOWN_YAW = Care(u_yaw_deg=5.0)
SET_UPS: dict[str, tuple[FilmingSetUp, Care]] = {
    "side, square, 10 m": (FilmingSetUp(), Care()),
    "side, 10° off, 10 m": (FilmingSetUp(yaw_deg=10.0), Care()),
    "side, yaw known to ± 10°": (FilmingSetUp(), UNKNOWN_YAW),
    "side, square, 5 m": (FilmingSetUp(distance_m=5.0), Care()),
    "rear, square, 10 m": (FilmingSetUp(view="rear"), Care()),
    "rear, 10° off, 10 m": (FilmingSetUp(view="rear", yaw_deg=10.0), Care()),
    "rear, yaw known to ± 10°": (FilmingSetUp(view="rear"), UNKNOWN_YAW),
}


def cell(row: MetricTrust | None) -> str:
    """Return RMSE, coverage and the share shown where that is not nearly all."""
    if row is None or not row.n_shown:
        return "–"
    text = f"{row.rmse:.{row.decimals + 1}f} ({100.0 * row.coverage:.0f} %)"
    return text if row.share_shown > 0.955 else f"{text}, shown {100.0 * row.share_shown:.0f} %"


def main(n: int = 200) -> None:
    """Print the table."""
    table: dict[tuple[str, str], dict[str, MetricTrust]] = {}
    for name, (set_up, care) in SET_UPS.items():
        for row in trust(set_up, care, n=n):
            if row.n_shown and BY_KEY[row.metric].kind != "interval":
                table.setdefault((row.metric, row.event), {})[name] = row
    lines = [f"| | | {' | '.join(SET_UPS)} |", f"|---|---|{'---|' * len(SET_UPS)}"]
    for (metric, event), columns in table.items():
        cells = " | ".join(cell(columns.get(name)) for name in SET_UPS)
        lines.append(f"| {metric} ({BY_KEY[metric].unit}) | {event.replace('_', ' ')} | {cells} |")
    lines.append(f"\nRMSE (coverage of the stated ±); n = {n}")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:2]))
