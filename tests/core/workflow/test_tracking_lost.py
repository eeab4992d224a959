"""Stretches that are lost, and the words for why."""

from __future__ import annotations

import pytest

from deliverylab.core.tracking.flow import LOST_REASONS
from deliverylab.core.workflow.tracking_lost import (
    BESIDE,
    HIDDEN,
    LOST_TEXT,
    NO_ANCHOR,
    LostStretch,
    beside,
    stretches,
)


def test_each_reason_has_its_words():
    assert {*LOST_REASONS[1:], HIDDEN, NO_ANCHOR, BESIDE} == set(LOST_TEXT)


def test_frames_in_a_row_for_one_reason_are_one_stretch():
    reasons = {3: "far", 4: "far", 5: "", 6: "faint", 8: "faint", 9: "far"}
    found = stretches("neck", reasons, [3, 4, 5, 6, 8, 9])
    assert [(one.first_frame, one.last_frame, one.reason) for one in found] == [
        (3, 4, "far"), (6, 8, "faint"), (9, 9, "far"),
    ]  # fmt: skip
    assert found[1].n_frames == 3
    assert found[1].text == LOST_TEXT["faint"]
    assert LostStretch(landmark="neck", first_frame=1, last_frame=1, reason="?").text == "?"


@pytest.mark.parametrize(
    ("reason", "frame", "told"),
    [
        ("far", 2, BESIDE), ("disagrees", 20, BESIDE), ("far", 8, "far"), ("", 2, ""),
        ("no picture", 2, "no picture"),
    ],
)  # fmt: skip
def test_beside_the_outermost_known_places_nothing_else_is_said(reason, frame, told):
    assert beside(reason, frame, {5, 12}) == told
    assert beside(NO_ANCHOR, frame, set()) == NO_ANCHOR
