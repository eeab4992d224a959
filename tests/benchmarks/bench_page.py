"""How long the page and the technical sheet of the example project take, pictures included.

Run ``PYTHONPATH=. python tests/benchmarks/bench_page.py [N]``; it prints the median and the longest of N
makings, after one that loads what is loaded once.
"""

from __future__ import annotations

import itertools
import statistics
import sys
import time
from pathlib import Path

import msgspec

from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.report.content import page_content
from deliverylab.core.report.page import page_bytes
from deliverylab.core.report.raster import render_png
from deliverylab.core.report.sheet_content import sheet_content
from deliverylab.core.report.technical_sheet import sheet_bytes
from deliverylab.core.store.projectfile import load_project
from deliverylab.core.workflow.frames import ProjectFrames

PROJECT = Path(__file__).parents[2] / "examples" / "demo.delivery"
PAIR = ("Aldery 1", "Model")
PLAN = Plan(
    priorities=tuple(
        Priority(
            metric=metric, event=event, way="more", value=1.0, u=0.1, target=2.0,
            cue="Let the hips drift before the knee is at the top.", drill="Slow drift to a wall",
            how="Stand a step from a wall, lift the knee, let the hip touch it; 2 × 8, no ball.",
        )
        for metric, event in (("com_forward_speed", "leg_lift"), ("lead_knee_flexion", "release"))
    ),
    recheck_date="2026-10-01",
)  # fmt: skip


def fresh(record: ProjectRecord) -> ProjectRecord:
    """Return the project as just opened: nothing of its deliveries is remembered."""
    return msgspec.structs.replace(
        record,
        deliveries=tuple(msgspec.structs.replace(each, plan=PLAN) for each in record.deliveries),
    )


def timed(record: ProjectRecord) -> tuple[float, float, float, bytes]:
    """Return the seconds of content with pictures, of the page's PDF and of the technical sheet."""
    at = [time.perf_counter()]
    with ProjectFrames(PROJECT) as frames:
        content = page_content(record, *PAIR, frame_source=frames)
    at.append(time.perf_counter())
    pdf = page_bytes(content)
    at.append(time.perf_counter())
    sheet_bytes(sheet_content(record, *PAIR))
    at.append(time.perf_counter())
    first, second, third = (end - start for start, end in itertools.pairwise(at))
    return first, second, third, pdf


def main(n: int = 5) -> None:
    """Print the table."""
    record = load_project(PROJECT)
    started = time.perf_counter()
    timed(fresh(record))
    print(f"first of all, with what is loaded once: {time.perf_counter() - started:.2f} s\n")
    rows = [timed(fresh(record)) for _ in range(n)]
    print("| part | median, s | longest, s |\n|---|---|---|")
    for name, seconds in (
        ("results, differences, chain, pictures", [row[0] for row in rows]),
        ("the page's PDF", [row[1] for row in rows]),
        ("both", [row[0] + row[1] for row in rows]),
        ("technical sheet", [row[2] for row in rows]),
    ):
        print(f"| {name} | {statistics.median(seconds):.2f} | {max(seconds):.2f} |")
    at = time.perf_counter()
    render_png(rows[0][3], dpi=110.0)
    print(f"\none page as a picture for the screen: {time.perf_counter() - at:.2f} s")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
