from __future__ import annotations

import math
from dataclasses import replace

import msgspec
import pytest

from deliverylab.core.compare.difference import _difference, compare_parties, differences
from deliverylab.core.compare.parties import Party, one_party
from deliverylab.core.compare.published import PUBLISHED
from deliverylab.core.compare.rank import NO_YARDSTICK
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.synthetic.spec import DeliverySpec
from tests.core.compare.results import result
from tests.core.compare.thrown import delivery, knee, remember
from tests.published.filmed import filmed


@pytest.fixture(scope="module")
def short_stride():
    return filmed("Ana 1", replace(DeliverySpec(), stride_percent_height=76.0))


@pytest.fixture(scope="module")
def model():
    return filmed("Ben 2", DeliverySpec(hand="left"), distance_m=8.0)


# ------------------------------------------------------------------------------------ the rule


@pytest.mark.parametrize(
    ("d", "verdict"),
    [(9.99, "within_error"), (10.01, "clear"), (-10.01, "clear"), (0.0, "within_error")],
)
def test_clear_is_more_than_two_u(d, verdict):
    # u(d) = √(3² + 4²) = 5
    found = _difference(result(value=40.0 + d, u=3.0), result(value=40.0, u=4.0))
    assert found.verdict == verdict
    assert found.d == pytest.approx(d)
    assert found.u == pytest.approx(5.0)
    words = {"clear": "more bent" if d > 0 else "straighter", "within_error": ""}
    assert found.words == words[verdict]


def test_score_is_in_units_of_the_yardstick():
    found = _difference(result(value=48.5), result(value=40.0))
    assert found.yardstick == 8.5
    assert found.score == pytest.approx(1.0)


def test_without_a_yardstick_it_is_set_against_its_own_margin_and_says_so():
    tilt = {"metric": "trunk_lateral_tilt", "event": "release", "u": 1.0}
    found = _difference(result(value=30.0, **tilt), result(value=20.0, **tilt))
    assert found.yardstick is None
    assert found.yardstick_source == NO_YARDSTICK
    assert found.score == pytest.approx(10.0 / (2.0 * math.sqrt(2.0)))


def test_what_one_of_them_does_not_show_is_not_compared_and_says_why():
    gone = {"status": "not_shown", "value": None, "u": None}
    one = _difference(result(**gone, reason="no scale"), result(delivery="Ben 2"))
    assert (one.verdict, one.d, one.u, one.score) == ("not_comparable", None, None, 0.0)
    assert one.reason == "Ana 1: no scale"
    both = _difference(
        result(**gone, reason="no scale"), result(**gone, delivery="Ben 2", reason="no scale")
    )
    assert both.reason == "in both: no scale"
    two = _difference(
        result(**gone, reason="no scale"), result(**gone, delivery="Ben 2", reason="not marked")
    )
    assert two.reason == "Ana 1: no scale; Ben 2: not marked"


def test_what_is_measured_in_two_ways_is_not_compared():
    found = _difference(result(basis="from the rubber"), result(basis="from the drive ankle"))
    assert found.verdict == "not_comparable"
    assert found.reason == "measured from the rubber in one and from the drive ankle in the other"
    same = {"basis": "from the rubber"}
    assert _difference(result(**same), result(**same)).verdict == "within_error"


# ------------------------------------------------------------------------------ two deliveries


def test_a_planted_difference_is_found_first(short_stride, model):
    found = differences(short_stride, model)
    # 8.6 % of height over a spread of 4.2: twice what pitchers differ, all else is the same throw
    assert (found[0].metric, found[0].rank) == ("stride_length", 1)
    assert found[0].words == "shorter"
    # Each side shows the stride of its figure to within its own ±.
    assert found[0].d == pytest.approx(76.0 - 84.6, abs=found[0].expanded_u)


def test_every_metric_of_the_catalogue_is_in_it_once(short_stride, model):
    found = differences(short_stride, model)
    keys = [(d.metric, d.event) for d in found]
    assert len(set(keys)) == len(keys)
    # but the stride in metres: the stride as a share of height says the same, and says it better
    assert set(keys) == {(r.metric, r.event) for r in evaluate(model)} - {("stride_length_m", "")}
    order = ["clear", "within_error", "not_comparable"]
    assert [d.verdict for d in found] == sorted((d.verdict for d in found), key=order.index)
    for d in found:
        if d.verdict == "not_comparable":
            assert d.reason
            continue
        assert (abs(d.d) > 2.0 * d.u) == (d.verdict == "clear")
        assert d.u == pytest.approx(math.hypot(d.a.u, d.b.u))
        if d.verdict == "clear":
            assert d.words == (BY_KEY[d.metric].more if d.d > 0.0 else BY_KEY[d.metric].less)


