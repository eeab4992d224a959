from __future__ import annotations

from msgspec.structs import replace

from deliverylab.core.compare.plan_words import gap_words, plan_row, priority_words
from deliverylab.core.model.plan import Plan, Priority

TRUNK = Priority(
    metric="trunk_forward_tilt", event="release", way="more",
    value=22.0, u=1.5, partner=34.0, target=28.0,
)  # fmt: skip
SPEED = Priority(metric="com_forward_speed", event="leg_lift", way="less", value=0.5, target=0.4)


def test_what_it_is_about():
    assert priority_words(TRUNK) == "Trunk forward tilt at release, more forward"
    assert priority_words(SPEED) == "Forward speed of the body at leg lift, slower"
    assert priority_words(replace(SPEED, metric="gone")) == "gone"


def test_the_gap_in_the_readers_units():
    assert gap_words(TRUNK, "metric") == "now 22° ± 3, partner 34°, aim for 28° or more"
    assert gap_words(SPEED, "metric") == "now 0.50 m/s, aim for 0.40 m/s or less"
    # 0.5 m/s = 1.118 mph, 0.4 m/s = 0.895 mph
    assert gap_words(SPEED, "imperial") == "now 1.1 mph, aim for 0.9 mph or less"


def test_a_row_holds_the_whole_plan():
    row = plan_row(Plan(priorities=(TRUNK,), note="x"), ["Mind."])
    assert row["priorities"][0]["target"] == 28.0
    assert (row["note"], row["recheck_date"], row["cautions"]) == ("x", "", ["Mind."])


def test_what_is_not_known_is_left_out():
    bare = Priority(metric="separation", event="foot_contact", way="more")
    assert gap_words(bare, "metric") == ""
    assert gap_words(replace(TRUNK, metric="gone"), "metric") == ""
