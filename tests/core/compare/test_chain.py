from __future__ import annotations

import random

import pytest
from msgspec.structs import replace

from deliverylab.core.compare.chain import FAMILY_LEVEL, MOST_STARTS, chain_of
from deliverylab.core.compare.links import LINKS
from deliverylab.core.metrics.catalogue import METRICS
from tests.core.compare.chain_cases import (
    EXTENSION,
    FOOT,
    PELVIS,
    SEPARATION,
    SHOULDERS,
    SLOW_START,
    TRUNK,
    compared,
    line_up,
)


def keys(chain):
    return [start.node.key for start in chain.starts]


def test_the_earliest_of_what_lines_up_is_the_start_and_the_rest_follows():
    chain = chain_of(line_up())
    assert keys(chain) == [FOOT]
    assert chain.starts[0].follows == (PELVIS, SHOULDERS, SEPARATION, TRUNK, EXTENSION)
    assert [(edge.cause, edge.effect) for edge in chain.edges] == [
        (FOOT, PELVIS), (PELVIS, SHOULDERS), (SHOULDERS, SEPARATION), (SHOULDERS, TRUNK),
        (TRUNK, EXTENSION),
    ]  # fmt: skip
    assert {node.key for node in chain.nodes} == {FOOT, *chain.starts[0].follows}
    assert [node.phase for node in chain.nodes][-1] == "release"


def test_what_no_start_reaches_is_unexplained():
    assert [(d.metric, d.words) for d in chain_of(line_up()).unexplained] == [("arm_slot", "lower")]


def test_the_score_is_the_share_of_the_other_weight_that_it_carries():
    # one follower of weight 2, carried by 0.6, and an unexplained one of weight 1.9
    found = [compared(*FOOT, -3.0), compared(*PELVIS, 2.0), compared("arm_slot", "release", 1.9)]
    (start,) = chain_of(found).starts
    assert start.score == pytest.approx(0.6 * 2.0 / (2.0 + 1.9))
    capped = [compared(*FOOT, -3.0), compared(*PELVIS, 40.0), compared("arm_slot", "release", 1.9)]
    assert chain_of(capped).starts[0].score == pytest.approx(0.6 * 3.0 / (3.0 + 1.9))


def test_the_other_way_round_holds_where_the_row_allows_it():
    turned = [replace(d, d=-d.d) for d in line_up() if d.d is not None]
    chain = chain_of(turned)
    assert keys(chain) == [FOOT]
    assert len(chain.starts[0].follows) == 5
    one_way = [compared("stride_offset", "", -3.0), compared("pelvis_rotation", "release", 3.0)]
    assert chain_of(one_way).starts == ()
    assert keys(chain_of([replace(d, d=-d.d) for d in one_way])) == [("stride_offset", "")]


def test_a_difference_that_goes_against_the_row_is_not_carried():
    chain = chain_of(line_up(shoulder_line_rotation=-2.2))
    assert SHOULDERS not in chain.starts[0].follows
    assert EXTENSION not in chain.starts[0].follows


def test_what_is_within_error_is_led_over_only_where_it_leans_the_way_that_fits():
    for size in (0.0, -0.1, -0.9):
        chain = chain_of(line_up(shoulder_line_rotation=size))
        assert chain.starts[0].follows == (PELVIS,)
    chain = chain_of(line_up(shoulder_line_rotation=0.1))
    assert chain.starts[0].follows == (PELVIS, SEPARATION, TRUNK, EXTENSION)
    over = next(edge for edge in chain.edges if edge.effect == SEPARATION)
    assert (over.cause, over.leaning, over.unseen) == (PELVIS, (SHOULDERS,), ())


def test_what_could_not_be_compared_is_led_over_and_carries_less():
    chain, whole = chain_of(line_up(pelvis_rotation=None)), chain_of(line_up())
    assert chain.starts[0].follows == (SHOULDERS, SEPARATION, TRUNK, EXTENSION)
    first = chain.edges[0]
    assert (first.cause, first.effect) == (FOOT, SHOULDERS)
    assert [(end.metric, end.event) for end in first.unseen] == [PELVIS]
    assert chain.starts[0].score < whole.starts[0].score
    without = [d for d in line_up() if d.metric != "pelvis_rotation"]
    assert chain_of(without).edges == chain.edges


def test_nothing_clear_or_nothing_that_links_gives_no_start_and_says_so():
    for found in ([], [compared(*FOOT, 0.5), compared(*PELVIS, 0.9)]):
        chain = chain_of(found)
        assert (chain.starts, chain.nodes, chain.unexplained) == ((), (), ())
        assert "no difference is clear" in chain.sentences[0].lower()
    alone = chain_of([compared("arm_slot", "release", 3.0)])
    assert alone.starts == ()
    assert [d.metric for d in alone.unexplained] == ["arm_slot"]
    assert "do not line up" in alone.sentences[0]


