"""A laboratory's jump: our knee angle against theirs, and free fall as a test of time and length.

The recording comes with the package ``biomdp`` 0.11.2 (MIT licence): 42 points at 200 frames a
second, two force plates at 2000 Hz, joint centres and joint angles from the laboratory's own model.
Right leg, pelvis and one shoulder are marked; there are no arms.  The package is only a way to get
the file: nothing of it is imported.
"""

from __future__ import annotations

import importlib.metadata
from dataclasses import dataclass

import ezc3d
import numpy as np
import pytest

from deliverylab.core.metrics.support import mean_support
from deliverylab.core.numerics.angles import flexion_deg
from deliverylab.core.numerics.local_fit import local_fit
from deliverylab.core.numerics.mass_centre import combined_mass_centre, segment_mass_centre
from deliverylab.core.vocabulary.segments import BY_KEY as SEGMENT_BY_KEY

FILE = "biomdp/tests/datasets/vicon_CMJ_kinem_kinet_emg.c3d"
GRAVITY_M_S2 = 9.81
IN_THE_AIR_N = 20.0  # common practice; the plate's own noise in flight is a few newtons
RATE_HZ = 200.0
N_FORCE_PER_FRAME = 10


@dataclass(frozen=True)
class Jump:
    """Points by label, shape (n, 3), m; knee flexion by the laboratory, deg; plate force, N.

    `force_n` is the vertical part, `shear_n` the two others, shape (2, n), of what the plate gives the
    body.
    """

    points_m: dict[str, np.ndarray]
    knee_deg: np.ndarray
    force_n: np.ndarray
    shear_n: np.ndarray

    @property
    def times_s(self):
        return np.arange(len(self.knee_deg)) / RATE_HZ

    @property
    def flight_s(self):
        """Last instant on the plate and first one back on it, s."""
        in_the_air = np.flatnonzero(self.force_n < IN_THE_AIR_N) / (N_FORCE_PER_FRAME * RATE_HZ)
        return float(in_the_air[0]), float(in_the_air[-1])

    def mass_centre_m(self):
        """Return the mass centre of trunk and legs, shape (n, 3), m; the jump is symmetric."""
        at = self.points_m
        mid_hip = 0.5 * (at["LHJC"] + at["RHJC"])
        ends = {
            "trunk": (at["Right_Hombro"], mid_hip),
            "right_thigh": (at["RHJC"], at["RKJC"]),
            "right_shank": (at["RKJC"], at["RAJC"]),
            "right_foot": (at["Right_TalonInf"], at["Right_Meta"]),
        }
        centres, masses = [], []
        for key, (proximal, distal) in ends.items():
            segment = SEGMENT_BY_KEY[key]
            centres.append(segment_mass_centre(proximal, distal, segment.mass_centre["male"]))
            masses.append(segment.mass["male"] * (1.0 if key == "trunk" else 2.0))
        return combined_mass_centre(np.stack(centres, axis=-2), np.array(masses))


@pytest.fixture(scope="module")
def jump():
    files = importlib.metadata.files("biomdp") or []
    (path,) = (file.locate() for file in files if file.as_posix() == FILE)
    record = ezc3d.c3d(str(path))
    point = record["parameters"]["POINT"]
    assert point["RATE"]["value"][0] == RATE_HZ
    assert record["parameters"]["ANALOG"]["RATE"]["value"][0] == RATE_HZ * N_FORCE_PER_FRAME
    labels = point["LABELS"]["value"]
    places = np.moveaxis(record["data"]["points"][:3], 0, -1)
    # the laboratory's angles stand among the points, in radians, named in the descriptions
    knee = next(
        row for row, words in enumerate(point["DESCRIPTIONS"]["value"])
        if words.startswith("AngArtKnee_R")
    )  # fmt: skip
    force = record["parameters"]["ANALOG"]["LABELS"]["value"].index("Force.Fz1")
    return Jump(
        {label: 1e-3 * places[row] for row, label in enumerate(labels)},
        np.degrees(places[knee, :, 0]),
        -record["data"]["analogs"][0, force],
        # the plate's x runs against the laboratory's, its y along it, its z down (its corners say so)
        record["data"]["analogs"][0, force - 2 : force] * np.array([[-1.0], [1.0]]),
    )


def test_knee_flexion_against_the_laboratory_s_own(jump):
    at = jump.points_m
    ours = flexion_deg(at["RHJC"], at["RKJC"], at["RAJC"])
    gap = ours - jump.knee_deg
    assert len(gap) == 1600
    # The laboratory turns the shank's axes against the thigh's; the two definitions agree where
    # the knee bends about one axis.  Three degrees are what choice of landmarks alone moves a
    # knee angle by.
    assert np.max(np.abs(gap)) < 3.0
    # measured on this file; a change of our function would move them
    assert np.mean(gap) == pytest.approx(0.54, abs=0.01)
    assert np.std(gap, ddof=1) == pytest.approx(0.63, abs=0.01)
    # and it is a jump: from nearly straight to deeply bent
    assert np.ptp(ours) > 90.0
    assert np.corrcoef(ours, jump.knee_deg)[0, 1] > 0.999  # .9995 on this file


def _fall_m_s2(times_s, height_m, flight_s):
    inside = (times_s > flight_s[0]) & (times_s < flight_s[1])
    return -2.0 * np.polyfit(times_s[inside], height_m[inside], 2)[0]


