from __future__ import annotations

from collections import Counter

import pytest

from deliverylab.core.compare.drills import (
    CUES,
    DRILLS,
    NO_AIM,
    cues_for,
    drill_named,
    drills_for,
    drills_with,
)
from deliverylab.core.compare.link_rows import less, more
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.model.library import Cue, Drill, Library, LinkEnd

CUED = {LinkEnd(cue.metric, cue.event, cue.way) for cue in CUES}
SERVED = {end for each in DRILLS for end in each.serves}


def test_every_cue_has_a_drill_and_every_drill_a_cue():
    assert CUED == SERVED


def test_every_metric_has_a_cue_or_a_reason_why_it_is_no_aim():
    cued = {end.metric for end in CUED}
    assert cued | set(NO_AIM) == set(BY_KEY)
    # side tilt may be worked on by eye, without a number
    assert cued & set(NO_AIM) == {"trunk_lateral_tilt"}
    assert all(NO_AIM.values())


@pytest.mark.parametrize("way", ["more", "less"])
@pytest.mark.parametrize(
    ("metric", "event"),
    [
        ("com_forward_speed", "leg_lift"),
        ("com_lean_from_drive_ankle", "leg_lift"),
        ("drive_knee_flexion", "leg_lift"),
        ("drive_knee_push_time", ""),
        ("stride_length", ""),
        ("stride_offset", ""),
        ("lead_foot_direction", "foot_plant"),
        ("pelvis_rotation", "leg_lift"),
        ("pelvis_rotation", "foot_contact"),
        ("shoulder_line_rotation", "leg_lift"),
        ("shoulder_line_rotation", "foot_contact"),
        ("glove_distance", "foot_contact"),
        ("glove_tuck_time", ""),
        ("lead_knee_flexion", "foot_contact"),
        ("trunk_forward_tilt", "foot_contact"),
        ("trunk_forward_tilt", "release"),
        ("elbow_flexion", "foot_contact"),
        ("shoulder_abduction", "foot_contact"),
        ("horizontal_abduction", "foot_contact"),
        ("lift_to_contact_time", ""),
        ("contact_to_release_time", ""),
    ],
)
def test_what_an_instructor_acts_on_early_is_there_both_ways(metric, event, way):
    assert LinkEnd(metric, event, way) in CUED


@pytest.mark.parametrize(
    "end",
    [
        more("trunk_lateral_tilt", "release"),
        more("max_external_rotation"),
        more("external_rotation", "foot_contact"),
        more("horizontal_abduction", "full_layback"),
        more("peak_elbow_extension_speed"),
        more("ball_speed"),
    ],
)
def test_nobody_is_told_to_seek_what_is_nothing_to_seek(end):
    assert cues_for(end, Library()) == ()
    assert drills_for(end, Library()) == ()


def test_names_and_cues_are_there_once():
    assert max(Counter(each.name for each in DRILLS).values()) == 1
    assert len({(cue.metric, cue.event, cue.way) for cue in CUES}) == len(CUES)


def test_ones_own_come_first_and_take_the_place_of_the_same_name():
    end = more("stride_length")
    own_cue = Cue(metric="stride_length", event="", way="more", text="Reach.")
    program = drills_for(end, Library())[0]
    own = Drill(name=program.name, serves=(end,), how="My way. 2 × 5.")
    library = Library(cues=(own_cue,), drills=(own,))
    assert cues_for(end, library)[0] == own_cue
    assert len(cues_for(end, library)) == len(cues_for(end, Library())) + 1
    assert drills_for(end, library)[0] == own
    assert program not in drills_with(library)
    assert drill_named(program.name, drills_with(library)) == own
    assert drill_named(program.name.upper(), DRILLS) == program
    assert drill_named("no such", DRILLS) is None
    assert program not in drills_for(less("stride_length"), library)
