"""Two phones that nobody surveyed: clocks, time of a solve, places of landmarks in space.

Run ``python tests/benchmarks/bench_two_cameras.py [N] [SETUP ...]``; for the words ``blunders`` and
``fields`` it prints what is found of mistakes and what less of a field gives.  How near the truth
results come is told by `bench_space.py`.
Every figure is of our own simulation (`deliverylab.core.synthetic.field_filming`): varied deliveries,
2 px of placing, 10 mm (along each axis, or in all) constant per landmark and camera, rubber and two
cones taped to 10 mm, focal length unknown by 10 %, phones levelled to 1 degree, clocks started by hand, true event times.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace

import numpy as np

from deliverylab.core.cameras.body_tracks import smooth_tracks
from deliverylab.core.cameras.control import (
    ControlPoint,
    cone,
    places_of,
    pole,
    rubber,
    standard_field,
    two_cones,
    with_place,
)
from deliverylab.core.cameras.diagnosis import diagnose
from deliverylab.core.cameras.joint_solve import Solution, solve_cameras
from deliverylab.core.cameras.triangulate import SpacePoints, in_space, triangulate
from deliverylab.core.metrics import measures
from deliverylab.core.metrics.pose import Pose
from deliverylab.core.synthetic.field_filming import FieldCare, FilmedField, Phone, film_field
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.vocabulary.field import BY_KEY
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, ROLE_KEYS, key_for_role

SIDE, REAR = Phone(view="open-side"), Phone(view="rear")
OBLIQUE = Phone(view="open-side", turn_deg=-45.0)
PER_AXIS, IN_ALL = FieldCare(bias_m=0.010), FieldCare(bias_m=0.010 / np.sqrt(3.0))
SET_UPS = {
    "side + rear, 240 + 240, 10 mm an axis": (PER_AXIS, (SIDE, REAR)),
    "side + rear, 240 + 240, 10 mm in all": (IN_ALL, (SIDE, REAR)),
    "side + rear, 240 + 60, 10 mm an axis": (PER_AXIS, (SIDE, Phone(view="rear", rate_hz=60.0))),
    "side + 45°, 240 + 240, 10 mm an axis": (PER_AXIS, (SIDE, OBLIQUE)),
}
AT_CONTACT = (
    measures.elbow_flexion,
    measures.separation,
    measures.pelvis_rotation,
    measures.shoulder_line_rotation,
    measures.lead_knee_flexion,
    measures.trunk_forward_tilt,
    measures.trunk_lateral_tilt,
    measures.shoulder_abduction,
    measures.horizontal_abduction,
)
"""Angles of which the worst is told."""
CUTOFF_HZ = {"trunk": 12.0, "leg": 14.0, "arm": 20.0}
"""By what part of the body a quantity hangs on."""
PART_OF = {
    measures.pelvis_rotation: "trunk",
    measures.shoulder_line_rotation: "trunk",
    measures.separation: "trunk",
    measures.trunk_forward_tilt: "trunk",
    measures.trunk_lateral_tilt: "trunk",
    measures.lead_knee_flexion: "leg",
}


def pose_of(points: np.ndarray, truth: SyntheticDelivery) -> Pose:
    """Name points (..., n_landmarks, 3) by role; left-handers mirrored, as the catalogue has it."""
    mirror = np.array([1.0, -1.0 if truth.spec.hand == "left" else 1.0, 1.0])
    column = {key: row for row, key in enumerate(LANDMARK_KEYS)}
    named = {r: points[..., column[key_for_role(r, truth.spec.hand)], :] for r in ROLE_KEYS}
    height = np.array(truth.spec.height_m)
    return Pose({role: place * mirror for role, place in named.items()}, height)


def true_points(truth: SyntheticDelivery, times_s: np.ndarray) -> np.ndarray:
    """Return the joints' true places, shape (n, n_landmarks, 3), m."""
    places = truth.motion.positions_at(times_s)
    return np.stack([places[key] for key in LANDMARK_KEYS], axis=1)


