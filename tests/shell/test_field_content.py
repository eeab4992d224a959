from __future__ import annotations

import pytest

from deliverylab.core.model.changes import replace
from deliverylab.core.model.space import SetUpFinding
from deliverylab.core.workflow.space_clocks import ClockByMarks
from deliverylab.core.workflow.space_set_up import standard_field_set_up
from deliverylab.core.workflow.space_sync import ClockCurve
from deliverylab.shell import field_content
from tests.core.workflow.two_phones import solved_two_phones

FOUND = SetUpFinding(
    key="blunder",
    severity="doubtful",
    what="cone left does not fit",
    where="rear",
    remedy="tape it",
)


@pytest.fixture(scope="module")
def delivery():
    return solved_two_phones().delivery


def test_points_are_asked_for_in_order_and_round_again(delivery):
    field = standard_field_set_up()
    camera = replace(delivery.cameras[0], control={})
    assert field_content.next_point(field, camera, ()) == "rubber_front_left"
    assert field_content.next_point(field, camera, (), "cone_right") == "rubber_front_left"
    skipped = {"rubber_front_left", "rubber_front_right"}
    assert field_content.next_point(field, camera, skipped) == "rubber_back_left"
    assert field_content.next_point(field, delivery.cameras[0], ()) == ""
    assert field_content.counted(field, camera) == "0 of 6"
    assert field_content.prompt(field, "cone_left") == "Click 5: cone left"


def test_rows_say_what_a_solve_leaves_and_which_fits_least(delivery):
    field = standard_field_set_up()
    rows = [
        row
        for camera in delivery.cameras
        for row in field_content.point_rows(field, camera, delivery.space, "", (), "metric")
    ]
    assert sum(row.is_worst for row in rows) == 1
    assert all(" px · " in row.text and row.text.endswith("mm") for row in rows)
    worst = field_content.worst_residual(delivery.space)
    others = [one.studentised for one in delivery.space.residuals if one.studentised is not None]
    assert abs(worst.studentised) == max(map(abs, others))


def test_quality_is_told_in_plain_words(delivery):
    space = delivery.space
    assert field_content.quality(space, "").strong.startswith("Good: directions unsure by 0.")
    assert field_content.quality(space, "field").level == "caution"
    assert "Solve again" in field_content.quality(space, "field").more
    assert field_content.quality(space, "body").level == "good"
    doubtful = field_content.quality(replace(space, findings=(FOUND,)), "")
    assert (doubtful.strong[:8], doubtful.level) == ("Doubtful", "caution")
    refused = replace(space, findings=(replace(FOUND, severity="refused"),))
    assert field_content.quality(refused, "").strong.startswith("Refused: nothing is shown")
    said = field_content.finding(FOUND)
    assert (said.strong, said.more) == ("Cone left does not fit", "Rear. Tape it.")


def test_evidence_names_what_was_solved_together(delivery):
    text = field_content.evidence(delivery, delivery.space)
    assert text.startswith("12 clicks on 6 points, and the body's own movement")
    two = replace(delivery.space, deliveries=("Ana 1", "Ana 2"), has_body=False)
    text = field_content.evidence(delivery, two)
    assert "without the body's movement; solved together with Ana 2" in text


@pytest.mark.parametrize(
    ("length_m", "system", "said"),
    [
        (0.0021, "metric", "2.1 mm"),
        (0.0121, "metric", "12 mm"),
        (0.0127, "imperial", "0.50 in"),
    ],
)
def test_small_lengths_are_told_in_the_readers_units(length_m, system, said):
    assert field_content.small_length(length_m, system) == said


def test_distances_on_a_field_are_told_in_metres_or_feet():
    assert field_content.far(6.096, 0.3048, "imperial") == "20.0 ± 1.0 ft"
    assert field_content.far(6.096, 0.3048, "metric") == "6.10 ± 0.30 m"


@pytest.mark.parametrize(("marks_s", "agrees"), [(0.0101, "agree within"), (0.030, "do not agree")])
def test_clocks_by_marks_stand_beside_the_solve(marks_s, agrees):
    curve = ClockCurve(
        camera="rear",
        first="side",
        curve=None,
        solved_s=0.010,
        u_solved_s=0.0001,
        marked=ClockByMarks(marks_s, 0.001, ("release",)),
    )
    text = field_content.clock_by_marks(curve)
    assert "By 1 event marked in both clips" in text
    assert agrees in text
    assert "later" in text
    alone = replace_marks(curve, None)
    assert "No event is marked in both" in field_content.clock_by_marks(alone)
    assert field_content.clock_by_sound(curve) == ""


def replace_marks(curve, marked):
    return ClockCurve(
        camera=curve.camera,
        first=curve.first,
        curve=curve.curve,
        solved_s=curve.solved_s,
        u_solved_s=curve.u_solved_s,
        marked=marked,
    )


def test_which_clip_began_first_is_said():
    said = field_content.clock("rear", "side", -0.0125, 0.0001)
    assert said == "rear began 12.50 ± 0.20 ms earlier than side"
