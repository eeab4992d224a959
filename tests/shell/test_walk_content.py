"""What the walkthrough's panel says."""

from __future__ import annotations

import pytest

from deliverylab.core.model.walkthrough import LONGEST_PAUSE_S, Drawing, Stop, Walkthrough
from deliverylab.core.report.walkthrough_layout import walk_layout
from deliverylab.shell.walk_content import (
    SIZES,
    SPEEDS,
    length_text,
    number_choices,
    preview_size,
    stop_name,
    stop_rows,
)


def test_a_stop_is_called_by_its_event_or_its_phase():
    assert stop_name(Stop(event="foot_contact")) == "Foot contact"
    assert stop_name(Stop(phase=49.6)) == "At 50 %"
    line = Drawing(side="athlete", kind="line", points_px=((0.0, 0.0), (1.0, 1.0)))
    (row,) = stop_rows([Stop(event="release", pause_s=2.5, caption="Look.", drawings=(line,))])
    assert row == ("Release", "2.5 s", "Look.", 1)


def test_sizes_and_speeds_are_such_as_the_clip_can_have():
    for _, size in SIZES:
        assert walk_layout(size)
        shown = preview_size(size)
        assert walk_layout(shown)
        assert min(shown) == 720
        assert shown[0] / shown[1] == pytest.approx(size[0] / size[1], rel=0.01)
    for _, speed in SPEEDS:
        assert Walkthrough(pair=("a", "b"), speed=speed)


def test_lengths_are_said_in_seconds_and_minutes():
    assert length_text(629) == "21 s"
    assert length_text(30 * 95) == "1 min 35 s"
    assert length_text(round(30 * LONGEST_PAUSE_S)) == "1 min 0 s"


def test_numbers_offered_are_the_clear_ones_and_those_that_are_chosen(placed_pair):
    shown = placed_pair.stop_numbers(2)
    choices = number_choices(placed_pair, 2)
    assert {one.key for one in choices if one.is_chosen} == set(shown)
    assert all(one.text for one in choices)
    placed_pair.set_numbers(2, ())
    clear = {(d.metric, d.event) for d in placed_pair.stop_differences(2) if d.verdict == "clear"}
    assert {one.key for one in number_choices(placed_pair, 2)} == clear
