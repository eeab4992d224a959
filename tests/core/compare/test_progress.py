from __future__ import annotations

import math

import pytest

from deliverylab.core.compare.progress import progress
from deliverylab.core.model.plan import Plan, Priority
from tests.core.compare.thrown import delivery, knee, remember

MAY, JUNE, JULY = "2026-05-01", "2026-06-01", "2026-07-01"


def _visit(date, values, *, plan=None, view="open-side", own=1.0, yaw=0.0, depth=0.0, **changes):
    made = []
    for number, value in enumerate(values, start=1):
        each = delivery(f"Ana {date} {number}", date=date, view=view, plan=plan)
        made.append(remember(each, knee(each, value, own=own, yaw=yaw, depth=depth, **changes)))
    return made


def _wanting(target, way="more"):
    return Plan(
        priorities=(
            Priority(metric="lead_knee_flexion", event="foot_contact", way=way, target=target),
        )
    )


def test_means_and_changes_of_visits_in_the_order_of_their_days():
    (course,) = progress([*_visit(JUNE, [50.0, 52.0, 54.0]), *_visit(MAY, [38.0, 40.0, 42.0])])
    assert [visit.date for visit in course.visits] == [MAY, JUNE]
    assert [visit.value for visit in course.visits] == pytest.approx([40.0, 52.0])
    assert [visit.spread for visit in course.visits] == pytest.approx([2.0, 2.0])
    assert course.visits[0].values == (38.0, 40.0, 42.0)
    assert (course.error.sd, course.error.n_degrees_of_freedom) == (pytest.approx(2.0), 4)
    # t 97.5 %, 4 degrees of freedom, from common tables
    assert course.change.detectable == pytest.approx(2.776 * 2.0 * math.sqrt(2.0 / 3.0), rel=1e-3)
    assert (course.change.verdict, course.change.words) == ("changed", "more bent")
    assert course.step is None


def test_the_error_is_never_below_what_placing_scatters():
    (course,) = progress(
        [*_visit(MAY, [40.0, 40.0, 40.0], own=2.0), *_visit(JUNE, [43.0, 43.0, 43.0], own=2.0)]
    )
    assert course.error.sd == pytest.approx(2.0)
    assert course.change.verdict == "no detectable change"


def test_a_camera_that_stands_anew_makes_a_change_harder_to_tell():
    def least(**parts):
        visits = [
            *_visit(MAY, [38.0, 40.0, 42.0], **parts),
            *_visit(JUNE, [50.0, 52.0, 54.0], **parts),
        ]
        return progress(visits)[0].change.detectable

    assert least(yaw=3.0) > 1.5 * least()
    # what the same view hides of the same athlete goes out of the difference
    assert least(depth=3.0) == pytest.approx(least())


def test_two_visits_of_two_are_too_few():
    (course,) = progress([*_visit(MAY, [40.0, 41.0]), *_visit(JUNE, [60.0, 61.0])])
    assert course.change.verdict == "too few deliveries"
    (course,) = progress([*_visit(MAY, [40.0]), *_visit(JUNE, [60.0])])
    assert course.change.verdict == "too few deliveries"
    assert math.isnan(course.error.sd)


def test_with_three_visits_the_last_step_is_told_too():
    (course,) = progress(
        [
            *_visit(MAY, [38.0, 40.0, 42.0]),
            *_visit(JUNE, [58.0, 60.0, 62.0]),
            *_visit(JULY, [39.0, 41.0, 43.0]),
        ]
    )
    assert course.change.verdict == "no detectable change"
    assert (course.step.before, course.step.verdict, course.step.words) == (
        JUNE,
        "changed",
        "straighter",
    )


def test_one_visit_has_a_mean_and_no_change():
    (course,) = progress(_visit(MAY, [38.0, 40.0, 42.0]))
    assert (course.change, course.step, len(course.visits)) == (None, None, 1)


def test_what_was_measured_otherwise_than_last_is_left_out_with_the_reason():
    (course,) = progress(
        [
            *_visit(MAY, [38.0], basis="from the drive ankle"),
            *_visit(JUNE, [None]),
            *_visit(JULY, [39.0, 41.0], basis="from the rubber"),
        ]
    )
    assert [visit.date for visit in course.visits] == [JULY]
    assert course.left_out == (
        (MAY, "measured from the drive ankle then, from the rubber later"),
        (JUNE, "no scale"),
    )
    (course,) = progress([*_visit(MAY, [38.0], status="estimated"), *_visit(JULY, [39.0, 41.0])])
    assert course.left_out == ((MAY, "estimated then, measured later"),)


def test_deliveries_without_a_date_belong_to_no_visit():
    assert progress(_visit("", [40.0, 41.0])) == ()
    assert progress([]) == ()


def test_what_nothing_shows_has_no_course():
    assert progress([*_visit(MAY, [None]), *_visit(JUNE, [None])]) == ()


@pytest.mark.parametrize(
    ("target", "way", "reached"),
    [
        (45.0, "more", "reached"),
        (51.0, "more", "within ± of it"),
        (70.0, "more", "not reached"),
        (55.0, "less", "reached"),
        (30.0, "less", "not reached"),
    ],
)
def test_the_plans_target_is_held_against_the_last_visit(target, way, reached):
    (course,) = progress(
        [
            *_visit(MAY, [38.0, 40.0, 42.0], plan=_wanting(target, way)),
            *_visit(JUNE, [48.0, 50.0, 52.0]),
        ]
    )
    assert (course.target.value, course.target.way, course.target.since) == (target, way, MAY)
    assert course.target.reached == reached


def test_the_latest_plan_counts_and_is_not_reached_by_the_day_it_was_made():
    (course,) = progress(
        [
            *_visit(MAY, [38.0, 40.0, 42.0], plan=_wanting(45.0)),
            *_visit(JUNE, [48.0, 50.0, 52.0], plan=_wanting(48.0)),
        ]
    )
    assert (course.target.value, course.target.reached) == (48.0, "not measured since")


def test_a_target_that_the_latest_plan_took_back_is_none():
    (course,) = progress(
        [
            *_visit(MAY, [38.0, 40.0, 42.0], plan=_wanting(45.0)),
            *_visit(JUNE, [48.0, 50.0, 52.0], plan=_wanting(None)),
            *_visit(JULY, [49.0, 51.0, 53.0]),
        ]
    )
    assert course.target is None
