from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.model.walkthrough import Stop
from deliverylab.core.report.walkthrough_words import (
    MOST_NUMBERS,
    caption_of,
    differences_at,
    event_of,
    number_lines,
    shown_differences,
)

replace = msgspec.structs.replace
RELEASE = Stop(event="release")


@pytest.fixture
def found(make_difference):
    """Give four clear differences at release, one there within error, others elsewhere."""
    return [
        make_difference("trunk_forward_tilt", "release", 17.0, 25.0, rank=2),
        make_difference("lead_knee_flexion", "release", 54.0, 37.0, rank=1),
        make_difference("arm_slot", "release", 49.0, 62.0, rank=5),
        make_difference("release_height", "release", 1.5, 1.3, u=0.01, rank=3),
        make_difference("elbow_flexion", "release", 27.0, 27.5),
        make_difference("stride_length", "", 76.0, 84.0, rank=4),
        make_difference("trunk_lateral_tilt", "release", None, None),
    ]


def test_a_result_is_told_at_its_event_or_where_its_interval_ends(make_result):
    assert event_of(make_result("trunk_forward_tilt", "release")) == "release"
    assert event_of(make_result("stride_length", "")) == "foot_plant"
    assert event_of(make_result("contact_to_release_time", "")) == "release"
    assert event_of(make_result("ball_speed", "")) == ""


def test_at_an_event_the_clear_ones_come_first_by_rank(found):
    here = differences_at("release", found)
    assert [each.metric for each in here] == [
        "lead_knee_flexion", "trunk_forward_tilt", "release_height", "arm_slot", "elbow_flexion",
    ]  # fmt: skip


def test_what_differs_most_is_shown(found):
    lines = number_lines(RELEASE, found, "metric")
    assert len(lines) == MOST_NUMBERS
    assert lines[0].name == "Front knee bend"
    assert (lines[0].athlete, lines[0].model) == ("54° ± 2", "37° ± 2")
    assert lines[0].words == "17° ± 3, more bent"
    assert lines[2].name == "Release height, m"
    assert lines[2].athlete == "1.50 ± 0.02"
    assert all(line.is_clear for line in lines)


def test_the_reader_s_units_are_used(found):
    height = number_lines(RELEASE, found, "imperial")[2]
    assert height.name == "Release height, in"
    assert height.athlete.startswith("59")


def test_where_little_is_clear_the_nearest_to_clear_is_shown_too(found, make_difference):
    near = make_difference("shoulder_abduction", "release", 92.0, 90.0)
    lines = number_lines(RELEASE, [found[4], near], "metric")
    assert [line.words for line in lines] == ["no difference we can see"] * 2
    assert lines[0].name == "Upper arm height"


def test_a_script_may_name_its_numbers(found):
    stop = replace(RELEASE, metrics=(("stride_length", ""), ("arm_slot", "release"), ("no", "")))
    assert [each.metric for each in shown_differences(stop, found)] == ["stride_length", "arm_slot"]
    assert number_lines(replace(RELEASE, metrics=()), found, "metric") == ()


def test_a_number_of_another_instant_says_which(found):
    stop = Stop(event="foot_contact", metrics=(("arm_slot", "release"),))
    assert number_lines(stop, found, "metric")[0].name == "Arm slot at release"


def test_a_caption_names_the_largest_clear_differences(found):
    assert caption_of("release", found) == (
        "Front knee bend: more bent; upper body lean: less forward; release height: higher."
    )


def test_a_caption_where_nothing_is_clear_says_so(found):
    assert caption_of("release", found[4:5]) == "No difference that we can see here."
    assert caption_of("leg_lift", found) == ""


def test_a_caption_says_what_goes_together_with_a_start(make_difference):
    found = [
        make_difference("com_forward_speed", "leg_lift", 0.1, 0.5, u=0.01, rank=1),
        make_difference("com_forward_speed", "foot_contact", 1.5, 2.5, u=0.05, rank=2),
        make_difference("stride_length", "", 70.0, 84.0, rank=3),
    ]
    chain = chain_of(found)
    assert chain.starts[0].node.event == "leg_lift"
    caption = caption_of("leg_lift", found, chain)
    assert caption.startswith(
        "Forward speed: slower. Forward speed (slower) commonly goes together with"
    )
    assert "stride (shorter)" in caption
    assert "commonly" not in caption_of("foot_plant", found, chain)