def test_free_fall_gives_gravity(jump):
    hips = 0.5 * (jump.points_m["LHJC"] + jump.points_m["RHJC"])
    # The hips alone are not the mass centre: the legs are drawn up a little before landing.
    assert _fall_m_s2(jump.times_s, hips[:, 2], jump.flight_s) == pytest.approx(10.05, abs=0.03)
    # Trunk and legs, without head and arms (16.8 % of mass, which move on their own), come nearer:
    # 1 % off, while a frame rate or a length 1 % wrong would show as 2 % or 1 %.
    fall = _fall_m_s2(jump.times_s, jump.mass_centre_m()[:, 2], jump.flight_s)
    assert fall == pytest.approx(GRAVITY_M_S2, rel=0.015)


def test_a_wrong_frame_rate_shows_in_gravity(jump):
    # stored at 200, taken for 240: what the check above is for
    flight_s = tuple(time_s * 200.0 / 240.0 for time_s in jump.flight_s)
    fall = _fall_m_s2(jump.times_s * 200.0 / 240.0, jump.mass_centre_m()[:, 2], flight_s)
    assert fall > 1.4 * GRAVITY_M_S2


def _take_off_by_force_m_s(jump):
    """Return the take-off speed from the impulse on the plate, m/s."""
    rate_hz = RATE_HZ * N_FORCE_PER_FRAME
    take_off, landing = (round(time_s * rate_hz) for time_s in jump.flight_s)
    # the plate's zero from the middle of the flight, the body's weight from the first half second
    force_n = jump.force_n - np.mean(jump.force_n[take_off + 200 : landing - 200])
    weight_n = np.mean(force_n[: round(0.5 * rate_hz)])
    return np.sum(force_n[:take_off] - weight_n) / rate_hz / (weight_n / GRAVITY_M_S2)


def test_take_off_speed_three_ways(jump):
    take_off_s, landing_s = jump.flight_s
    by_force = _take_off_by_force_m_s(jump)
    # By the clock: the body lands a little lower than it took off, so the flight is a little long.
    by_clock = 0.5 * GRAVITY_M_S2 * (landing_s - take_off_s)
    assert by_clock == pytest.approx(by_force, rel=0.03)
    # By the points in the air, led back to the instant of take-off.
    height_m = jump.mass_centre_m()[:, 2]
    inside = (jump.times_s > take_off_s) & (jump.times_s < landing_s)
    arc = np.polynomial.Polynomial.fit(jump.times_s[inside], height_m[inside], 2)
    assert arc.deriv()(take_off_s) == pytest.approx(by_force, rel=0.02)
    # By our local fit across take-off, where the push ends within the window: 3 %.
    fit = local_fit(jump.times_s, height_m, np.array([take_off_s]), half_width_s=0.05)
    assert fit.slope[0] == pytest.approx(by_force, rel=0.03)


def test_local_fit_follows_the_fall(jump):
    # in the air speed falls by g: two instants 0.3 s apart, both windows inside the flight
    take_off_s, landing_s = jump.flight_s
    middle_s = 0.5 * (take_off_s + landing_s)
    at_s = middle_s + np.array([-0.15, 0.15])
    height_m = jump.mass_centre_m()[:, 2]
    fit = local_fit(jump.times_s, height_m, at_s, half_width_s=0.10)
    fall = -(fit.slope[1] - fit.slope[0]) / 0.3
    # Head and arms are missing and swing: 3 %.
    assert fall == pytest.approx(GRAVITY_M_S2, rel=0.03)


def _velocity_m_s(jump, at_s):
    """Return the mass centre's velocity at some instants, shape (n, 3), by our local fit."""
    fit = local_fit(jump.times_s, jump.mass_centre_m(), np.array(at_s), half_width_s=0.07)
    return fit.slope


def test_in_the_air_nothing_supports_the_body(jump):
    # two instants well inside the flight: velocity changes by g alone, so the force is none
    take_off_s, landing_s = jump.flight_s
    at_s = (take_off_s + 0.10, landing_s - 0.10)
    before, after = _velocity_m_s(jump, at_s)[:, [0, 2]].tolist()
    support = mean_support(tuple(before), tuple(after), at_s[1] - at_s[0])
    # Head and arms are missing and swing: 3 % of g, as for the fall above.
    assert support.size_g < 0.03


def test_support_over_the_push_against_the_plate(jump):
    # From the deepest point of the crouch to the last instants on the plate: mean force by the
    # points, by change of velocity, and by the plate.
    take_off_s, _ = jump.flight_s
    rate_hz = RATE_HZ * N_FORCE_PER_FRAME
    height_m = jump.mass_centre_m()[:, 2]
    lowest_s = float(np.argmin(height_m[: round(take_off_s * RATE_HZ)])) / RATE_HZ
    at_s = (lowest_s, take_off_s - 0.02)
    before, after = _velocity_m_s(jump, at_s)
    first, last = (round(time_s * rate_hz) for time_s in at_s)
    weight_n = np.mean(jump.force_n[: round(0.5 * rate_hz)])
    by_plate_g = float(np.mean(jump.force_n[first:last])) / weight_n
    for axis in (0, 1):
        support = mean_support(
            (before[axis], before[2]), (after[axis], after[2]), at_s[1] - at_s[0]
        )
        # trunk and legs for the whole body, and a fit that spans the end of the push: 10 %
        assert support.size_g == pytest.approx(by_plate_g, rel=0.10)
        shear = float(np.mean(jump.shear_n[axis, first:last]))
        by_plate_deg = np.degrees(np.arctan2(shear, by_plate_g * weight_n))
        # By the plate -0.6 and -1.9 degrees, by the points 0.2 and -1.1: the left leg is taken to do
        # what the right one does, and there are no arms.
        assert support.angle_deg == pytest.approx(by_plate_deg, abs=1.0)
