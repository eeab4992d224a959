from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.units import format_value
from deliverylab.shell.space_content import lack_of, limb_words, shown_space
from deliverylab.shell.space_watch import space_work
from tests.shell.conftest import delivery_of
from tests.shell.filmed_twice import filmed_twice, named, with_wrong_points

__all__ = ["filmed_twice"]


@pytest.fixture(scope="module")
def found():
    return space_work(with_wrong_points(named(3, "Ana 3")), named(2, "Bo model"))(lambda _: None)


@pytest.fixture
def shown(filmed_twice, found):
    def show(event, *, has_trails=True):
        filmed_twice.go_to_event(event)
        return shown_space(filmed_twice, found, has_trails=has_trails)

    return show


def test_what_is_missing_leads_where_it_is_done():
    assert lack_of(None).action == "add_clip"
    assert lack_of(delivery_of("Bo 1")).action == "add_camera"
    unsolved = lack_of(msgspec.structs.replace(named(3, "Ana 3"), space=None))
    assert unsolved.action == "field"
    assert "not solved" in unsolved.reason
    assert lack_of(named(3, "Ana 3")) is None


def test_every_action_named_exists():
    from deliverylab.shell.actions import BY_KEY

    for delivery in (None, delivery_of("Bo 1"), msgspec.structs.replace(named(3, "A"), space=None)):
        assert lack_of(delivery).action in BY_KEY


def test_the_model_stands_at_the_same_rubber_with_the_same_hand(shown, found):
    scene = shown("foot_contact").scene
    assert scene.is_mirrored, "a left-hander beside a right-hander is drawn mirrored"
    assert scene.drawn_hand == "right"
    athlete, model = scene.athlete.points_m, scene.model.points_m
    # of both the lead foot is ahead of the rubber, the throwing hand behind the body
    assert athlete[INDEX["right_ankle"], 0] == pytest.approx(model[INDEX["left_ankle"], 0], abs=0.4)
    for points, hand in ((athlete, "left"), (model, "right")):
        lead = "right" if hand == "left" else "left"
        across = points[INDEX[f"{hand}_shoulder"]] - points[INDEX[f"{lead}_shoulder"]]
        assert across[0] < 0.0, "the throwing shoulder points away from the plate"
    heights = [np.nanmax(points[:, 2]) for points in (athlete, model)]
    assert heights[0] == pytest.approx(heights[1], rel=0.12)


def test_at_an_event_the_separation_is_that_of_the_readings(shown, filmed_twice):
    words = shown("foot_contact").scene.separation
    result = next(
        one for one in filmed_twice.results("athlete")
        if (one.metric, one.event) == ("separation", "foot_contact")
    )  # fmt: skip
    assert words == f"separation {format_value(result.value, result.expanded_u, 'deg', 0)}"


def test_between_events_it_is_told_with_its_margin(shown, filmed_twice, found):
    shown("foot_contact")
    filmed_twice.step(-20)
    words = shown_space(filmed_twice, found, has_trails=False).scene.separation
    assert words.startswith("separation ")
    assert "±" in words


def test_trails_are_there_when_wanted(shown):
    assert len(shown("release").scene.athlete.trails.hand) > 100
    assert shown("release", has_trails=False).scene.athlete.trails is None


def test_outside_what_both_clips_show_it_says_so(filmed_twice, found):
    filmed_twice.show_frame("athlete", 0)
    assert "at this instant" in shown_space(filmed_twice, found, has_trails=True).words


def test_a_model_without_a_solve_is_named(filmed_twice, found):
    from dataclasses import replace

    alone = replace(found, model_figure=None)
    filmed_twice.go_to_event("release")
    shown = shown_space(filmed_twice, alone, has_trails=True)
    assert shown.words == "Bo model is not solved in space"
    assert shown.scene.model is None


def test_limbs_are_told_by_role_the_least_even_first(found):
    words = limb_words(found.limbs, "left", "metric")
    assert len(words) == 8
    assert all(" ± " in one and one.endswith(" mm") for one in words)
    assert any(one.startswith("throwing upper arm 27") for one in words)
    assert any(one.startswith("lead shank") for one in words)
    shares = [float(one.split()[-2]) / float(one.split()[-4]) for one in words]
    assert shares == pytest.approx(sorted(shares, reverse=True), abs=0.005)
    assert all(one.endswith(" in") for one in limb_words(found.limbs, "left", "imperial"))
