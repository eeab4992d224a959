from __future__ import annotations

import pytest

from deliverylab.core.compare.drills import cues_for, drills_for
from deliverylab.core.compare.link_rows import less, more
from deliverylab.core.compare.links import LINKS
from deliverylab.core.metrics.catalogue import METRICS
from deliverylab.core.model.library import COMMON_PRACTICE, Cue, Drill, Library
from deliverylab.shell.library_content import (
    changed,
    cue_rows,
    drill_rows,
    end_choices,
    link_rows,
    metric_choices,
    size_words,
    why_no_aim,
)

STRIDE = more("stride_length")


def test_every_metric_can_be_chosen_with_every_instant_and_way():
    assert [key for key, _ in metric_choices()] == [spec.key for spec in METRICS]
    choices = end_choices("trunk_forward_tilt")
    assert len(choices) == 10
    assert (more("trunk_forward_tilt", "release"), "at release, more forward") in choices
    assert end_choices("stride_length") == ((STRIDE, "longer"), (less("stride_length"), "shorter"))


def test_ones_own_cues_come_first_and_hide_the_same_words():
    (program,) = cues_for(STRIDE, Library())
    assert cue_rows(STRIDE, Library()) == ((program, False),)
    other = Cue(metric="stride_length", event="", way="more", text="Reach.")
    assert cue_rows(STRIDE, Library(cues=(other,))) == ((other, True), (program, False))
    assert cue_rows(STRIDE, Library(cues=(program,))) == ((program, True),)
    seldom = more("arm_slot", "release")
    assert cue_rows(seldom, Library()) == ()
    own = Cue(metric="arm_slot", event="release", way="more", text="Lower.")
    assert cue_rows(seldom, Library(cues=(own,))) == ((own, True),)


def test_drills_say_whose_they_are():
    program = drills_for(STRIDE, Library())[0]
    own = Drill(name=program.name, serves=(STRIDE,), how="My way. 2 × 5.")
    assert drill_rows(STRIDE, Library()) == ((program, False),)
    assert drill_rows(STRIDE, Library(drills=(own,))) == ((own, True),)


def test_links_are_those_that_begin_or_end_there():
    rows = link_rows(STRIDE, Library())
    assert rows
    assert all("stride_length" in link.key for link, _ in rows)
    first = rows[0][0]
    assert link_rows(STRIDE, Library(without_links=(first.key,)))[0] == (first, "left out")


@pytest.mark.parametrize(("n_own", "expected"), [(0, "Nothing of your own"), (1, "1 of your own")])
def test_how_much_is_ones_own(n_own, expected):
    own = Cue(metric="stride_length", event="", way="more", text="Reach.")
    assert size_words(Library(cues=(own,) * n_own)).startswith(expected)


def test_a_link_that_is_reworded_is_no_longer_its_sources_word():
    link = next(each for each in LINKS if each.source != COMMON_PRACTICE)
    assert changed(link, strength=0.3).source == link.source
    assert changed(link, why="as I see it").source == COMMON_PRACTICE


def test_what_gets_no_target_says_why():
    assert why_no_aim(more("max_external_rotation"))
    assert why_no_aim(STRIDE) == ""
