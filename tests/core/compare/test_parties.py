from __future__ import annotations

import pytest

from deliverylab.core.compare.parties import (
    all_text,
    compared,
    day_text,
    names_text,
    one_party,
    party_from,
    party_of,
    published_text,
)
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.project import ProjectRecord
from tests.core.compare.thrown import delivery

ANA = [delivery(f"Ana {n}", date=f"2026-05-{13 + n // 3}") for n in (1, 2, 3)]
ODD = delivery("all of Ana", athlete="Ben", date="")
RECORD = ProjectRecord(deliveries=(*ANA, ODD), pair=("Ana 1", "all of Ana"))


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("Ana 1", ["Ana 1"]),
        (" Ana 2 ", ["Ana 2"]),
        ("Ana 1 + Ana 3", ["Ana 1", "Ana 3"]),
        ("Ana 1+Ana 3", ["Ana 1", "Ana 3"]),
        # a delivery's own name wins over what it might mean
        ("all of Ana", ["all of Ana"]),
        ("All of Ana", ["Ana 1", "Ana 2", "Ana 3"]),
        ("Ana on 2026-05-13", ["Ana 1", "Ana 2"]),
        ("Ana on 2026-05-14", ["Ana 3"]),
    ],
)
def test_a_text_says_which_deliveries(text, names):
    assert [each.name for each in party_of(RECORD, text).deliveries] == names


@pytest.mark.parametrize("level", ["youth", "high school", "college"])
def test_a_published_group_has_no_deliveries(level):
    party = party_of(RECORD, f"Published  {level}".replace("  ", " "))
    assert (party.level, party.deliveries, party.name) == (level, (), f"published {level}")


@pytest.mark.parametrize(
    "text",
    ["Cy 1", "Ana 1 + Cy 1", "all of Cy", "Ana on 2026-05-20", "Ana on a day", "published pro", ""],
)
def test_nobody_is_said_with_what_there_is(text):
    with pytest.raises(NotFoundError) as caught:
        party_of(RECORD, text)
    assert caught.value.what == "no such delivery"
    assert "the deliveries are: Ana 1, Ana 2, Ana 3, all of Ana" in caught.value.remedy


def test_a_delivery_counts_once():
    with pytest.raises(InputValueError, match="counts once"):
        party_of(RECORD, "Ana 1 + Ana 1")


def test_what_is_written_reads_as_what_was_meant():
    record = ProjectRecord(deliveries=tuple(ANA))
    for text in (
        names_text(["Ana 1", "Ana 2"]),
        all_text("Ana"),
        day_text("Ana", "2026-05-13"),
        published_text("college"),
    ):
        assert party_of(record, text).name == text
    assert one_party(ANA[0]).is_several is False
    assert party_of(record, all_text("Ana")).is_several is True
    assert party_of(record, all_text("Ana")).athletes == ("Ana",)


def _names(sides):
    return tuple(side.name for side in sides)


def test_sides_are_the_pair_with_the_sets_beside_it():
    from msgspec.structs import replace

    assert _names(compared(RECORD)) == ("Ana 1", "all of Ana")
    several = replace(RECORD, own_set="Ana 1 + Ana 2", partner_set="published college")
    assert _names(compared(several)) == ("Ana 1 + Ana 2", "published college")


@pytest.mark.parametrize("stale", ["Ana 2 + Ana 3", "Ana 1 + gone", "all of Cy"])
def test_a_set_that_does_not_hold_the_pairs_own_is_passed_over(stale):
    from msgspec.structs import replace

    assert _names(compared(replace(RECORD, own_set=stale))) == ("Ana 1", "all of Ana")
    assert _names(compared(replace(RECORD, partner_set=stale))) == ("Ana 1", "all of Ana")


def test_a_published_partner_needs_no_pair():
    alone = ProjectRecord(deliveries=tuple(ANA), partner_set="published youth")
    assert compared(alone) is None
    assert _names(compared(alone, "Ana 2")) == ("Ana 2", "published youth")
    assert compared(ProjectRecord(deliveries=tuple(ANA)), "Ana 2") is None
    # the pair is another delivery's
    assert compared(RECORD, "Ana 2") is None
    assert compared(RECORD, "gone") is None


def test_sides_can_be_given_as_deliveries():
    assert party_from(ANA[0]) == one_party(ANA[0])
    assert party_from(ANA[:2]).name == "Ana 1 + Ana 2"
    assert party_from("college").level == "college"
    with pytest.raises(InputValueError, match="needs a delivery"):
        party_from([])
