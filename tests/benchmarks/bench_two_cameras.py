"""How near the truth two phones come that nobody surveyed: the README's table of two cameras.

Run ``python tests/benchmarks/bench_two_cameras.py [N] [SETUP ...]``; it prints tables in Markdown,
and for the words ``blunders`` and ``fields`` what is found of mistakes and what less of a field gives.
Every figure is of our own simulation (`deliverylab.core.synthetic.field_filming`): varied deliveries,
2 px of placing, 10 mm (along each axis, or in all) constant per landmark and camera, rubber and two
cones taped to 10 mm, focal length unknown by 10 %, phones levelled to 1 degree, clocks started by hand, true event times.
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass, replace

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
AT_CONTACT = {
    "elbow flexion at contact (≤ 3.5°)": measures.elbow_flexion,
    "separation at contact (≤ 3.2°)": measures.separation,
    "pelvis rotation at contact (≤ 2.2°)": measures.pelvis_rotation,
    "shoulder line at contact": measures.shoulder_line_rotation,
    "lead knee at contact (≤ 2.4°)": measures.lead_knee_flexion,
    "forward tilt at contact (≤ 1.2°)": measures.trunk_forward_tilt,
    "lateral tilt at contact (≤ 1.2°)": measures.trunk_lateral_tilt,
    "shoulder abduction at contact": measures.shoulder_abduction,
    "horizontal abduction at contact": measures.horizontal_abduction,
}
MOST = {
    "maximum elbow flexion (≤ 3.2°)": measures.elbow_flexion,
    "maximum external rotation (≤ 3.3°)": measures.external_rotation,
}
PEAKS = {
    "peak pelvis speed, % (≤ 4)": measures.pelvis_rotation,
    "peak shoulder-line speed, % (≤ 4)": measures.shoulder_line_rotation,
}
STRIDE = "stride, % of height (≤ 0.6)"
CUTOFF_HZ = {"trunk": 12.0, "leg": 14.0, "arm": 20.0}
"""By quantity; peaks of the shoulder line at 20 Hz too: 12 Hz takes 6 % of this figure's quick ones."""
PART_OF = {
    measures.pelvis_rotation: "trunk",
    measures.shoulder_line_rotation: "trunk",
    measures.separation: "trunk",
    measures.trunk_forward_tilt: "trunk",
    measures.trunk_lateral_tilt: "trunk",
    measures.lead_knee_flexion: "leg",
}
STEP_M = 1e-5


@dataclass
class Reading:
    """One value with its truth and stated u; the same with perfect cameras beside it."""

    error: float
    u: float
    perfect_error: float


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


def value_and_u(measure, space: SpacePoints, covariance: np.ndarray, truth) -> tuple[float, float]:
    """Measure at one instant, and propagate placing, cameras and clock."""
    points = space.points_m[0]
    steps = STEP_M * np.eye(points.size).reshape(points.size, *points.shape)
    at = measure(pose_of(points[None] + np.concatenate([steps, -steps]), truth))
    slope = (at[: points.size] - at[points.size :]) / (2.0 * STEP_M)
    gradient = np.nan_to_num(slope).reshape(1, *points.shape)
    variance = space.variance_of(gradient, covariance)
    return float(measure(pose_of(points, truth))), float(np.sqrt(variance[0]))


