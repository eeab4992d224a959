"""Simulated people of known scatter and shift, on the shipped example."""

from __future__ import annotations

import math

import numpy as np
import pytest

from deliverylab.core.metrics.inputs import CLICK_U_PX
from deliverylab.core.workflow.precision import (
    MIN_DEGREES_OF_FREEDOM,
    PrecisionReport,
    precision_report,
)
from tests.core.workflow.placing import (
    demo_project,
    pixel_size_m,
    place_run,
    placed_by,
    scatter_m,
    scattered,
)


def _one_person(seed, **plan):
    project = demo_project()
    size_m = pixel_size_m(project)
    place = placed_by(project, np.random.default_rng(seed), size_m=size_m)
    scattered(project, place)
    place_run(project, "Sam", place, seed=seed, **plan)
    return project


def test_the_true_scatter_lies_in_its_interval_in_19_of_20_cases():
    n_inside, n_all, n_runs = 0, 0, 50
    for seed in range(n_runs):
        project = _one_person(seed)
        person = precision_report(project.record).person("Sam")
        for row in person.rows:
            true_m = scatter_m(row.part)
            n_inside += row.interval.low <= true_m <= row.interval.high
            n_all += 1
    # 11 parts × 50 runs: the binomial standard deviation of 0.95 is 0.93 %
    assert n_all == 550
    assert n_inside / n_all == pytest.approx(0.95, abs=0.028)


def test_the_original_counts_as_the_first_placing():
    project = _one_person(1)
    person = precision_report(project.record).person("Sam")
    hip = next(row for row in person.rows if row.part == "hip")
    # left and right, 6 frames each, both coordinates
    assert (hip.n_spots, hip.technical_error.n_degrees_of_freedom) == (12, 24)
    assert len(hip.points) == 24
    assert hip.is_usable
    # d of a first and a second placing: √2 scatters, as the points to be drawn have it
    spread = math.sqrt(np.mean([point.difference_m**2 for point in hip.points]) / 2.0)
    assert hip.technical_error.sd == pytest.approx(spread)
    size_m = pixel_size_m(project)
    assert hip.technical_error_px == pytest.approx(hip.technical_error.sd / size_m)
    assert hip.u == pytest.approx(math.sqrt(spread**2 - (CLICK_U_PX * size_m) ** 2))
    # places lie metres apart, so that the correlation says nothing about millimetres
    assert hip.icc_2_1 > 0.95
    assert person.overall.n_spots == sum(row.n_spots for row in person.rows)


def test_further_repeats_add_degrees_of_freedom():
    project = _one_person(2, landmarks=["neck", "throwing_hip"], n_frames_each=3, times=3)
    person = precision_report(project.record).person("Sam")
    # the first placing and three repeats of 3 spots, two coordinates
    assert [row.technical_error.n_degrees_of_freedom for row in person.rows] == [18, 18]


def test_too_few_repeats_are_shown_but_not_usable():
    project = _one_person(3, landmarks=["neck"], n_frames_each=4)
    (row,) = precision_report(project.record).person("Sam").rows
    assert row.technical_error.n_degrees_of_freedom == 8 < MIN_DEGREES_OF_FREEDOM
    assert not row.is_usable


def test_one_repeat_has_no_error_mean_square():
    project = _one_person(3, landmarks=["neck"], n_frames_each=1)
    (row,) = precision_report(project.record).person("Sam").rows
    assert math.isnan(row.error_of_measurement)
    assert row.technical_error.n_degrees_of_freedom == 2


SHIFT_M = (0.020, -0.012)


@pytest.fixture(scope="module")
def two_people():
    project = demo_project()
    size_m, random = pixel_size_m(project), np.random.default_rng(11)
    sam = placed_by(project, random, size_m=size_m)
    kim = placed_by(project, random, size_m=size_m, shift_m=SHIFT_M)
    scattered(project, sam)
    for name, place in (("Sam", sam), ("Kim", kim)):
        place_run(
            project, name, place, original_placer="Sam", n_frames_each=12, times=2, seed=5,
            landmarks=["throwing_hip", "lead_hip", "throwing_elbow", "glove_elbow"],
        )  # fmt: skip
    return precision_report(project.record)


def test_the_shift_between_two_people_is_recovered(two_people):
    (pair,) = two_people.pairs
    assert (pair.a, pair.b) == ("Sam", "Kim")
    for row in pair.rows:
        forward, up = row.forward, row.up
        assert forward.bias_interval.low < SHIFT_M[0] < forward.bias_interval.high, row.part
        assert up.bias_interval.low < SHIFT_M[1] < up.bias_interval.high, row.part
        # means of three and two placings; 24 pairs give a standard deviation to 14 %
        sd_m = scatter_m(row.part) * math.sqrt(1 / 3 + 1 / 2)
        assert forward.sd == pytest.approx(sd_m, rel=0.35)
        limits = (forward.bias - 1.96 * forward.sd, forward.bias + 1.96 * forward.sd)
        assert forward.limits == pytest.approx(limits)
        assert row.n_spots == 24
    assert pair.overall.forward.bias == pytest.approx(SHIFT_M[0], abs=0.004)


def test_a_shift_is_not_in_ones_own_scatter_and_joins_u_as_its_own_part(two_people):
    for name in ("Sam", "Kim"):
        elbow = next(row for row in two_people.person(name).rows if row.part == "elbow")
        low, high = elbow.interval
        assert low < scatter_m("left_elbow") < high
        # two people's shifts ±½b: variance b²/2 a coordinate, both pooled
        true_between = math.sqrt((SHIFT_M[0] ** 2 + SHIFT_M[1] ** 2) / 4.0)
        assert elbow.between == pytest.approx(true_between, rel=0.2)
        assert elbow.u > elbow.between
        # what rests on one difference of two people has few degrees of freedom
        assert 2 <= elbow.n_degrees_of_freedom < 8


def test_another_persons_original_is_no_repeat_of_ones_own():
    project = demo_project()
    size_m, random = pixel_size_m(project), np.random.default_rng(2)
    kim = placed_by(project, random, size_m=size_m)
    place_run(project, "Kim", kim, original_placer="Sam", landmarks=["neck"])
    report = precision_report(project.record)
    assert report.person("Kim") is None
    assert report.person("Sam") is None
    assert [(pair.a, pair.b) for pair in report.pairs] == [("Sam", "Kim")]


def test_without_runs_there_is_nothing():
    assert precision_report(demo_project().record) == PrecisionReport(people=(), pairs=())