class Case:
    """One delivery, solved, and the same places seen by perfect cameras."""

    def __init__(self, truth: SyntheticDelivery, filmed: FilmedField, solution: Solution) -> None:
        self.truth, self.filmed, self.solution = truth, filmed, solution
        self.tracks = {
            part: tuple(smooth_tracks(each, cutoff_hz) for each in filmed.delivery.tracks)
            for part, cutoff_hz in CUTOFF_HZ.items()
        }

    def space(self, times_s: np.ndarray, part: str) -> SpacePoints:
        return in_space(self.solution, 0, self.tracks[part], times_s)

    def perfect(self, times_s: np.ndarray, part: str) -> np.ndarray:
        tracks = self.tracks[part]
        clocks = [times_s - offset for offset in self.filmed.offsets_s]
        places = np.stack([each.at(t) for each, t in zip(tracks, clocks, strict=True)])
        u = np.stack([np.hypot(each.u_px, each.bias_px) for each in tracks])
        return triangulate(self.filmed.cameras, places, u[:, None]).points_m

    def added(self, measure) -> float:
        """Return what solving the cameras changes of an angle at foot contact."""
        times, part = np.array([self.truth.events["foot_contact"]]), PART_OF.get(measure, "arm")
        points = (self.space(times, part).points_m[0], self.perfect(times, part)[0])
        seen, perfect = (float(measure(pose_of(each, self.truth))) for each in points)
        return seen - perfect

    def added_to_stride(self) -> float:
        """Return the same of the stride, % of height."""
        times = np.array([self.truth.events["leg_lift"], self.truth.events["foot_plant"]])
        seen, perfect = (
            float(measures.stride_length(*(pose_of(each, self.truth) for each in points)))
            for points in (self.space(times, "leg").points_m, self.perfect(times, "leg"))
        )
        return seen - perfect

    def landmark_errors(self) -> np.ndarray:
        times = np.linspace(self.truth.events["leg_lift"], self.truth.events["release"], 40)
        gap = self.space(times, "arm").points_m - true_points(self.truth, times)
        return np.sqrt(np.mean(np.sum(gap**2, axis=-1), axis=0))


def rms(values) -> float:
    return float(np.sqrt(np.nanmean(np.square(values))))


def run(name: str, care: FieldCare, phones: tuple[Phone, ...], n: int) -> None:
    """Film, solve and print one set-up."""
    offsets, times, squares, by_landmark = [], [], [], []
    for seed in range(n):
        rng = np.random.default_rng(seed)
        truth = varied_delivery(rng)
        filmed = film_field(truth, phones, rng, care=care)
        start = time.perf_counter()
        solution = solve_cameras(filmed.set_ups, filmed.points, [filmed.delivery], search_s=0.2)
        times.append(time.perf_counter() - start)
        u_ms = 1e3 * solution.u_offset_s(0)[0]
        offsets.append((1e3 * (solution.offsets_s[0, 1] - filmed.offsets_s[1]), u_ms))
        squares.append(solution.adjustment.chi_square_per_freedom)
        errors_m = Case(truth, filmed, solution).landmark_errors()
        by_landmark.append(errors_m[: len(LANDMARK_KEYS) - 1])
    error, u = np.array(offsets).T
    lines = [
        f"\n### {name}, n = {n}\n",
        (
            f"offset {rms(error):.3f} ms RMS (≤ 0.3), stated {rms(u):.3f} ms, within 2 u"
            f" {100 * np.mean(np.abs(error) < 2 * u):.0f} %; solve {np.median(times):.2f} s;"
            f" chi² per freedom {np.mean(squares):.2f}, {min(squares):.2f} to {max(squares):.2f}\n"
        ),
    ]
    millimetres = 1e3 * np.sqrt(np.mean(np.square(by_landmark), axis=0))
    parts: dict[str, list[float]] = {}
    for key, value in zip(LANDMARK_KEYS, millimetres, strict=False):
        parts.setdefault(key.removeprefix("left_").removeprefix("right_"), []).append(value)
    lines.append("mm in space: " + ", ".join(f"{k} {rms(v):.1f}" for k, v in parts.items()))
    sys.stdout.write("\n".join(lines) + "\n")


