"""How long measuring takes: a whole delivery from nothing, and after one moved point.

Run ``PYTHONPATH=. python tests/benchmarks/bench_measure.py``.  Times depend on the machine; the ratio of the two
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
from deliverylab.core.metrics.curves import metric_curve
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.clip_changes import SetPosition
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import Project
from deliverylab.core.model.track import Position
from tests.core.metrics.solved import solved_delivery

N_MOVES = 200
N_MOVES_IN_SPACE = 40
N_SOLVED = 6


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


def moved_once(delivery: Delivery, landmark: str, by_px: float) -> Delivery:
    """Return the delivery with one point of its first clip moved."""
    project = Project()
    project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    camera = delivery.cameras[0]
    frame = camera.timing.n_frames // 2
    place = camera.tracks[landmark].at(frame)
    if place is None:
        raise SystemExit(f"the {landmark} is not in the picture")
    position = Position(place.x_px + by_px, place.y_px, place.u_px)
    project.apply(
        SetPosition(
            delivery=delivery.name, camera=camera.name, landmark=landmark, frame=frame,
            position=position,
        )
    )  # fmt: skip
    return project.delivery(delivery.name)


def in_space() -> None:
    """Print the figures of two solved cameras, all landmarks in all frames."""
    deliveries = [solved_delivery(seed).delivery for seed in range(N_SOLVED)]
    frames = [camera.timing.n_frames for camera in deliveries[0].cameras]
    evaluate(deliveries[0])
    first, moved, course = [], {}, []
    for delivery in deliveries[1:]:
        start = time.perf_counter()
        evaluate(delivery)
        first.append(time.perf_counter() - start)
        start = time.perf_counter()
        metric_curve(delivery, "separation", delivery.cameras[0].name)
        course.append(time.perf_counter() - start)
    for landmark in ("left_knee", "right_wrist", "left_hip"):
        for number in range(N_MOVES_IN_SPACE):
            delivery = moved_once(deliveries[1], landmark, 0.05 * (number + 1))
            start = time.perf_counter()
            evaluate(delivery)
            moved.setdefault(landmark, []).append(time.perf_counter() - start)
    print(f"two solved cameras, {' and '.join(map(str, frames))} frames")
    print(f"all results, from nothing:    {milliseconds(first)}")
    for landmark, times in moved.items():
        print(f"one {landmark.replace('_', ' ')} moved:".ljust(30) + milliseconds(times))
    print(f"a course over the clip:       {milliseconds(course)}")


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
    in_space()


if __name__ == "__main__":
    main()
