from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLabel, QPushButton

from deliverylab.shell.panes.comparison import ComparisonPane
from deliverylab.shell.value_text import phase_of
from tests.shell.several import fill_several


@pytest.fixture
def pane(placed_pair, qtbot):
    made = ComparisonPane(placed_pair)
    qtbot.addWidget(made)
    made.resize(320, 700)
    made.show()
    return made


def _unfold(pane, head):
    next(one for one in pane.findChildren(QPushButton) if head in one.text()).click()


def test_clear_differences_stand_first_in_their_rank(pane, placed_pair):
    clear = [one for one in placed_pair.differences() if one.verdict == "clear"]
    assert clear
    assert list(pane.rows) == [(one.metric, one.event) for one in clear]
    assert [one.rank for one in clear] == sorted(one.rank for one in clear)


def test_the_others_are_folded_away_but_there(pane, placed_pair):
    within = [one for one in placed_pair.differences() if one.verdict == "within_error"]
    assert within
    _unfold(pane, "Within the error")
    assert {(one.metric, one.event) for one in within} <= set(pane.rows)
    _unfold(pane, "Not comparable")
    texts = " ".join(one.text() for one in pane.findChildren(QLabel))
    for one in placed_pair.differences():
        if one.verdict == "not_comparable":
            assert one.reason[1:] in texts


def test_a_difference_leads_both_stages_to_its_instant(pane, placed_pair):
    for row in pane.rows.values():
        row.instant_wanted.emit("release")
        break
    assert placed_pair.event_at_frame("athlete") == "release"
    assert placed_pair.event_at_frame("model") == "release"


def test_without_a_partner_it_says_so(pane, placed_pair, qtbot):
    with qtbot.waitSignal(placed_pair.results_updated):
        placed_pair.select("model", None)
    assert pane.rows == {}
    assert any("Choose a second" in one.text() for one in pane.findChildren(QLabel))


def test_a_name_says_its_instant_once(pane, placed_pair):
    _unfold(pane, "Not comparable")
    said = [row.accessibleName() for row in pane.rows.values()]
    said += [one.text() for one in pane.findChildren(QLabel)]
    assert any(" at leg lift" in one for one in said)
    assert not any("Release height at release" in one for one in said)


# ------------------------------------------------------------------- parties and phases


@pytest.fixture
def several(session, qtbot):
    made = ComparisonPane(fill_several(session))
    qtbot.addWidget(made)
    made.resize(320, 700)
    made.show()
    return made


def test_one_part_of_the_delivery_can_be_looked_at(pane, placed_pair, qtbot):
    everything = set(pane.rows)
    for row in range(1, pane.head.phases.count()):
        pane.head.phases.setCurrentIndex(row)
        phase = pane.head.phases.currentData()
        wanted = {
            (one.metric, one.event)
            for one in placed_pair.differences()
            if one.verdict == "clear" and phase_of(one.a) == phase
        }
        assert set(pane.rows) == wanted
    pane.head.phases.setCurrentIndex(0)
    assert set(pane.rows) == everything


def test_parties_are_chosen_from_the_menus(several, qtbot):
    session = several._session
    with qtbot.waitSignal(session.results_updated):
        several.head.own.chosen.emit("all of Bo")
    assert several.head.own.accessibleName() == "Compared: all of Bo"
    assert any("mean of 4 against one" in row.accessibleName() for row in several.rows.values())
    with qtbot.waitSignal(session.results_updated):
        several.head.partner.chosen.emit("published college")
    assert several.head.partner.accessibleName() == "Compared with: published college"
    _unfold(several, "Not comparable")
    texts = " ".join(one.text() for one in several.findChildren(QLabel))
    assert "Nothing of this definition is published" in texts


def test_what_cannot_stand_there_is_said(several, qtbot):
    with qtbot.waitSignal(several.failed) as sent:
        several.head.own.chosen.emit("all of Cy")
    assert "no such delivery" in str(sent.args[0])


def test_own_spread_is_said_as_the_yardstick(several, qtbot):
    with qtbot.waitSignal(several._session.results_updated):
        several._session.choose_own("all of Bo")
    said = [row.accessibleName() for row in several.rows.values()]
    assert any("× own spread over 4 deliveries" in text for text in said)