def fields() -> dict[str, tuple[ControlPoint, ...]]:
    """Return what may stand on a field, from least to most."""
    size = BY_KEY["baseball"]
    cones = two_cones(size)
    foot, top = pole("pole", None, 2.0)
    behind = (cone("cone_3", -0.8, 0.9, size), cone("cone_4", -0.8, -0.9, size))
    tops = tuple(pole(f"pole_{each.key}", each, 2.0)[1] for each in cones)
    return {
        "rubber, level, height, feet": rubber(size),
        "rubber and a pole anywhere": (
            *rubber(size),
            replace(foot, place_m=(2.2, 0.6, -0.15)),
            top,
        ),
        "rubber and two cones": standard_field(size),
        "rubber, two cones, a pole over each": (*standard_field(size), *tops),
        "rubber and four cones": (*standard_field(size), *behind),
    }


def run_fields(n: int) -> None:
    """Print what the cameras add to the worst angle, and what the quality figure predicts."""
    lines = ["\n| field | other camera | worst angle | stride | quality figure | refused |"]
    lines.append("|---|---|---|---|---|---|")
    for other, phone in (("rear", REAR), ("45°", OBLIQUE)):
        for name, points in fields().items():
            added, stride, quality, refused = [], [], [], 0
            for seed in range(n):
                rng = np.random.default_rng(seed)
                truth = varied_delivery(rng)
                filmed = film_field(truth, (SIDE, phone), rng, points=points)
                solution = solve_cameras(filmed.set_ups, points, [filmed.delivery], search_s=0.2)
                found = diagnose(solution, filmed.set_ups, points)
                case = Case(truth, filmed, solution)
                added.append([case.added(measure) for measure in AT_CONTACT])
                stride.append(case.added_to_stride())
                quality.append(found.quality.worst_deg)
                refused += found.is_refused
            worst = max(rms(column) for column in np.array(added).T)
            lines.append(
                f"| {name} | {other} | {worst:.2f}° | {rms(stride):.2f} % | {rms(quality):.2f}° |"
                f" {100 * refused / n:.0f} % |"
            )
    sys.stdout.write("\n".join(lines) + "\n")


def run_blunders(n: int) -> None:
    """Print how often mistakes are found, and how often something is found where nothing is."""
    lines = [
        "\n| field | nothing wrong: findings | tape 10 cm off: found, named | cones exchanged |"
    ]
    lines.append("|---|---|---|---|")
    for name, points in list(fields().items())[2:]:
        false, found, named, swapped = 0, 0, 0, 0
        for seed in range(n):
            rng = np.random.default_rng(seed)
            truth = varied_delivery(rng)
            filmed = film_field(truth, (SIDE, REAR), rng, points=points)
            tracks = [replace(filmed.delivery, offsets_s=(float(filmed.offsets_s[1]),))]

            def findings(set_ups, field, tracks=tracks):
                return diagnose(solve_cameras(set_ups, field, tracks), set_ups, field).findings

            false += bool(findings(filmed.set_ups, points))
            x, y, z = places_of(points)["cone_left"]
            axis = rng.integers(2)
            shift = 0.1 * rng.choice([-1.0, 1.0])
            moved = (x + shift, y, z) if axis == 0 else (x, y + shift, z)
            told = findings(filmed.set_ups, with_place(points, "cone_left", moved))
            found += bool(told)
            named += any("cone left" in each.where for each in told)
            clicks = dict(filmed.set_ups[1].clicks_px)
            clicks["cone_left"], clicks["cone_right"] = clicks["cone_right"], clicks["cone_left"]
            wrong = (filmed.set_ups[0], replace(filmed.set_ups[1], clicks_px=clicks))
            swapped += any(each.key == "swapped" for each in findings(wrong, points))
        share = [f"{100 * count / n:.0f} %" for count in (false, found, named, swapped)]
        lines.append(f"| {name} | {share[0]} | {share[1]}, {share[2]} | {share[3]} |")
    sys.stdout.write("\n".join(lines) + f"\nn = {n}\n")


def main(arguments: list[str]) -> None:
    """Run the parts whose names hold one of the words, or all."""
    n = int(arguments[0]) if arguments else 20
    words = arguments[1:] or [""]
    for name, (care, phones) in SET_UPS.items():
        if any(word in name for word in words):
            run(name, care, phones, n)
    for name, part in (("fields", run_fields), ("blunders", run_blunders)):
        if any(word in name for word in words):
            part(n)


if __name__ == "__main__":
    main(sys.argv[1:])
