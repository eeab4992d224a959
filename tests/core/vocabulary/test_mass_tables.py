"""Tables of segment masses: printed values, whole bodies, and the known mistakes."""

from __future__ import annotations

import pytest

from deliverylab.core.vocabulary.landmarks import BY_KEY as LANDMARKS
from deliverylab.core.vocabulary.mass_tables import DE_LEVA, MASS_TABLES, OTHER_TABLE, STAND_INS
from deliverylab.core.vocabulary.segments import MIDPOINTS

TABLES = [MASS_TABLES[key][sex] for key in MASS_TABLES for sex in ("female", "male")]

# Winter DA, Biomechanics and Motor Control of Human Movement, table 4.1 (after Dempster): mass, and
# distance of the mass centre from the proximal end; as in BMClab, BSP_DempsterWinter.txt.
DEMPSTER = {
    "left_upper_arm": (0.028, 0.436), "left_forearm": (0.016, 0.430),
    "left_hand_segment": (0.006, 0.506), "left_thigh": (0.100, 0.433),
    "left_shank": (0.0465, 0.433), "left_foot": (0.0145, 0.500), "trunk": (0.497, 0.500),
}  # fmt: skip


def row(table, segment):
    return next(each for each in table.rows if each.segment == segment)


@pytest.mark.parametrize("segment", DEMPSTER)
def test_dempster_as_printed(segment):
    found = row(MASS_TABLES["dempster"]["male"], segment)
    assert (found.mass, found.ratio) == DEMPSTER[segment]


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_a_table_is_a_whole_body_of_places_we_have(table):
    # printed sums: 100.00 (men), 99.99 (women), .081 + .497 + 2(.05 + .161) = 1.000 (Dempster)
    assert sum(each.mass for each in table.rows) == pytest.approx(1.0, abs=1.1e-4)
    assert len(table.rows) == len({each.segment for each in table.rows}) == 14
    ends = {end for each in table.rows for end in (each.proximal, each.distal)}
    assert ends <= set(LANDMARKS) | set(MIDPOINTS)
    assert all(0.0 < each.ratio < 1.0 and each.between for each in table.rows)
    assert table.source
    for each in table.rows:
        if each.segment.startswith("left_"):
            other = row(table, each.segment.replace("left_", "right_"))
            assert (other.mass, other.ratio, other.between) == (each.mass, each.ratio, each.between)


def test_known_mistakes_are_not_made():
    men, women = DE_LEVA["male"], DE_LEVA["female"]
    # a head of 69.4 % of the body goes round in copies of the table
    assert row(men, "head").mass == 0.0694
    # 44.59 and 44.16 % belong to the ankle bone; we place the joint's centre
    assert row(men, "left_shank").between.endswith("ankle joint")
    assert (row(men, "left_shank").ratio, row(women, "left_shank").ratio) == (0.4395, 0.4352)
    # 57.72 % counts from the shoulder, not from the elbow
    assert row(men, "left_upper_arm").proximal == "left_shoulder"
    # 44.86 % belongs to a trunk from the jugular notch, 51.38 % to one from C7; ours starts between
    # the shoulders
    assert row(men, "trunk").proximal == "mid_shoulder"
    assert (row(men, "trunk").ratio, row(women, "trunk").ratio) == (0.4310, 0.3782)
    # 59.76 % belongs to a head that ends at the jaw's angle; ours ends at C7
    assert (row(men, "head").distal, row(men, "head").ratio) == ("neck", 0.5002)
    # the hand to the knuckle, not to the finger's tip (36.24 %)
    assert row(men, "left_hand_segment").ratio == 0.7900
    # a foot's 44.15 % counts from the heel, Dempster's half from the ankle
    assert row(men, "left_foot").proximal == "left_heel"
    assert row(MASS_TABLES["dempster"]["male"], "left_foot").proximal == "left_ankle"


def test_each_table_has_another_to_be_held_against():
    assert {OTHER_TABLE[key] for key in MASS_TABLES} == set(MASS_TABLES)
    assert all(OTHER_TABLE[key] != key for key in MASS_TABLES)


def test_what_stands_in_is_placed_itself():
    assert not {rule.part for rule in STAND_INS.values()} & set(STAND_INS)
    assert all(rule.u_m > 0.0 and rule.u_m_s > 0.0 for rule in STAND_INS.values())
