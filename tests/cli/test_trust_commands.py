from __future__ import annotations

import json

import pytest

import deliverylab
from deliverylab.core.synthetic.filming import FilmingSetUp

QUICK = ("-n", "4", "--rate", "60")


def test_the_table_says_error_margin_and_what_limits(run):
    status, out, err = run("trust", "--distance", "8", "--yaw", "10", *QUICK)
    assert (status, err) == (0, "")
    line = next(each for each in out.splitlines() if "Trunk forward tilt" in each)
    assert "°" in line
    assert " %" in line
    assert "not shown" in out
    assert "one camera does not show it" in " ".join(out.split())


def test_json_holds_every_metric(run):
    status, out, _ = run("trust", "--view", "rear", "--placing-mm", "5", *QUICK, "--json", "-")
    rows = json.loads(out)
    assert status == 0
    slot = next(row for row in rows if row["metric"] == "arm_slot")
    assert slot["n"] == 4
    assert {"rmse", "bias", "coverage", "expanded_u", "share_shown", "limited_by"} <= set(slot)


def test_a_set_up_that_cannot_be_is_one_line(run):
    status, out, err = run("trust", "--distance", "0.2", *QUICK)
    assert (status, out) == (7, "")
    assert err.count("\n") == 1


@pytest.mark.parametrize("option", ["--u-yaw", "--clothing-mm", "--placing-mm", "--placing-px"])
def test_care_below_zero_is_one_line(run, option):
    status, out, err = run("trust", *QUICK, option, "-3")
    assert (status, out) == (7, "")
    assert err.count("\n") == 1
    assert "0 or more" in err


def test_python_gives_the_same_as_a_frame():
    frame = deliverylab.trust(n=3, set_up=FilmingSetUp(rate_hz=60.0))
    assert frame.set_index(["metric", "event"]).loc[("trunk_forward_tilt", "release"), "n"] == 3