def test_a_throw_does_not_differ_from_itself_nor_from_its_mirror_image(model):
    right = filmed("Cy 3", DeliverySpec(hand="right"), distance_m=8.0)
    for other in (model, right):
        found = differences(model, other)
        assert not [d.metric for d in found if d.verdict == "clear"]
        # a mirrored throw before a mirrored camera has the very same numbers: ten digits
        shown = [d for d in found if d.d is not None]
        assert len(shown) > 15
        assert [d.d for d in shown] == pytest.approx([0.0] * len(shown), abs=1e-9)


def test_the_other_way_round_turns_the_sign_only(short_stride, model):
    there = {(d.metric, d.event): d for d in differences(short_stride, model)}
    back = {(d.metric, d.event): d for d in differences(model, short_stride)}
    assert there.keys() == back.keys()
    for key, d in there.items():
        assert back[key].verdict == d.verdict
        assert back[key].rank == d.rank
        if d.d is not None:
            assert back[key].d == pytest.approx(-d.d)
            assert back[key].u == pytest.approx(d.u)


def test_without_a_height_the_stride_is_compared_in_metres(short_stride, model):
    sizeless = [
        msgspec.structs.replace(each, athlete=msgspec.structs.replace(each.athlete, height_m=None))
        for each in (short_stride, model)
    ]
    found = {d.metric: d for d in differences(*sizeless)}
    assert found["stride_length"].verdict == "not_comparable"
    assert found["stride_length_m"].verdict == "clear"


def test_another_view_is_not_comparable(model):
    behind = filmed("Ana 1", DeliverySpec(), view="rear")
    found = {(d.metric, d.event): d for d in differences(behind, model)}
    stride = found["stride_length", ""]
    assert stride.verdict == "not_comparable"
    assert stride.reason == "Ana 1: the rear view does not show it"
    assert found["lift_to_contact_time", ""].verdict == "within_error"


def test_nothing_marked_nothing_compared(model):
    bare = msgspec.structs.replace(
        model, name="Ana 1", cameras=(msgspec.structs.replace(model.cameras[0], marks={}),)
    )
    assert {d.verdict for d in differences(bare, model)} == {"not_comparable"}


def test_a_difference_of_few_repeats_needs_a_larger_gap():
    # u 2 and 2 with 3 degrees of freedom each: u(d) = 2.83 with 6 by Welch and Satterthwaite,
    # k = 2.52 at 95.45 % (JCGM 100:2008, table G.2)
    few = [result(value=value, u=2.0, n_degrees_of_freedom=3.0) for value in (40.0, 46.5)]
    sure = [result(value=value, u=2.0) for value in (40.0, 46.5)]
    unclear, clear = _difference(*few), _difference(*sure)
    assert unclear.n_degrees_of_freedom == pytest.approx(6.0)
    assert unclear.expanded_u == pytest.approx(2.52 * 8.0**0.5, abs=0.01)
    assert (unclear.verdict, clear.verdict) == ("within_error", "clear")
    assert clear.coverage_factor == 2.0
    assert unclear.as_row()["k"] == pytest.approx(2.52, abs=0.01)


# ------------------------------------------------------------------------------- several a side


def _party(name, values, **facts):
    ones = []
    for number, value in enumerate(values, start=1):
        each = delivery(f"{name} {number}", athlete=facts.get("athlete", name))
        ones.append(remember(each, knee(each, value, own=1.0, yaw=0.5)))
    return Party(f"all of {name}", tuple(ones))


def test_one_against_one_is_what_it_was(short_stride, model):
    assert compare_parties(one_party(short_stride), one_party(model)) == differences(
        short_stride, model
    )


