from __future__ import annotations

from typing import get_args

import pytest

from deliverylab.core.compare.verdict import VERDICT_WORDS, Verdict
from tests.core.compare.results import difference, result


def test_each_verdict_has_words():
    assert set(VERDICT_WORDS) == set(get_args(Verdict))
    assert len(set(VERDICT_WORDS.values())) == len(VERDICT_WORDS)


def test_expanded_u_is_two_u():
    # JCGM 100:2008, 6.2: U = k u, here k = 2
    assert difference(u=1.7).expanded_u == pytest.approx(3.4)
    assert difference(u=None, d=None, verdict="not_comparable").expanded_u is None


def test_row_holds_both_values_and_what_they_say():
    row = difference(
        words="straighter", rank=1, yardstick=8.5, yardstick_source="a spread"
    ).as_row()
    assert row["metric"] == "lead_knee_flexion"
    assert row["event"] == "foot_contact"
    assert (row["a"], row["U_a"], row["b"], row["U_b"]) == (40.0, 4.0, 48.0, 4.0)
    assert (row["d"], row["U"]) == (-8.0, 4.0)
    assert (row["verdict"], row["rank"], row["words"]) == ("clear", 1, "straighter")
    assert (row["yardstick"], row["yardstick_source"]) == (8.5, "a spread")


def test_row_of_what_cannot_be_compared_has_no_numbers_but_a_reason():
    gone = result(status="not_shown", value=None, u=None, reason="no scale")
    row = difference(
        a=gone, verdict="not_comparable", d=None, u=None, reason="Ana 1: no scale"
    ).as_row()
    assert [row[key] for key in ("a", "U_a", "d", "U", "rank")] == [None] * 5
    assert row["reason"] == "Ana 1: no scale"
    assert row["b"] == 48.0
