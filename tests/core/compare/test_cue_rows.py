from __future__ import annotations

from deliverylab.core.compare.cue_rows import cues, drill
from deliverylab.core.compare.link_rows import less, more


def test_one_row_is_a_cue_for_each_thing_it_serves():
    first, second = cues(
        "Go.", more("stride_length"), less("arm_slot", "release"), for_minors="Go!"
    )
    assert (first.metric, first.event, first.way) == ("stride_length", "", "more")
    assert (second.metric, second.event, second.way) == ("arm_slot", "release", "less")
    assert {(each.text, each.text_for_minors) for each in (first, second)} == {("Go.", "Go!")}


def test_a_drill_loads_nothing_unless_it_says_so():
    plain = drill("Stand", "Stand still.", more("stride_length"))
    assert (plain.arm_load, plain.caution) == ("none", "")
    assert plain.serves == (more("stride_length"),)
    assert (
        drill("Throw", "Throw.", more("stride_length"), arm_load="throwing").arm_load == "throwing"
    )
