from __future__ import annotations

from pathlib import Path

import pytest

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.difference import differences
from deliverylab.core.errors import InputValueError, NotFoundError, UsageError
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.projectfile import load_project
from deliverylab.core.workflow.walkthrough_script import adjusted, default_script
from tests.core.walked_pair import MARKS_A, delivery, pair

DEMO = Path(__file__).resolve().parents[3] / "examples" / "demo.delivery"
NAMES = ("Ana 1", "Model")


def test_a_stop_at_each_key_event_that_both_know():
    script = default_script(ProjectRecord(deliveries=pair()), NAMES)
    # hand break is no key instant; full layback is marked in neither
    assert [stop.event for stop in script.stops] == ["leg_lift", "foot_contact", "release"]
    assert {stop.pause_s for stop in script.stops} == {3.0}
    assert (script.pair, script.speed, script.voice) == (NAMES, 0.25, "")


def test_an_event_that_one_lacks_is_no_stop():
    without = {event: time_s for event, time_s in MARKS_A.items() if event != "release"}
    a, b = delivery("Ana 1", without), pair()[1]
    script = default_script(ProjectRecord(deliveries=(a, b)), NAMES)
    assert [stop.event for stop in script.stops] == ["leg_lift", "foot_contact"]


def test_captions_say_what_differs():
    record = load_project(DEMO)
    a, b = record.deliveries[:2]
    found = differences(a, b)
    script = default_script(record, (a.name, b.name), found)
    captions = {stop.event: stop.caption for stop in script.stops}
    assert "Stride: shorter" in captions["foot_plant"]
    assert all(len(caption) < 250 for caption in captions.values())
    assert script == default_script(record, (a.name, b.name)), "measured where not given"
    assert script == default_script(record, (a.name, b.name), found, chain_of(found))


def test_deliveries_that_cannot_be_aligned_are_refused():
    a, b = delivery("Ana 1", {"release": 1.0}), pair()[1]
    with pytest.raises(UsageError):
        default_script(ProjectRecord(deliveries=(a, b)), NAMES)


def test_deliveries_without_a_common_key_event_are_refused():
    a = delivery("Ana 1", {"leg_lift": 0.4, "hand_break": 0.6, "foot_contact": 1.0, "finish": 1.5})
    b = delivery("Model", {"hand_break": 0.6, "foot_plant": 1.0, "release": 1.2, "leg_lift": 2.0})
    with pytest.raises(UsageError):
        default_script(ProjectRecord(deliveries=(a, b)), NAMES)


def test_a_delivery_that_is_not_there_is_refused():
    with pytest.raises(NotFoundError):
        default_script(ProjectRecord(deliveries=pair()), ("Ana 1", "Nobody"))


def test_a_script_is_adjusted_where_something_is_given():
    script = default_script(ProjectRecord(deliveries=pair()), NAMES)
    assert adjusted(script) == script
    changed = adjusted(script, speed=0.5, pause_s=1.5, voice="a.wav", voice_offset_s=2.0)
    assert (changed.speed, changed.voice, changed.voice_offset_s) == (0.5, "a.wav", 2.0)
    assert [stop.pause_s for stop in changed.stops] == [1.5] * 3
    assert [stop.caption for stop in changed.stops] == [stop.caption for stop in script.stops]
    with pytest.raises(InputValueError):
        adjusted(script, pause_s=-1.0)