class Case:
    """One delivery, solved, and the same places seen by perfect cameras."""

    def __init__(self, truth: SyntheticDelivery, filmed: FilmedField, solution: Solution) -> None:
        self.truth, self.filmed, self.solution = truth, filmed, solution
        self.covariance = solution.delivery_covariance(0)
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

    def reading(self, measure, time_s: float) -> Reading:
        times, part = np.array([time_s]), PART_OF.get(measure, "arm")
        value, u = value_and_u(measure, self.space(times, part), self.covariance, self.truth)
        true = float(measure(pose_of(true_points(self.truth, times)[0], self.truth)))
        perfect = float(measure(pose_of(self.perfect(times, part)[0], self.truth)))
        return Reading(value - true, u, perfect - true)

    def most(self, measure) -> Reading:
        events = self.truth.events
        times, part = np.arange(events["foot_contact"], events["release"], 0.001), "arm"
        seen, true, perfect = (
            measure(pose_of(each, self.truth))
            for each in (
                self.space(times, part).points_m,
                true_points(self.truth, times),
                self.perfect(times, part),
            )
        )
        at = times[[int(np.nanargmax(seen))]]
        _, u = value_and_u(measure, self.space(at, part), self.covariance, self.truth)
        most = np.nanmax(true)
        return Reading(float(np.nanmax(seen) - most), u, float(np.nanmax(perfect) - most))

    def peak(self, measure) -> Reading:
        events = self.truth.events
        times = np.arange(events["foot_contact"], events["release"], 0.001)
        part = "trunk" if measure is measures.pelvis_rotation else "arm"
        seen, true, perfect = (
            np.nanmax(
                np.gradient(np.unwrap(measure(pose_of(each, self.truth)), period=360.0), times)
            )
            for each in (
                self.space(times, part).points_m,
                true_points(self.truth, times),
                self.perfect(times, part),
            )
        )
        return Reading(100.0 * (seen / true - 1.0), np.nan, 100.0 * (perfect / true - 1.0))

    def stride(self) -> Reading:
        times = np.array([self.truth.events["leg_lift"], self.truth.events["foot_plant"]])
        space = self.space(times, "leg")

        def length(points: np.ndarray) -> np.ndarray:
            lift, plant = (pose_of(points[..., row, :, :], self.truth) for row in (0, 1))
            return measures.stride_length(lift, plant)

        gradient = np.zeros(space.points_m.shape)
        for row, role, sign in ((0, "drive_ankle", -1.0), (1, "lead_ankle", 1.0)):
            column = LANDMARK_KEYS.index(key_for_role(role, self.truth.spec.hand))
            gradient[row, column, 0] = sign * 100.0 / self.truth.spec.height_m
        u = float(np.sqrt(space.as_one_set().variance_of(gradient.reshape(-1, 3), self.covariance)))
        true = length(true_points(self.truth, times))
        return Reading(
            float(length(space.points_m) - true),
            u,
            float(length(self.perfect(times, "leg")) - true),
        )

    def readings(self) -> dict[str, Reading]:
        contact_s = self.truth.events["foot_contact"]
        found = {name: self.reading(measure, contact_s) for name, measure in AT_CONTACT.items()}
        found |= {name: self.most(measure) for name, measure in MOST.items()}
        found |= {name: self.peak(measure) for name, measure in PEAKS.items()}
        found[STRIDE] = self.stride()
        return found

    def landmark_errors(self) -> np.ndarray:
        times = np.linspace(self.truth.events["leg_lift"], self.truth.events["release"], 40)
        gap = self.space(times, "arm").points_m - true_points(self.truth, times)
        return np.sqrt(np.mean(np.sum(gap**2, axis=-1), axis=0))


def rms(values) -> float:
    return float(np.sqrt(np.nanmean(np.square(values))))


def run(name: str, care: FieldCare, phones: tuple[Phone, ...], n: int) -> None:
    """Film, solve and print one set-up."""
    table: dict[str, list[Reading]] = {}
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
        case = Case(truth, filmed, solution)
        for key, reading in case.readings().items():
            table.setdefault(key, []).append(reading)
        by_landmark.append(case.landmark_errors()[: len(LANDMARK_KEYS) - 1])
    error, u = np.array(offsets).T
    lines = [
        f"\n### {name}, n = {n}\n",
        (
            f"offset {rms(error):.3f} ms RMS (≤ 0.3), stated {rms(u):.3f} ms, within 2 u"
            f" {100 * np.mean(np.abs(error) < 2 * u):.0f} %; solve {np.median(times):.2f} s;"
            f" chi² per freedom {np.mean(squares):.2f}, {min(squares):.2f} to {max(squares):.2f}\n"
        ),
        "| | RMSE | perfect cameras | calibration adds | stated u | within 1.96 u |",
        "|---|---|---|---|---|---|",
    ]
    for key, readings in table.items():
        e = np.array([reading.error for reading in readings])
        p = np.array([reading.perfect_error for reading in readings])
        s = np.array([reading.u for reading in readings])
        known = np.isfinite(s)
        cover = f"{100 * np.mean(np.abs(e[known]) < 1.96 * s[known]):.0f} %" if known.any() else "–"
        stated = f"{rms(s):.2f}" if known.any() else "–"
        lines.append(
            f"| {key} | {rms(e):.2f} | {rms(p):.2f} | {rms(e - p):.2f} | {stated} | {cover} |"
        )
    pooled = [abs(r.error) < 1.96 * r.u for rs in table.values() for r in rs if np.isfinite(r.u)]
    lines.append(f"\nall intervals: {100 * np.mean(pooled):.1f} % hold the truth ({len(pooled)})\n")
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
                angles = [
                    case.reading(measure, truth.events["foot_contact"])
                    for measure in AT_CONTACT.values()
                ]
                added.append([reading.error - reading.perfect_error for reading in angles])
                length = case.stride()
                stride.append(length.error - length.perfect_error)
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
