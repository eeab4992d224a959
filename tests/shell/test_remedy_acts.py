from __future__ import annotations

import pytest

from deliverylab.core.metrics.remedies import CAMERAS, DEPTH, MARKING, TIMING, line
from deliverylab.core.metrics.spec import PLACING
from deliverylab.shell.actions import BY_KEY as ACTIONS
from deliverylab.shell.remedy_acts import PLACES, act_for, surest_ways
from tests.shell.test_value_text import result_of


@pytest.mark.parametrize(
    ("part", "place", "event"),
    [
        (line(PLACING, 1.0, "lead_knee", "foot_contact"), "landmark", "foot_contact"),
        (line(TIMING, 1.0, "", "release"), "event", "release"),
        (line(MARKING + "leg lift", 1.0, "", "leg_lift"), "event", "leg_lift"),
        (line("level of the camera", 1.0), "scale", ""),
        (line("height of the athlete", 1.0), "facts", ""),
        (line(DEPTH, 1.0), "plan", ""),
        (line(CAMERAS, 1.0), "field", ""),
    ],
)
def test_a_part_leads_to_where_it_is_made_smaller(part, place, event):
    act = act_for(part, result_of(camera="side"))
    assert (act.place, act.event, act.camera) == (place, event, "side")
    assert act.text


def test_what_nobody_can_change_leads_nowhere():
    assert act_for(line("segment weights", 1.0), result_of()) is None
    assert act_for(line(PLACING, 1.0), result_of()) is None


def test_places_are_actions_of_the_window():
    assert set(PLACES.values()) <= set(ACTIONS)


def test_the_surest_ways_come_with_who_gains_and_where_to_go(placed_pair):
    results = placed_pair.results("athlete")
    ways = surest_ways(results, 3)
    assert len(ways) == 3
    assert ways[0].help.gain >= ways[1].help.gain >= ways[2].help.gain
    for way in ways:
        assert any(part.remedy == way.help.remedy for part in way.gainer.budget)
        assert way.gainer.is_shown
    assert surest_ways((), 3) == ()
