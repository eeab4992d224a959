from __future__ import annotations

from msgspec.structs import replace

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.chain_words import between_words, link_reason, node_words
from deliverylab.core.compare.links import LINKS
from tests.core.compare.chain_cases import compared, line_up


def test_three_sentences_say_where_it_begins_what_goes_with_it_and_why():
    sentences = chain_of(line_up()).sentences
    assert sentences == (
        (
            "Compared with “Ben 2”, it seems to begin here: front foot direction at foot plant "
            "(more open)."
        ),
        (
            "Commonly this goes together with what comes later: pelvis rotation at foot contact (more "
            "open), shoulder line rotation at foot contact (more open), trunk forward tilt at release "
            "(less forward), release ahead of the rubber (farther back) and 1 more."
        ),
        (
            "Why: instructors commonly say that a front foot that flies open takes the hips with it; "
            "look whether it fits, it is no proof."
        ),
    )


def test_a_second_start_is_told_apart():
    apart = [
        compared("lead_knee_extension", "", -2.0),
        compared("com_forward_speed_kept", "release", 2.0),
    ]
    assert chain_of([*line_up(), *apart]).sentences[0] == (
        "Compared with “Ben 2”, it seems to begin here: front foot direction at foot plant "
        "(more open); and apart from that here: lead knee straightening (straightens less)."
    )


def test_what_the_clips_do_not_show_is_said():
    sentence = chain_of(line_up(pelvis_rotation=None)).sentences[1]
    assert "(over pelvis rotation at foot contact, which these clips do not show)" in sentence


def test_what_leans_within_its_error_is_said_to():
    chain = chain_of(line_up(pelvis_rotation=0.6))
    assert between_words(chain.edges[0]) == (
        "over pelvis rotation at foot contact, which points the same way within its ±"
    )
    assert between_words(chain.edges[-1]) == ""


def test_a_published_link_names_its_source_and_a_turned_one_says_so():
    link = next(each for each in LINKS if each.source != "common practice")
    assert link_reason(link, link.cause.way).endswith(f"({link.source})")
    turned = "more" if link.cause.way == "less" else "less"
    assert link_reason(link, turned).endswith("here both are the other way round")


def test_no_sentence_claims_a_cause():
    every = " ".join([*(link.why for link in LINKS), *chain_of(line_up()).sentences]).lower()
    for word in ("because", "causes", "caused", "due to", "injur", "danger", "safe", "torque"):
        assert word not in every


def test_a_node_says_its_instant_once():
    height = compared("release_height", "release", 2.0)
    assert node_words(height) == "release height: higher"
    assert node_words(replace(height, words="lower")) == "release height: lower"
