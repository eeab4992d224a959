from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLabel, QPushButton

from deliverylab.shell.panes.comparison import ComparisonPane


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
