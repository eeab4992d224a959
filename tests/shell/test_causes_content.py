from __future__ import annotations

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.chain_layout import chain_layout
from deliverylab.shell.causes_content import (
    dashed_edges,
    instant_to_show,
    left_out_words,
    node_words,
    unexplained_words,
)
from tests.core.compare.chain_cases import FOOT, PELVIS, SHOULDERS, SLOW_START, compared, line_up


def test_a_start_says_what_it_carries_and_nothing_it_follows_from():
    chain = chain_of(line_up())
    words = node_words(chain, FOOT, "metric")
    assert words.head == "Front foot direction at foot plant: more open"
    evidence = words.evidence.replace("\u00a0", " ")
    assert evidence == "14° ± 1  against  20° ± 1;  difference −6° ± 2"
    share = 100.0 * chain.starts[0].score
    assert f"with 5 later differences; carries {share:.0f} %" in words.why
    assert words.links == ()


def test_no_line_ends_within_a_unit():
    slow = compared(*SLOW_START, -3.0)
    words = node_words(chain_of((slow, *line_up())), SLOW_START, "metric")
    assert "\u00a0m/\u2060s against " in words.evidence.replace("  ", " ")
    assert "m/s" not in words.evidence


def test_what_follows_says_from_what_why_and_over_what():
    chain = chain_of(line_up(pelvis_rotation=None))
    words = node_words(chain, SHOULDERS, "metric")
    assert words.why.startswith(
        "Commonly follows from: front foot direction at foot plant: more open"
    )
    assert "(over pelvis rotation at foot contact, which these clips do not show)" in words.why
    assert "Instructors commonly say that a front foot that flies open" in words.why
    assert [link.cause.metric for link in words.links] == [FOOT[0], PELVIS[0]]


def test_the_rest_is_named():
    assert unexplained_words(chain_of(line_up())) == (
        "Not explained by this: Arm slot at release (lower)."
    )
    assert unexplained_words(chain_of([])) == ""
    assert left_out_words(0) == ""
    assert left_out_words(1).startswith("1 difference that follows is not drawn")
    assert left_out_words(2).startswith("2 differences that follow are not drawn")


def test_edges_over_what_is_not_clear_are_dashed():
    for size, n_dashed in ((2.5, 0), (None, 1), (0.4, 1)):
        chain = chain_of(line_up(pelvis_rotation=size))
        layout = chain_layout(chain)
        dashed = dashed_edges(chain, layout)
        assert len(dashed) == n_dashed
        for a, b in dashed:
            keys = (layout.nodes[a].node.key, layout.nodes[b].node.key)
            assert keys == (FOOT, SHOULDERS)


def test_an_interval_is_seen_at_its_end():
    assert instant_to_show(*PELVIS) == "foot_contact"
    assert instant_to_show("stride_length", "") == "foot_plant"
    assert instant_to_show("ball_speed", "") == ""