def test_means_say_of_how_many_they_are():
    (found,) = compare_parties(_party("Ana", [40.0, 44.0, 48.0]), _party("Ben", [60.0]))
    assert (found.d, found.n_a, found.n_b) == (pytest.approx(-16.0), 3, 1)
    assert (found.spread_a, found.spread_b) == (pytest.approx(4.0), None)
    assert (found.a.delivery, found.b.delivery) == ("all of Ana", "Ben 1")
    row = found.as_row()
    assert (row["n_a"], row["spread_a"], row["n_b"], row["spread_b"]) == (3, 4.0, 1, None)


def test_the_athletes_own_spread_is_the_yardstick_from_three_deliveries_on():
    ben = _party("Ben", [60.0])
    (found,) = compare_parties(_party("Ana", [40.0, 44.0, 48.0]), ben)
    assert (found.yardstick, found.yardstick_source) == (
        pytest.approx(4.0),
        "own spread over 3 deliveries",
    )
    assert found.score == pytest.approx(4.0)
    (found,) = compare_parties(_party("Ana", [40.0, 44.0]), ben)
    assert "between college pitchers" in found.yardstick_source


def test_the_own_spread_is_never_below_what_placing_scatters():
    (found,) = compare_parties(_party("Ana", [40.0, 40.1, 40.2]), _party("Ben", [60.0]))
    assert found.yardstick == pytest.approx(1.0)


def test_the_partners_spread_is_the_own_one_where_it_is_the_same_athlete():
    today, before = _party("Ana", [60.0]), _party("Ana", [40.0, 44.0, 48.0])
    (found,) = compare_parties(today, before)
    assert found.yardstick_source == "own spread over 3 deliveries"
    (found,) = compare_parties(_party("Ben", [60.0]), before)
    assert "between college pitchers" in found.yardstick_source


def test_two_groups_of_athletes_are_set_against_the_spread_within_both():
    def group(name, values):
        ones = [_party(f"{name}{n}", [value]).deliveries[0] for n, value in enumerate(values)]
        return Party(name, tuple(ones))

    (found,) = compare_parties(group("A", [40.0, 44.0, 48.0]), group("B", [50.0, 52.0]))
    assert found.yardstick == pytest.approx(math.sqrt((2 * 16.0 + 2.0) / 3.0))
    assert found.yardstick_source == "spread within both groups (3 + 2)"


def test_a_published_group_is_compared_with_only_where_it_says_the_same(short_stride):
    college = Party("published college", (), "college")
    found = compare_parties(one_party(short_stride), college)
    stride = next(d for d in found if d.metric == "stride_length")
    assert (stride.b.value, stride.n_b, stride.spread_b) == (84.6, 30, 4.2)
    assert stride.yardstick_source == "spread between college pitchers, Kageyama et al. 2015"
    assert (found[0].metric, found[0].words) == ("stride_length", "shorter")
    shown = {(d.metric, d.event) for d in found if d.verdict != "not_comparable"}
    assert shown <= {(row.metric, row.event) for row in PUBLISHED}
    tilt = next(d for d in found if d.metric == "trunk_lateral_tilt" and not d.a.is_shown)
    assert "view does not show it" in tilt.reason
    speed = next(d for d in found if d.metric == "max_com_forward_speed")
    assert speed.reason == "nothing of this definition is published"


def test_two_means_of_few_deliveries_use_their_common_spread():
    a, b = _party("Ana", [40.0, 44.0, 48.0]), _party("Ben", [50.0, 52.0])
    (found,) = compare_parties(a, b)
    scatter = math.sqrt((2 * 16.0 + 2.0) / 3.0)
    shared = 2 * 0.5**2
    assert found.u == pytest.approx(math.sqrt(scatter**2 * (1 / 3 + 1 / 2) + shared))
    assert found.n_degrees_of_freedom < 6.0


def test_spreads_within_and_between_athletes_are_not_taken_together():
    own = _party("Ana", [40.0, 40.5, 41.0])
    college = Party("published college", (), "college")
    (found,) = compare_parties(own, college)
    # Kageyama et al. 2015: 8.5 between 30 pitchers, which says nothing of how Ana repeats
    assert found.u == pytest.approx(math.hypot(found.a.u, found.b.u))
    assert found.u < 2.0
    others = [_party(f"B{n}", [value]).deliveries[0] for n, value in enumerate([30.0, 50.0])]
    (found,) = compare_parties(own, Party("others", tuple(others)))
    assert found.u == pytest.approx(math.hypot(found.a.u, found.b.u))
