from __future__ import annotations

from graphlib import TopologicalSorter

import pytest
from msgspec.structs import replace

from deliverylab.core.compare.link_rows import less, link, more
from deliverylab.core.compare.links import LINKS, key_of, link_name, links_with
from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.model.library import COMMON_PRACTICE, Library, Link
from deliverylab.core.vocabulary.events import ORDER

EARLY = less("com_forward_speed", "leg_lift")
# authors and years of which the published sheet says what was found, in an abstract or in full
READ = {
    "Orishimo et al. 2023", "Matsuo et al. 2001", "Matsuo et al. 2001; Stodden et al. 2005",
    "Stodden et al. 2005", "van Trigt et al. 2018", "Aguinaldo et al. 2007", "Solomito et al. 2015",
}  # fmt: skip


@pytest.mark.parametrize("row", LINKS, ids=link_name)
def test_every_row_names_what_there_is_and_says_why_and_from_whom(row):
    for end in (row.cause, row.effect):
        assert end.event in BY_KEY[end.metric].result_events
    assert row.source == COMMON_PRACTICE or row.source in READ
    assert row.why[0].islower()
    assert not row.why.endswith(".")
    assert row.strength in (0.6, 0.8, 0.9)


@pytest.mark.parametrize("row", LINKS, ids=link_name)
def test_no_row_leads_back_in_time(row):
    """The cause's first instant is no later than the effect's last.

    How the front foot is planted is decided before it lands: its plant counts as contact.
    """
    order = {**ORDER, "foot_plant": ORDER["foot_contact"]}
    spans = []
    for end in (row.cause, row.effect):
        instants = BY_KEY[end.metric].instants(end.event)
        spans.append([order[each] for each in instants] or [len(order)])
    assert spans[0][0] <= spans[1][-1]


def test_no_row_is_there_twice_and_none_leads_round():
    assert len({row.key for row in LINKS}) == len(LINKS)
    before: dict[tuple[str, str], set[tuple[str, str]]] = {}
    for row in LINKS:
        before.setdefault(key_of(row.effect), set()).add(key_of(row.cause))
    assert len(tuple(TopologicalSorter(before).static_order())) > 30


def reachable(start):
    """Return what the rows lead to from one end, whatever the way."""
    reached, queue = set(), [start]
    while queue:
        here = queue.pop()
        for row in LINKS:
            if key_of(row.cause) == here and key_of(row.effect) not in reached:
                reached.add(key_of(row.effect))
                queue.append(key_of(row.effect))
    return reached


@pytest.mark.parametrize(
    ("start", "later"),
    [
        # what instructors look for: each line is one of their explanations
        (("com_forward_speed", "leg_lift"), ("lead_foot_direction", "foot_plant")),
        (("com_forward_speed", "leg_lift"), ("glove_tuck_time", "")),
        (("com_lean_from_drive_ankle", "leg_lift"), ("com_forward_speed", "leg_lift")),
        (("shoulder_line_rotation", "leg_lift"), ("separation", "foot_contact")),
        (("lead_foot_direction", "foot_plant"), ("pelvis_rotation", "foot_contact")),
        (("stride_offset", ""), ("pelvis_rotation", "foot_contact")),
        (("glove_tuck_time", ""), ("separation", "foot_contact")),
        (("separation", "foot_contact"), ("trunk_forward_tilt", "release")),
        (("glove_tuck_time", ""), ("horizontal_abduction", "full_layback")),
        (("drive_knee_flexion", "leg_lift"), ("stride_length", "")),
        (("lead_knee_extension", ""), ("trunk_forward_tilt", "release")),
        (("stride_length", ""), ("release_extension", "release")),
        (("trunk_forward_tilt", "release"), ("release_extension", "release")),
        (("release_extension", "release"), ("ball_speed", "")),
        (("separation", "foot_contact"), ("peak_shoulder_line_speed", "")),
        (("peak_shoulder_line_speed", ""), ("ball_speed", "")),
    ],
)
def test_the_explanations_that_instructors_give_are_there(start, later):
    assert later in reachable(start)


def test_an_empty_library_changes_nothing():
    assert links_with(Library()) == LINKS


def test_an_own_link_takes_the_place_of_the_programs_and_a_further_one_follows():
    own = replace(LINKS[3], why="my words", source="Kim", strength=0.3)
    further = link(EARLY, more("arm_slot", "release"), "it drops", "Kim")
    links = links_with(Library(links=(own, further)))
    assert links[3] == own
    assert links[-1] == further
    assert len(links) == len(LINKS) + 1


def test_a_link_that_is_left_out_is_not_there_unless_it_is_ones_own():
    key = LINKS[0].key
    assert links_with(Library(without_links=(key,))) == LINKS[1:]
    own = replace(LINKS[0], why="my words")
    assert links_with(Library(links=(own,), without_links=(key,)))[0] == own


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (link(EARLY, more("hat_size"), "it grows"), "hat_size"),
        (link(EARLY, more("stride_length", "release"), "it grows"), "stride_length"),
        (link(EARLY, more("arm_slot"), "it drops"), "arm_slot"),
    ],
)
def test_an_own_link_to_what_there_is_not_is_refused_by_name(wrong: Link, said: str):
    with pytest.raises(InputValueError, match=said):
        links_with(Library(links=(wrong,)))


def test_own_links_that_lead_round_in_a_circle_are_refused_by_name():
    back = link(less("release_extension", "release"), less("stride_length"), "it comes back")
    with pytest.raises(InputValueError, match="circle") as caught:
        links_with(Library(links=(back,)))
    assert caught.value.where == "Release ahead of the rubber → Stride"


def test_the_same_own_link_twice_is_refused():
    own = link(EARLY, more("arm_slot", "release"), "it drops")
    with pytest.raises(InputValueError, match="twice"):
        links_with(Library(links=(own, replace(own, why="again"))))