def test_differences_that_are_barely_clear_give_no_start_among_many_comparisons():
    pair = [compared(*FOOT, -1.3), compared(*PELVIS, 1.3)]
    others = [
        compared(spec.key, event, 0.2)
        for spec in METRICS
        for event in spec.result_events
        if (spec.key, event) not in (FOOT, PELVIS)
    ]
    assert keys(chain_of(pair)) == [FOOT]
    assert chain_of(pair + others).starts == ()
    surer = [compared(*FOOT, -1.3), compared(*PELVIS, 2.0), *others]
    assert keys(chain_of(surer)) == [FOOT]


def test_chance_alone_is_given_a_start_no_oftener_than_the_level():
    rng, n, n_offered = random.Random(7), 400, 0
    every = [(spec.key, event) for spec in METRICS for event in spec.result_events]
    for _ in range(n):
        # u(d) is half of U: a true u makes |d|/U normal with a spread of one half
        chain = chain_of([compared(*key, rng.gauss(0.0, 0.5)) for key in every])
        n_offered += bool(chain.starts)
    assert n_offered <= FAMILY_LEVEL * n


def test_a_metric_that_differs_at_several_instants_leads_nowhere_by_itself():
    knee = [
        compared("lead_knee_flexion", event, 3.0)
        for event in ("foot_contact", "foot_plant", "full_layback", "release")
    ]
    assert chain_of(knee).starts == ()
    assert keys(chain_of([*knee, compared(*TRUNK, -2.0)])) == [
        ("lead_knee_flexion", "foot_contact")
    ]


def test_the_start_that_carries_most_comes_first_and_a_third_that_carries_hardly_anything_not_at_all():
    found = [
        *line_up(),
        compared(*SLOW_START, -2.0),
        compared("stride_length", "", -1.5),
        compared("lead_knee_extension", "", -2.0),
        compared("com_forward_speed_kept", "release", 2.0),
        compared("max_glove_distance", "", -1.5),
        compared("glove_distance", "foot_contact", -1.5),
        compared("drive_knee_flexion", "leg_lift", -3.0),
        compared("com_forward_speed", "foot_contact", -2.0),
    ]
    chain = chain_of(found)
    # the slow start leads to the foot, so that the foot is no start any more
    assert keys(chain)[0] == SLOW_START
    assert FOOT not in keys(chain)
    # the back knee leads to what the slow start has carried already
    assert keys(chain) == [SLOW_START, ("lead_knee_extension", "")]
    assert len(chain.unexplained) > 0
    assert sum(start.score for start in chain.starts) <= 1.0


def test_there_are_at_most_three_starts():
    # four pairs, each by itself
    found = [
        compared("drive_knee_flexion", "leg_lift", -3.0),
        compared("com_forward_speed", "foot_contact", -3.0),
        compared("stride_length", "", 0.0), compared(*TRUNK, 0.0), compared(*SHOULDERS, 0.0),
        compared("lead_knee_extension", "", -3.0),
        compared("com_forward_speed_kept", "release", 3.0),
        compared(*FOOT, -3.0), compared(*PELVIS, 3.0),
        compared("glove_distance", "foot_contact", -3.0),
        compared("glove_distance", "release", -3.0),
        compared("trunk_lateral_tilt", "full_layback", 3.0),
        compared("arm_slot", "release", -3.0),
    ]  # fmt: skip
    assert len(chain_of(found).starts) == MOST_STARTS


def test_two_starts_that_carry_the_same_are_offered_in_the_order_of_the_delivery():
    # each leads to one of its own, all of one weight
    found = [
        compared("stride_length", "", -3.0), compared("release_extension", "release", -3.0),
        compared("lead_foot_direction", "foot_plant", -3.0), compared(*PELVIS, 3.0),
        # nothing in between, so that neither leads to what follows the other
        compared(*SHOULDERS, 0.0), compared(*TRUNK, 0.0), compared("max_separation", "", 0.0),
    ]  # fmt: skip
    for order in (found, found[::-1]):
        assert keys(chain_of(order)) == [FOOT, ("stride_length", "")]


def test_the_order_of_the_differences_does_not_matter():
    found = line_up()
    once = chain_of(found)
    for seed in range(5):
        shuffled = random.Random(seed).sample(found, len(found))
        again = chain_of(shuffled)
        assert (again.starts, again.nodes, again.edges) == (once.starts, once.nodes, once.edges)


def test_a_speed_from_the_clip_stands_for_that_of_the_radar():
    chain = chain_of([compared(*TRUNK, -3.0), compared("ball_speed_measured", "", -2.0)])
    assert keys(chain) == [TRUNK]
    (_, ball) = chain.nodes
    assert ball.difference.metric == "ball_speed_measured"


def test_own_links_take_the_place_of_the_programs():
    assert chain_of(line_up(), links=()).starts == ()
    only = [link for link in LINKS if link.cause.metric == "separation"]
    assert keys(chain_of(line_up(), links=only)) == [SEPARATION]
