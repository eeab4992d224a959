from __future__ import annotations

import pytest

from deliverylab.core.cameras.quality import REFUSE_WITH_BODY_DEG, WARN_DEG
from deliverylab.core.report.field_layout import field_layout
from deliverylab.core.report.field_words import CAUTIONS, sheet_words
from deliverylab.core.report.wording import PAIN_CAUTION
from deliverylab.core.vocabulary.field import FIELDS


def _all(words) -> str:
    steps = (words.bring, words.lay, words.side, words.rear)
    steps += (words.settings, words.film, words.check, words.desk)
    lines = [words.title, words.under, *(item for step in steps for item in step.items)]
    return " ".join(lines).replace("\u00a0", " ")


def test_cones_in_both_unit_systems():
    layout = field_layout("baseball", "right")
    metric, imperial = (_all(sheet_words(layout, system)) for system in ("metric", "imperial"))
    for words in ("2.00 m toward the plate", "0.80 m to each side", "2.15 m", "1.60 m between"):
        assert words in metric
    for words in (
        "6 ft 6¾ in toward the plate",
        "2 ft 7½ in to",
        "7 ft 0¾ in",
        "5 ft 3 in between",
    ):
        assert words in imperial
    assert " m " not in imperial
    assert " ft " not in metric.replace(layout.field.name, "")


def test_distances_and_sides_follow_the_question():
    right = _all(sheet_words(field_layout("baseball", "right", 11.0, 6.0), "metric"))
    left = _all(sheet_words(field_layout("baseball", "left", 11.0, 6.0), "metric"))
    assert "On the third-base side (left-hander: first)" in right
    assert "On the first-base side (right-hander: third)" in left
    assert "about 11 m from it" in right
    assert "about 5.2 m behind the rubber" in right
    assert "side 2×, rear 1×" in right


@pytest.mark.parametrize("size", FIELDS, ids=lambda size: size.key)
def test_a_mound_is_named_only_where_there_is_one(size):
    words = _all(sheet_words(field_layout(size.key, "right"), "metric"))
    assert size.name in words
    assert ("mound" in words) == (size.rubber_height_m > 0.0)


def test_what_counts_as_good_is_what_the_solve_uses():
    words = _all(sheet_words(field_layout("baseball", "right"), "metric"))
    assert f"good below {WARN_DEG:g}°; above {REFUSE_WITH_BODY_DEG:g}° it is refused" in words


def test_cautions_name_flight_rules_and_pain():
    said = " ".join(CAUTIONS)
    assert "out of the ball’s flight" in said
    assert "league’s rules come first" in said
    assert PAIN_CAUTION in said
