"""A few athletes with planted faults; `tests/benchmarks/bench_chain.py` has the figures over many."""

from __future__ import annotations

from deliverylab.core.compare.chain import chain_of
from tests.core.compare.planted import EFFECTS, FAULTS, compared, follows, planted

SOME = (
    "little momentum at leg lift", "front foot lands open", "glove pulled early",
    "front knee gives",
)  # fmt: skip
BY_NAME = {fault.name: fault for fault in FAULTS}


def test_planted_faults_are_where_it_starts():
    found = []
    for seed, name in enumerate(SOME, 11):
        starts = chain_of(compared((BY_NAME[name],), seed)).starts
        first = [start.node for start in starts[:2] if start.node.key in BY_NAME[name].seen_as]
        found.append(bool(first))
    # nine in ten are: of four, one may be missed
    assert sum(found) >= len(SOME) - 1


def test_the_same_throw_filmed_twice_starts_nothing():
    assert chain_of(compared((), 21, is_same_throw=True)).starts == ()


def test_two_planted_faults_do_not_follow_from_each_other():
    for seed in range(200):
        faults = planted(seed)
        assert len(faults) in (1, 2)
        for one in faults:
            for other in faults:
                assert one is other or not follows(one, other)


def test_an_effect_has_its_cause_before_it():
    done = {fault.quantity for fault in FAULTS}
    for number, effect in enumerate(EFFECTS):
        assert effect.of not in {later.on for later in EFFECTS[number:]}
        assert effect.of in done or effect.of in {each.on for each in EFFECTS[:number]}
        assert effect.source
