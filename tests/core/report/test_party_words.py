from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.compare.parties import Party, one_party
from deliverylab.core.report import party_words

replace = msgspec.structs.replace
COLLEGE = Party("published college", (), "college")


@pytest.fixture
def several(athlete):
    return Party(
        "all of Noor V.",
        tuple(replace(athlete, name=f"bullpen {n}", date=f"2026-05-{10 + n}") for n in (1, 2, 3)),
    )


def test_single_deliveries_are_called_by_their_people(athlete, model):
    assert party_words.headings(one_party(athlete), one_party(model)) == (
        "Noor V.",
        "College means",
    )


def test_means_say_of_how_many(several, model, athlete):
    assert party_words.headings(several, one_party(model)) == (
        "Noor V., mean of 3",
        "College means",
    )
    same_day = Party("x", tuple(replace(each, date="2026-05-02") for each in several.deliveries))
    assert party_words.headings(several, same_day) == (
        "all days, mean of 3",
        "2\u00a0May\u00a02026, mean of 3",
    )
    assert party_words.headings(several, one_party(athlete))[1] == "bullpen 3"
    assert party_words.compared_with(several, one_party(model)).startswith(
        "mean of 3 deliveries, compared with College means"
    )
    assert party_words.compared_with(one_party(athlete), several) == (
        "compared with the mean of 3 own deliveries"
    )
    assert party_words.strip_names(several, one_party(model))[0] == "bullpen 1, 1 of 3"
    assert party_words.facts(several, "metric")[-2:] == (
        "11\u00a0May\u00a02026 to 13\u00a0May\u00a02026",
        "3 deliveries",
    )


def test_several_athletes_are_counted(several):
    many = Party(
        "x",
        tuple(
            replace(each, athlete=replace(each.athlete, name=f"A {number}"))
            for number, each in enumerate(several.deliveries)
        ),
    )
    assert party_words.page_name(many) == "3 athletes"
    assert party_words.facts(many, "metric")[-1] == "3 deliveries"


def test_a_published_group_is_named_with_its_source(athlete):
    a = one_party(athlete)
    assert party_words.headings(a, COLLEGE) == ("Noor V.", "Published, 30 college pitchers")
    assert "Kageyama\u00a0et\u00a0al.\u00a02015" in party_words.compared_with(a, COLLEGE)
    assert party_words.shown_delivery(COLLEGE) is None
    assert "aged 18-22" in party_words.how_filmed(a, COLLEGE, "metric")[1]


def test_brief_sentences_leave_distances_out(athlete, model):
    pair = one_party(athlete), one_party(replace(model, name="m"))
    (brief,) = party_words.how_filmed(*pair, "metric", is_brief=True)
    assert brief == "Both deliveries: one camera (open side), 120 pictures a second."
    assert "8.0 m away" in party_words.how_filmed(*pair, "metric")[0]


@pytest.mark.parametrize(
    ("born", "date", "expected"),
    [(2012, "2026-05-14", True), (2008, "2026-05-14", True), (2007, "2026-05-14", False),
     (None, "2026-05-14", False), (2012, "", False)],
)  # fmt: skip
def test_minors_are_known_by_their_year(athlete, born, date, expected):
    who = replace(athlete.athlete, birth_year=born)
    assert party_words.is_minor(replace(athlete, athlete=who, date=date)) is expected


def test_hands_of_both_sides(athlete, model):
    assert party_words.used_hands((one_party(athlete), one_party(model))) == {"left", "right"}
