"""The list of stops: keys, drags, looks."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.shell.walk_content import StopRow
from deliverylab.shell.widgets.stop_list import MOST_ROWS, StopList
from tests.shell.gestures import click, tap

ROWS = (
    StopRow("Leg lift", "3 s", "Look at the knee.", 0),
    StopRow("Foot contact", "2 s", "", 2),
    StopRow("Release", "3 s", "Here the trunk is upright.", 0),
)
ALT = Qt.KeyboardModifier.AltModifier


@pytest.fixture
def stops(qtbot):
    made = StopList()
    qtbot.addWidget(made)
    made.resize(280, 300)
    made.show_stops(ROWS, 0)
    made.show()
    qtbot.waitExposed(made)
    return made


@pytest.fixture
def said(stops):
    told: list = []
    stops.stop_chosen.connect(lambda row: told.append(("chosen", row)))
    stops.stop_moved.connect(lambda row, to: told.append(("moved", row, to)))
    stops.removal_wanted.connect(lambda row: told.append(("remove", row)))
    return told


def test_a_click_chooses_also_the_stop_that_is_chosen_already(stops, said):
    for row in (1, 1):
        click(stops.viewport(), QPointF(stops.visualItemRect(stops.item(row)).center()))
    assert ("chosen", 1) in said
    assert said[-1] == ("chosen", 1)
    assert stops.currentRow() == 1


def test_keys_move_and_remove_and_stay_within_the_list(stops, said):
    stops.setFocus()
    tap(stops, Qt.Key.Key_Up, ALT)
    tap(stops, Qt.Key.Key_Down, ALT)
    tap(stops, Qt.Key.Key_Delete)
    assert said == [("moved", 0, 1), ("remove", 0)]


@pytest.mark.parametrize(("start", "before", "to"), [(0, 3, 2), (2, 0, 0), (0, 2, 1)])
def test_a_drop_is_told_by_places(stops, said, qtbot, start, before, to):
    parent = stops.rootIndex()
    stops.model().moveRow(parent, start, parent, before)
    qtbot.waitUntil(lambda: bool(said))
    assert ("moved", start, to) in said


def test_filling_it_says_nothing_and_it_is_as_high_as_its_stops(stops, said):
    one = stops.height()
    stops.show_stops(ROWS * 5, 4)
    assert said == []
    assert stops.currentRow() == 4
    assert one < stops.height()
    assert stops.height() == pytest.approx(one / 3 * MOST_ROWS, abs=4)
    stops.show_stops((), -1)
    assert stops.count() == 0


def test_a_row_reads_itself_out_and_is_painted_in_two_lines(stops):
    item = stops.item(0)
    text = item.data(Qt.ItemDataRole.AccessibleTextRole)
    assert text == "Leg lift, 3 s. Look at the knee."
    assert stops.visualItemRect(item).height() > 2 * stops.fontMetrics().height()
    picture = stops.grab().toImage()
    rect = stops.visualItemRect(stops.item(2))
    colours = {
        picture.pixelColor(x, y).name()
        for x in range(rect.left(), rect.right(), 2)
        for y in range(rect.top(), rect.bottom())
    }
    assert len(colours) > 5
