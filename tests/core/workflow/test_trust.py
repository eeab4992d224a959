"""How well would this set-up measure?"""

from __future__ import annotations

import math

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.filming import FilmingSetUp
from deliverylab.core.workflow.trust import Outcome, summarise, trust
from deliverylab.core.workflow.trust_delivery import Care

SET_UPS = {
    "side": (FilmingSetUp(), Care()),
    "side, 10° off": (FilmingSetUp(yaw_deg=10.0), Care()),
    "side, yaw unknown": (FilmingSetUp(), Care(u_yaw_deg=5.0)),
    "rear": (FilmingSetUp(view="rear"), Care()),
}


def by_result(rows):
    return {(row.metric, row.event): row for row in rows}


@pytest.mark.parametrize("name", SET_UPS)
def test_the_stated_interval_holds_the_truth_as_often_as_it_says(name):
    n = 40
    rows = [row for row in trust(*SET_UPS[name], n=n, n_workers=1) if row.n_shown > 24]
    assert len(rows) >= 6
    for row in rows:
        if "speed" in row.metric:
            continue  # a short peak is read low by the local fit; what it costs is tested there
        # Of 40 at 95 % fewer than 33 are held once in 3,000 times (binomial).
        assert row.coverage * row.n_shown >= 33 - (n - row.n_shown), (row.metric, row.event)
    # All results together are many, though related: not too wide either.
    assert sum(row.coverage for row in rows) / len(rows) < 0.995


def test_the_same_seed_gives_the_same_whoever_works():
    alone = trust(n=20, n_workers=1)
    assert trust(n=20, n_workers=2) == alone
    assert trust(n=20, n_workers=1, seed=2) != alone


def test_progress_is_told_and_a_cancelled_run_gives_what_is_done():
    told = []
    rows = trust(n=12, n_workers=1, progress=lambda *done: told.append(done))
    assert told == [(5, 12), (10, 12), (12, 12)]
    assert rows[0].n == 12
    stopped = trust(n=12, n_workers=1, is_cancelled=lambda: True)
    assert stopped[0].n == 5


def test_it_can_be_stopped_before_the_processes_are_up():
    assert trust(n=20, n_workers=2, is_cancelled=lambda: True) == ()


def test_careless_placing_is_seen_in_error_and_in_the_stated_margin():
    careful, careless = (
        by_result(trust(care=Care(placing_m=u_m), n=20, n_workers=1)) for u_m in (0.003, 0.03)
    )
    key = ("trunk_forward_tilt", "leg_lift")
    assert careless[key].rmse > 3.0 * careful[key].rmse
    assert careless[key].expanded_u > 3.0 * careful[key].expanded_u
    assert careless[key].limited_by == "placing the landmarks"


def test_what_a_view_cannot_show_has_a_reason_and_no_error():
    row = by_result(trust(n=2, n_workers=1))["separation", "foot_contact"]
    assert row.n_shown == 0
    assert math.isnan(row.rmse)
    assert row.reason
    assert row.as_row()["rmse"] is None


def test_two_careful_placings_tell_five_degrees_of_trunk_tilt_apart():
    # careful: hips and shoulders to 10 mm; U of a difference of two is √2 times that of one
    rows = by_result(trust(FilmingSetUp(), Care(placing_m=0.010), n=20, n_workers=1))
    assert math.sqrt(2.0) * rows["trunk_forward_tilt", "release"].expanded_u < 5.0


def test_outcomes_are_summed_up_by_hand():
    parts = (("placing the landmarks", 1.0), ("depth not seen", 0.25))
    rows = summarise(
        [
            (Outcome("trunk_forward_tilt", "release", 3.0, 2.0, parts, "", ""),),
            (Outcome("trunk_forward_tilt", "release", -1.0, 2.0, parts, "", ""),),
            (Outcome("trunk_forward_tilt", "release", math.nan, math.nan, (), "hidden", "move"),),
        ]
    )
    (row,) = rows
    assert (row.n, row.n_shown, row.reason, row.remedy) == (3, 2, "hidden", "move")
    assert row.rmse == pytest.approx(math.sqrt(5.0))
    assert (row.bias, row.coverage, row.expanded_u) == (1.0, 0.5, 2.0)
    assert row.limited_by == "placing the landmarks"


@pytest.mark.parametrize("n", [0, 1, 10**6])
def test_a_number_that_cannot_be_is_refused(n):
    with pytest.raises(InputValueError):
        trust(n=n)
