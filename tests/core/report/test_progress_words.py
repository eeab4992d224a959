from __future__ import annotations

import pytest

from deliverylab.core.compare.course import Target
from deliverylab.core.report.progress_words import (
    TOO_FEW,
    amount,
    brief_words,
    chance_words,
    change_words,
    course_name,
    judged_words,
    ranked_courses,
    summary_words,
    target_words,
)
from tests.core.report.courses_drawn import KEYS, course, visit

STRIDE = next(n for n, (spec, _) in enumerate(KEYS) if spec.key == "stride_length")
KNEE = KEYS.index(next(k for k in KEYS if k[0].key == "lead_knee_flexion" and k[1] == "release"))


def _words(one):
    return change_words(one, one.change, "metric")


def test_what_changed_is_said_with_how_much_would_count():
    assert _words(course(STRIDE)) == "longer by 6.0 % of height; more than 4.0 % of height counts"
    assert _words(course(STRIDE, d=-6.0)).startswith("shorter by 6.0 % of height")
    assert _words(course(KNEE, d=1.0)) == "no detectable change (+1.0°; more than 4.0° would count)"
    assert _words(course(KNEE, d=-1.0)).startswith("no detectable change (−1.0°")
    assert _words(course(KNEE, detectable=None)) == TOO_FEW
    assert _words(course(KNEE, n_visits=1)) == "one visit only"


def test_a_change_of_a_few_last_digits_has_one_more():
    assert amount(course(KNEE, detectable=4.0), 6.0, "metric") == "6.0°"
    assert amount(course(KNEE, detectable=14.0), 26.0, "metric") == "26°"
    assert amount(course(KNEE, detectable=None), 26.0, "metric") == "26°"
    assert amount(course(KNEE), 0.0, "metric", has_sign=True) == "0.0°"


@pytest.mark.parametrize(
    ("way", "reached", "said"),
    [
        ("more", "reached", "wanted at least 50.0°: reached"),
        ("less", "not reached", "wanted at most 50.0°: not reached yet"),
        ("more", "within ± of it", "wanted at least 50.0°: within the ± of it"),
        ("more", "not measured since", "wanted at least 50.0°: not measured since"),
    ],
)
def test_targets_say_which_way_and_whether(way, reached, said):
    target = Target(50.0, way, "2026-03-01", reached)
    assert target_words(course(KNEE, target=target), target, "metric") == said


def test_in_a_few_words():
    target = Target(50.0, "more", "2026-03-01", "not reached")
    assert brief_words(course(KNEE), "metric") == "more bent by 6.0°"
    assert brief_words(course(KNEE, d=1.0, target=target), "metric") == (
        "+1.0°, counts from 4.0° · target not reached yet"
    )
    once = course(KNEE, n_visits=1)
    assert brief_words(once, "metric") == "spread 1.5° over 3 deliveries"
    alone = course(KNEE, visits=(visit("2026-03-01", 40.0, 1),), change=None, target=target)
    assert brief_words(alone, "metric") == "target not reached yet"


def test_planned_ones_stand_first_then_what_changed_most():
    target = Target(50.0, "more", "2026-03-01", "reached")
    ones = [
        course(0, n_visits=1),
        course(1, detectable=None),
        course(2, d=1.0),
        course(3, d=6.0),
        course(4, d=20.0),
        course(5, d=0.0, target=target),
    ]
    assert [each.metric for each in ranked_courses(ones)] == [
        ones[n].metric for n in (5, 4, 3, 2, 1, 0)
    ]


def test_the_summary_counts_what_could_be_judged():
    target = Target(50.0, "more", "2026-03-01", "reached")
    ones = [course(0), course(1, d=1.0), course(2, d=1.0, target=target), course(3, n_visits=1)]
    said = summary_words(ones).replace("\u00a0", " ")
    assert said == (
        "2 visits, 1 March 2026 to 22 March 2026: 1 of 3 numbers changed more than repeats scatter. "
        "1 of 1 target reached."
    )
    # a last step that changed is judged by itself: no second chance to be counted
    stepped = course(1, d=1.0, n_visits=3, step=course(1).change)
    assert ": 0 of 1 number changed" in summary_words([stepped])
    few = [course(0, detectable=None)]
    assert "film three deliveries or more at each visit" in summary_words(few)
    assert "from the second one on" in summary_words([course(0, n_visits=1)])


@pytest.mark.parametrize(
    ("n", "said"),
    [(3, "changed."), (14, "changed."), (15, "of 15, about 1."), (40, "of 40, about 2.")],
)
def test_what_chance_alone_changes_is_said(n, said):
    ones = [course(number) for number in range(n)]
    assert chance_words(ones).endswith(said)
    # what could not be judged, or has one visit only, has no chance
    others = [course(0, detectable=None), course(1, n_visits=1)]
    assert chance_words([*ones, *others]) == chance_words(ones)
    assert chance_words(others) == ""


def test_what_a_judgement_rests_on_is_said():
    said = " ".join(judged_words(course(KNEE), "metric")).replace("\u00a0", " ")
    assert "One delivery scatters by 2.0° (standard error of measurement, 6 degrees" in said
    assert "counts beyond 4.0°" in said
    assert "1.5° on 1 March 2026" in said
    left = course(KNEE, left_out=(("2026-02-01", "no scale"),), step=course(KNEE).change)
    said = " ".join(judged_words(left, "metric")).replace("\u00a0", " ")
    assert "1 February 2026 is left out: no scale." in said
    assert "Since 1 March 2026: more bent by 6.0°" in said
    assert (
        "To tell a change, film three" in judged_words(course(KNEE, detectable=None), "metric")[0]
    )


def test_a_name_says_its_instant():
    assert course_name(course(KNEE)) == "Lead knee flexion at release"
    assert course_name(course(STRIDE)) == "Stride"


def test_imperial_readers_get_their_units():
    height = next(n for n, (spec, _) in enumerate(KEYS) if spec.key == "release_height")
    assert " in" in change_words(course(height), course(height).change, "imperial")
