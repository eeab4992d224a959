"""The table of segments against de Leva P (1996), J Biomech 29:1223-1230, table 4."""

from __future__ import annotations

import pytest

from deliverylab.core.vocabulary.landmarks import BY_KEY as LANDMARKS
from deliverylab.core.vocabulary.segments import (
    BY_KEY,
    DRAWN,
    MIDPOINTS,
    SEGMENTS,
)

# segment: mass % female, male; mass centre % of the length from the first end, female, male.
# Head from vertex to C7, trunk from mid shoulder to mid hip: the table's alternative end points.
DE_LEVA = {
    "head": (6.68, 6.94, 48.41, 50.02),
    "trunk": (42.57, 43.46, 37.82, 43.10),
    "left_upper_arm": (2.55, 2.71, 57.54, 57.72),
    "left_forearm": (1.38, 1.62, 45.59, 45.74),
    "left_hand_segment": (0.56, 0.61, 74.74, 79.00),
    "left_thigh": (14.78, 14.16, 36.12, 40.95),
    "left_shank": (4.81, 4.33, 43.52, 43.95),
    "left_foot": (1.29, 1.37, 40.14, 44.15),
}


@pytest.mark.parametrize("key", DE_LEVA)
def test_masses_and_centres_are_the_published_ones(key):
    segment = BY_KEY[key]
    mass_female, mass_male, centre_female, centre_male = DE_LEVA[key]
    assert segment.mass == {
        "female": pytest.approx(mass_female / 100),
        "male": pytest.approx(mass_male / 100),
    }
    assert segment.mass_centre == {
        "female": pytest.approx(centre_female / 100),
        "male": pytest.approx(centre_male / 100),
    }


@pytest.mark.parametrize("sex", ["female", "male"])
def test_masses_make_a_whole_body(sex):
    # the printed percentages add up to 99.99 (women) and 100.00 (men)
    assert sum(segment.mass[sex] for segment in SEGMENTS) == pytest.approx(1.0, abs=2e-4)


def test_both_sides_are_alike():
    for segment in SEGMENTS:
        if segment.key.startswith("left_"):
            other = BY_KEY[segment.key.replace("left_", "right_")]
            assert (other.mass, other.mass_centre) == (segment.mass, segment.mass_centre)
            assert other.proximal == segment.proximal.replace("left_", "right_")
            assert other.length_over_height == segment.length_over_height


@pytest.mark.parametrize(
    ("key", "share"),
    # table 4, men, as printed in published copies of it, to four digits
    [("left_thigh", 0.2425), ("left_shank", 0.2493), ("left_foot", 0.1482)],
)
def test_lengths_are_the_published_shares_of_height(key, share):
    assert BY_KEY[key].length_over_height["male"] == pytest.approx(share, abs=5e-5)


def test_where_sex_is_not_known_the_length_lies_between():
    thigh = BY_KEY["left_thigh"]
    women, men = (thigh.usual_length(sex) for sex in ("female", "male"))
    assert women < thigh.usual_length(None) < men
    # women's lengths are from memory of table 4; that their thigh is about an eighth shorter
    assert women / men == pytest.approx(0.876, abs=0.005)
    assert thigh.longest_length(None) == men
    assert thigh.longest_length("female") == women
    assert BY_KEY["trunk"].usual_length("male") is None
    assert BY_KEY["trunk"].longest_length(None) is None


def test_ends_are_landmarks_or_midpoints():
    ends = {end for segment in SEGMENTS for end in (segment.proximal, segment.distal)}
    ends |= {end for line in DRAWN for end in line}
    assert ends <= set(LANDMARKS) | set(MIDPOINTS)
    assert {end for pair in MIDPOINTS.values() for end in pair} <= set(LANDMARKS)


def test_the_drawn_lines_reach_every_body_point():
    drawn = {end for line in DRAWN for end in line} - set(MIDPOINTS)
    assert drawn == set(LANDMARKS) - {"ball"}
    assert len(set(DRAWN)) == len(DRAWN)
