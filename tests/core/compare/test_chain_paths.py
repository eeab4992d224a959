from __future__ import annotations

import pytest

from deliverylab.core.compare.chain_paths import UNSEEN_SHARE, best_paths
from deliverylab.core.compare.link_rows import less, link, more

A, B, C, D = ((metric, "") for metric in ("stride_length", "separation", "arm_slot", "ball_speed"))
LINKS = (
    link(more(*A), more(*B), "one", strength=0.5),
    link(more(*B), more(*D), "two", strength=0.5),
    link(more(*A), less(*C), "three", strength=0.9),
    link(less(*C), more(*D), "four", strength=0.9, is_mirrored=False),
)


def test_strengths_multiply_and_the_best_path_counts():
    paths = best_paths(A, {A: "more", B: "more", C: "less", D: "more"}, LINKS)
    assert {key: path.share for key, path in paths.items()} == {
        B: pytest.approx(0.5), C: pytest.approx(0.9), D: pytest.approx(0.81)
    }  # fmt: skip
    assert paths[D].cause == C
    assert [each.why for each in paths[D].links] == ["four"]


def test_the_ways_decide_which_rows_fit():
    turned = best_paths(A, {A: "less", B: "less", C: "more", D: "less"}, LINKS)
    assert paths_of(turned) == {B: A, C: A, D: B}
    against = best_paths(A, {A: "more", B: "less", C: "less", D: "more"}, LINKS)
    assert paths_of(against) == {C: A, D: C}


def test_an_unseen_metric_is_led_over_at_a_lower_share():
    paths = best_paths(A, {A: "more", D: "more"}, LINKS, unseen={C})
    assert paths[D].share == pytest.approx(0.81 * UNSEEN_SHARE)
    assert paths[D].cause == A
    assert [each.why for each in paths[D].links] == ["three", "four"]
    assert C not in paths


def test_a_metric_that_leans_is_led_over_that_way_only():
    ways = {A: "more", D: "more"}
    assert best_paths(A, ways, LINKS, leaning={C: "less"})[D].share == pytest.approx(
        0.81 * UNSEEN_SHARE
    )
    assert best_paths(A, ways, LINKS, leaning={C: "more"}) == {}


def test_what_is_neither_clear_nor_unseen_ends_a_path():
    assert best_paths(A, {A: "more", D: "more"}, LINKS) == {}


def test_what_carries_next_to_nothing_is_not_carried():
    weak = (
        link(more(*A), more(*B), "one", strength=0.1),
        link(more(*B), more(*D), "two", strength=0.1),
    )
    assert set(best_paths(A, {A: "more", B: "more", D: "more"}, weak)) == {B}


def paths_of(paths):
    return {key: path.cause for key, path in paths.items()}
