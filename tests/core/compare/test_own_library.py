from __future__ import annotations

import pytest
from msgspec.structs import replace

from deliverylab.core.compare.link_rows import less, link, more
from deliverylab.core.compare.links import LINKS, links_with
from deliverylab.core.compare.own_library import (
    end_of,
    left_out,
    links_standing,
    merged,
    restored,
    with_cue,
    with_drill,
    with_link,
    with_owner,
    without_cue,
    without_drill,
    without_named,
)
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.library import Cue, Drill, Library

CUE = Cue(metric="stride_length", event="", way="more", text="Reach.")
DRILL = Drill(name="Mine", serves=(more("stride_length"),), how="Do it. 2 × 5.")
OWN = link(less("arm_slot", "release"), more("release_height", "release"), "the hand is higher")


def test_an_end_is_read_with_its_event():
    assert end_of("separation/foot_contact", "less") == less("separation", "foot_contact")
    assert end_of("separation", "less") == less("separation", "foot_contact")
    assert end_of("stride_length", "more") == more("stride_length")
    with pytest.raises(InputValueError, match="lead_knee_flexion/foot_contact or"):
        end_of("lead_knee_flexion", "more")
    with pytest.raises(InputValueError, match="is not taken at release"):
        end_of("stride_length/release", "more")
    with pytest.raises(NotFoundError):
        end_of("nothing", "more")


def test_a_cue_comes_first_and_once():
    other = replace(CUE, text="Far.")
    library = with_cue(with_cue(with_cue(Library(), CUE), other), CUE)
    assert library.cues == (CUE, other)
    assert without_cue(library, CUE).cues == (other,)
    with pytest.raises(InputValueError, match="needs words"):
        with_cue(library, replace(CUE, text=" "))
    with pytest.raises(InputValueError, match="is not taken"):
        with_cue(library, replace(CUE, event="release"))


def test_a_drill_takes_the_place_of_its_name():
    later = replace(DRILL, how="Another way. 2 × 5.")
    library = with_drill(with_drill(Library(), DRILL), later)
    assert library.drills == (later,)
    assert without_drill(library, "Mine").drills == ()
    for wrong in (replace(DRILL, name=" "), replace(DRILL, how=""), replace(DRILL, serves=())):
        with pytest.raises(InputValueError, match="a drill needs"):
            with_drill(library, wrong)
    with pytest.raises(InputValueError, match="is not taken"):
        with_drill(library, replace(DRILL, serves=(more("stride_length", "release"),)))


def test_what_is_ones_own_is_taken_out_by_name():
    library = with_drill(with_cue(Library(owner="Kim"), CUE), DRILL)
    assert without_named(library, "Mine").drills == ()
    assert without_named(library, "stride_length").cues == ()
    with pytest.raises(NotFoundError, match="nothing of your own"):
        without_named(library, "separation")
    assert with_owner(library, " Sam ").owner == "Sam"


def test_a_link_of_ones_own_says_whose_word_it_is():
    library = with_link(Library(owner="Kim Doe"), OWN)
    assert library.links[0].source == "Kim Doe"
    assert links_standing(library)[-1] == (library.links[0], "own")
    assert links_with(library)[-1] == library.links[0]
    assert with_link(Library(), OWN).links == (OWN,)


def test_a_link_of_the_program_is_changed_left_out_and_put_back():
    first = LINKS[0]
    changed = with_link(Library(), replace(first, strength=0.3, why="as I see it"))
    assert links_standing(changed)[0][1] == "changed"
    assert links_with(changed)[0].strength == 0.3
    out = left_out(changed, first.key)
    assert (out.links, out.without_links) == ((), (first.key,))
    assert links_standing(out)[0] == (first, "left out")
    assert first not in links_with(out)
    assert left_out(out, first.key) == out
    assert restored(out, first.key) == Library()
    assert with_link(out, first).without_links == ()


def test_a_link_that_fits_nowhere_is_refused():
    with pytest.raises(NotFoundError, match="no such link"):
        left_out(Library(), OWN.key)
    assert left_out(with_link(Library(), OWN), OWN.key) == Library()
    back = replace(LINKS[0], cause=LINKS[0].effect, effect=LINKS[0].cause)
    with pytest.raises(InputValueError, match="circle"):
        with_link(Library(), back)


def test_another_library_comes_in_whole_and_wins():
    mine = with_link(with_drill(with_cue(Library(owner="Kim"), CUE), DRILL), OWN)
    theirs = Library(
        owner="Sam",
        cues=(replace(CUE, text="A."), replace(CUE, text="B.")),
        drills=(replace(DRILL, how="Theirs. 1 × 5."),),
        links=(replace(OWN, why="they say so", source="Sam"),),
        without_links=(LINKS[0].key, ("gone", "", "too", "")),
    )
    both = merged(mine, theirs)
    assert both.owner == "Kim"
    assert [cue.text for cue in both.cues] == ["A.", "B.", "Reach."]
    assert [each.how for each in both.drills] == ["Theirs. 1 × 5."]
    assert both.links == theirs.links
    assert both.without_links == (LINKS[0].key,)
    assert merged(Library(), theirs).owner == "Sam"
