from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.metrics.catalogue import metric
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.precision import PlacingPrecision
from deliverylab.core.report import wording
from tests.core.metrics.solved import solved_delivery

replace = msgspec.structs.replace


def test_days_are_written_out():
    assert wording.day("2026-05-14") == "14\u00a0May\u00a02026"
    assert wording.day("last spring") == "last spring"


def test_facts_are_in_the_readers_units(athlete):
    assert wording.facts(athlete, "metric") == (
        "left-handed",
        "1.80 m",
        "14\u00a0May\u00a02026",
        "ball 31.4 m/s (113 km/h)",
    )
    assert "5 ft 11 in" in wording.facts(athlete, "imperial")
    assert "ball 70 mph" in wording.facts(athlete, "imperial")


def test_unknown_facts_are_left_out(athlete):
    who = replace(athlete.athlete, height_m=None)
    bare = replace(athlete, athlete=who, date="", ball_speed_m_s=None)
    assert wording.facts(bare, "metric") == ("left-handed",)


def test_own_deliveries_are_told_apart_by_their_names(athlete, model):
    assert wording.headings(athlete, model) == ("Noor V.", "College means")
    earlier = replace(athlete, name="spring")
    assert wording.headings(athlete, earlier) == ("bullpen 3", "spring")
    assert wording.compared_with(athlete, earlier).startswith("compared with own delivery “spring”")


def test_instants(make_result):
    assert wording.when(make_result()) == "at release"
    assert wording.when(make_result("stride_length", "")) == "from leg lift to foot plant"
    assert wording.when(make_result("lift_to_contact_time", "")) == ""
    assert wording.when(make_result("max_separation", "")) == ""


def test_values_keep_their_degree_and_split_other_units(make_result):
    assert wording.value(make_result(value=25.0, u=1.0), "metric") == ("25° ± 2", "")
    stride = make_result("stride_length", "", 77.61, 0.6)
    assert wording.value(stride, "metric") == ("77.6 ± 1.2", "% of height")
    height = make_result("release_height", "", 1.6, 0.01)
    assert wording.value(height, "imperial") == ("63.0 ± 0.8", "in")
    assert wording.value(make_result(status="estimated"), "metric")[0].startswith("about ")
    assert wording.value(make_result(value=None, u=None), "metric") == ("not shown", "")


def test_amounts_leave_the_direction_to_the_words(make_difference):
    clear = make_difference("trunk_forward_tilt", "release", 20.0, 30.0)
    assert wording.amount(clear, "metric") == "10° ± 3"
    alike = make_difference("trunk_forward_tilt", "release", 20.0, 21.0)
    assert wording.amount(alike, "metric") == "−1° ± 3"
    hidden = make_difference("trunk_forward_tilt", "release", None, None)
    assert wording.amount(hidden, "metric") == ""


def test_topics_name_each_metric_once(make_result):
    results = [make_result(event=event) for event in ("foot_contact", "release")]
    results.append(make_result("stride_length", ""))
    assert wording.topics(results) == (
        "upper body lean at foot contact and release",
        "stride",
    )


@pytest.mark.parametrize(
    ("names", "phrase"), [((), ""), (("a",), "a"), (("a", "b"), "a and b"), ("abc", "a, b and c")]
)
def test_names_are_joined(names, phrase):
    assert wording.joined(names) == phrase


def test_sentences():
    assert wording.sentence("one camera ") == "One camera."
    assert wording.sentence("Why?") == "Why?"
    assert wording.lowered("COM speed") == "COM speed"
    assert wording.counted(1, "picture") == "1 picture"
    assert wording.counted(2, "picture") == "2 pictures"


def test_how_it_was_filmed(athlete):
    assert wording.filmed(athlete, "metric") == (
        "one camera, open side, 120 pictures a second, 8.0 m away, scaled by a known 1.00 m"
    )
    assert "26 ft away, scaled by a known 39.4 in" in wording.filmed(athlete, "imperial")
    camera = athlete.cameras[0]
    slow = replace(
        camera,
        scale=None,
        timing=replace(camera.timing, capture_rate_hz=240.0),
        duplicate_frames=(4, 9),
    )
    said = wording.filmed(replace(athlete, cameras=(slow, camera)), "metric")
    assert said.startswith("two cameras (")
    assert "240 pictures a second (played at 120), without a scale, 2 repeated pictures" in said


def test_two_solved_cameras_say_how_good_they_are():
    delivery = solved_delivery(3).delivery
    said = wording.filmed(delivery, "metric")
    assert said.startswith("two cameras solved together (open side, 240 pictures a second, ")
    assert said.endswith(f"directions good to {delivery.space.worst_deg:.1f}°")
    assert said.count(" m from the rubber") == 2
    assert "solved" not in wording.filmed(replace(delivery, space=None), "metric")


def test_what_was_placed(athlete):
    n_frames = athlete.cameras[0].timing.n_frames
    assert wording.placed(athlete) == f"20 body points in {n_frames} pictures by hand"
    bare = replace(athlete, cameras=(replace(athlete.cameras[0], tracks={}),))
    assert wording.placed(bare) == "no body points placed"
    own = replace(athlete.cameras[0], precision=PlacingPrecision(placer="Ida"))
    said = wording.placed(replace(athlete, cameras=(own,)))
    assert said.endswith("by hand, with the ± of Ida for placing")


def test_event_definitions():
    assert wording.event_definitions(["foot_contact"]) == (
        "Foot contact = first touch of the front foot."
    )
    assert wording.event_definitions([]) == ""


def test_cautions_promise_nothing_and_send_to_a_clinician():
    said = " ".join(wording.CAUTIONS).lower()
    for word in ("pain", "numbness", "swelling", "stop throwing", "clinician", "pitch-count"):
        assert word in said
    for word in ("safe", "dangerous", "torque"):
        assert word not in said


@pytest.mark.parametrize(
    ("key", "event", "said"),
    [
        ("trunk_forward_tilt", "release", "at release"),
        # the name begins with the instant: "Release height at release" says it twice
        ("release_height", "release", ""),
        ("release_extension", "release", ""),
        ("release_ahead_of_lead_foot", "release", ""),
        ("external_rotation", "foot_contact", "at foot contact"),
        ("stride_length", "", "from leg lift to foot plant"),
        ("lift_to_contact_time", "", ""),
    ],
)
def test_the_instant_is_said_once(key, event, said):
    spec = metric(key)
    result = Result(
        delivery="d", metric=key, event=event, name=spec.name, phase=spec.phase, unit=spec.unit,
        decimals=0, status="measured", value=1.0, u=0.1,
    )  # fmt: skip
    assert wording.when(result) == said
    assert wording.topics([result])[0].count("release") <= 1


def test_many_instants_of_one_metric_are_counted():
    spec = metric("trunk_forward_tilt")
    results = [
        Result(
            delivery="d", metric=spec.key, event=event, name=spec.name, phase=spec.phase,
            unit=spec.unit, decimals=0, status="measured", value=1.0, u=0.1,
        )
        for event in spec.events
    ]  # fmt: skip
    assert wording.topics(results) == ("upper body lean (5 instants)",)
    assert wording.topics(results[:2]) == ("upper body lean at leg lift and foot contact",)


@pytest.mark.parametrize(
    ("length_m", "said"), [(0.6096, "24.0 in"), (2.1, "6.9 ft"), (10.0, "33 ft")]
)
def test_lengths_are_said_in_the_unit_people_use(length_m, said):
    assert wording.length(length_m, "imperial") == said
