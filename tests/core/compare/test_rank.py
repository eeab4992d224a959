from __future__ import annotations

import itertools

import numpy as np
import pytest

from deliverylab.core.compare.rank import YARDSTICKS, is_small, ranked
from deliverylab.core.metrics.catalogue import BY_KEY
from tests.core.compare.results import difference


def test_clear_ones_by_score_then_the_others():
    small = difference(score=0.4, yardstick=8.5, event="release")
    large = difference(score=2.0, yardstick=8.5)
    within = difference(verdict="within_error", score=9.0, yardstick=8.5)
    apart = difference(verdict="not_comparable", d=None, u=None)
    for order in itertools.permutations([small, large, within, apart]):
        first, second, *others = ranked(list(order))
        assert (first.score, first.rank) == (2.0, 1)
        assert (second.score, second.rank) == (0.4, 2)
        assert [other.verdict for other in others] == ["within_error", "not_comparable"]
        assert [other.rank for other in others] == [None, None]


def test_a_yardstick_comes_before_any_score_without_one():
    # only a spread among pitchers says how much a difference is; |d| / U says how sure it is
    without = difference(score=50.0, yardstick=None)
    with_one = difference(score=0.3, yardstick=8.5)
    assert [d.yardstick for d in ranked([without, with_one])] == [8.5, None]


def test_equal_scores_go_by_time():
    later, earlier = difference(event="release"), difference(event="foot_contact")
    assert [d.event for d in ranked([later, earlier])] == ["foot_contact", "release"]


def test_nothing_is_lost_and_nothing_is_found():
    assert ranked([]) == ()
    many = [difference(score=float(number)) for number in range(20)]
    assert sorted(d.score for d in ranked(many)) == [float(number) for number in range(20)]
    assert [d.rank for d in ranked(many)] == list(range(1, 21))


def test_yardsticks_belong_to_metrics_of_the_catalogue():
    for metric, event in YARDSTICKS:
        spec = BY_KEY[metric]
        assert event in (spec.events if spec.kind == "at_event" else ("",))


@pytest.mark.parametrize(
    ("key", "spread"),
    [
        # Kageyama et al. 2015, J Sports Sci Med 14:246-255, tables 2-4, collegiate SD
        (("stride_length", ""), 4.2),
        (("lead_knee_flexion", "foot_contact"), 8.5),
        (("lead_knee_flexion", "full_layback"), 10.9),
        (("lead_knee_flexion", "release"), 13.7),
        (("drive_knee_flexion", "leg_lift"), 6.4),
        (("drive_knee_flexion", "foot_contact"), 10.2),
    ],
)
def test_yardsticks_against_their_source(key, spread):
    assert YARDSTICKS[key].spread == spread
    assert "Kageyama" in YARDSTICKS[key].source


def test_published_groups_rank_the_knee_before_the_stride():
    # The same paper: knee at contact 40.0 (8.2) and 46.8 (8.5) degrees, stride 82.9 (6.1) and
    # 84.6 (4.2) % of height, 32 adolescents and 30 collegiates; effect sizes printed .80 and .33.
    rng = np.random.default_rng(1)
    groups = {
        ("lead_knee_flexion", "foot_contact"): ((40.0, 8.2), (46.8, 8.5)),
        ("stride_length", ""): ((82.9, 6.1), (84.6, 4.2)),
    }
    scores = {}
    for key, ((mean_a, sd_a), (mean_b, sd_b)) in groups.items():
        pooled = np.sqrt((31 * sd_a**2 + 29 * sd_b**2) / 60.0)
        # printed from values before rounding: means and spreads to 0.1 move it by 0.02
        printed = {"lead_knee_flexion": 0.80, "stride_length": 0.33}[key[0]]
        assert abs(mean_a - mean_b) / pooled == pytest.approx(printed, abs=0.03)
        # the yardstick is the spread of the elder group alone: the same size within a quarter
        scores[key] = abs(mean_a - mean_b) / YARDSTICKS[key].spread
        assert scores[key] == pytest.approx(printed, rel=0.25)
    assert scores["lead_knee_flexion", "foot_contact"] > scores["stride_length", ""]

    # two groups drawn again and again: their means' difference ranks the knee first
    n_repeats, knee_first = 400, 0
    for _ in range(n_repeats):
        drawn = []
        for key, ((mean_a, sd_a), (mean_b, sd_b)) in groups.items():
            d = rng.normal(mean_a, sd_a, 32).mean() - rng.normal(mean_b, sd_b, 30).mean()
            spread = YARDSTICKS[key].spread
            score = abs(d) / spread
            drawn.append(difference(event=key[1], d=d, yardstick=spread, score=score))
        knee_first += ranked(drawn)[0].event == "foot_contact"
    # The two scores are .80 and .40, each with a spread near √(1/32 + 1/30) = .25 to .29: the gap
    # of .40 is 1.04 of its own spread of .39, which is 85 %.
    assert knee_first / n_repeats == pytest.approx(0.85, abs=0.06)


def test_what_is_clear_but_small_comes_after_what_has_no_yardstick_and_the_ball_last():
    # Below 0.2 of the spread a difference is small (Cohen 1988, small effect).
    tempo = difference(score=0.1, yardstick=0.3, metric="lift_to_contact_time", event="")
    knee = difference(score=0.5, yardstick=8.5)
    height = difference(score=2.0, yardstick=None, metric="release_height", event="")
    ball = difference(score=1.4, yardstick=1.9, metric="ball_speed", event="")
    order = [d.metric for d in ranked([ball, tempo, height, knee])]
    assert order == [knee.metric, "release_height", "lift_to_contact_time", "ball_speed"]


def test_an_own_spread_that_is_small_makes_no_small_difference_large():
    # 2.0 of an own spread of 0.3 % of height is 0.14 of the 4.2 between pitchers
    stride = difference(score=2.0, yardstick=0.3, metric="stride_length", event="")
    height = difference(score=2.0, yardstick=None, metric="release_height", event="")
    assert [d.metric for d in ranked([stride, height])] == ["release_height", "stride_length"]
    assert is_small(stride)
    # a wide own spread makes nothing small that is not small by it
    wide = difference(score=0.3, yardstick=20.0, metric="stride_length", event="")
    assert not is_small(wide)
