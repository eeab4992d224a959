"""How long measuring takes: a whole delivery from nothing, and after one moved point.

Run ``python tests/benchmarks/bench_measure.py``.  Times depend on the machine; the ratio of the two
does not.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "core" / "metrics"))
from conftest import film_delivery

from deliverylab.core.metrics import mass_track, pose_results
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.clip_changes import SetPosition
from deliverylab.core.model.project import Project
from deliverylab.core.model.track import Position

N_MOVES = 200


def forget() -> None:
    """Empty what is remembered between evaluations."""
    for module in (mass_track, pose_results):
        for value in vars(module).values():
            if hasattr(value, "cache_clear"):
                value.cache_clear()


def milliseconds(values: list[float]) -> str:
    """Return median and 95th percentile."""
    ordered = sorted(values)
    return (
        f"p50 {1e3 * statistics.median(ordered):.2f} ms, "
        f"p95 {1e3 * ordered[int(0.95 * len(ordered))]:.2f} ms"
    )


def main() -> None:
    """Print the figures."""
    delivery = film_delivery().delivery
    camera = delivery.cameras[0]
    n_positions = sum(len(track) for track in camera.tracks.values())
    print(f"{camera.timing.n_frames} frames, {n_positions} positions")
    project = Project()
    project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    frame = camera.timing.frame_at(camera.marks["foot_contact"].time_s)
    place = camera.tracks["left_knee"].at(frame)
    if place is None:
        raise SystemExit("the knee is not in the picture")
    applied, evaluated, whole = [], [], []
    for number in range(N_MOVES):
        moved = Position(place.x_px + 0.05 * number, place.y_px)
        change = SetPosition(
            delivery=delivery.name, camera=camera.name, landmark="left_knee", frame=frame,
            position=moved,
        )  # fmt: skip
        start = time.perf_counter()
        project.apply(change)
        between = time.perf_counter()
        evaluate(project.delivery(delivery.name))
        end = time.perf_counter()
        applied.append(between - start)
        evaluated.append(end - between)
    for number in range(20):
        forget()
        project.apply(
            SetPosition(
                delivery=delivery.name, camera=camera.name, landmark="left_knee", frame=frame,
                position=Position(place.x_px, place.y_px + number),
            )
        )  # fmt: skip
        start = time.perf_counter()
        evaluate(project.delivery(delivery.name))
        whole.append(time.perf_counter() - start)
    print(f"change applied:              {milliseconds(applied)}")
    print(f"all results, one point moved: {milliseconds(evaluated)}")
    print(f"all results, from nothing:    {milliseconds(whole)}")
    ratio = statistics.median(evaluated) / statistics.median(whole)
    print(f"moved over from nothing:      {ratio:.2f}")


if __name__ == "__main__":
    main()
