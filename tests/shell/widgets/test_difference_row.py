from __future__ import annotations

from PySide6.QtCore import Qt

from deliverylab.shell.widgets.difference_row import DifferenceRow
from tests.shell.test_value_text import difference_of


def test_both_numbers_the_difference_and_the_verdict_are_said(qtbot):
    source = "spread between college pitchers, somebody (somewhere)"
    found = difference_of(yardstick=0.1, yardstick_source=source, rank=2)
    row = DifferenceRow(found, "metric")
    qtbot.addWidget(row)
    said = row.accessibleName()
    for part in ("+0.30 ± 0.10 m", "higher", "0.50 ± 0.04  against  0.20 ± 0.04 m"):
        assert part in said
    assert "No. 2: 3.0 × spread of college pitchers" in said
    assert "somewhere" in row.toolTip()


def test_means_say_of_how_many_they_are_and_how_those_spread(qtbot):
    row = DifferenceRow(difference_of(), "metric")
    qtbot.addWidget(row)
    single = row.sizeHint().height()
    assert "mean of" not in row.accessibleName()
    several = difference_of(n_a=4, spread_a=0.02, n_b=30, spread_b=0.04)
    row.show_difference(several, "metric")
    assert "mean of 4 and 30 · spread 0.02 and 0.04" in row.accessibleName()
    assert row.sizeHint().height() > single
    row.show_difference(difference_of(n_a=4, spread_a=0.02), "metric")
    assert "mean of 4 against one · spread 0.02" in row.accessibleName()
    row.show_difference(difference_of(n_b=30, spread_b=0.04), "metric")
    assert "one against the mean of 30 · spread 0.04" in row.accessibleName()


def test_without_a_yardstick_it_says_so(qtbot):
    row = DifferenceRow(difference_of(yardstick=None, rank=1), "metric")
    qtbot.addWidget(row)
    assert "No. 1: no spread known to set it against" in row.accessibleName()


def test_a_clear_difference_looks_other_than_one_within_the_error(qtbot):
    row = DifferenceRow(difference_of(), "metric")
    qtbot.addWidget(row)
    row.resize(300, row.sizeHint().height())
    clear = row.grab().toImage()
    row.show_difference(difference_of(0.05, verdict="within_error", words=""), "metric")
    assert row.grab().toImage() != clear
    row.show_difference(difference_of(None, None, "not_comparable", ""), "metric")
    assert row.grab().toImage() != clear


def test_it_leads_to_its_instant(qtbot):
    row = DifferenceRow(difference_of(), "metric")
    qtbot.addWidget(row)
    row.show()
    for press in (
        lambda: qtbot.mouseClick(row, Qt.MouseButton.LeftButton),
        lambda: qtbot.keyClick(row, Qt.Key.Key_Return),
    ):
        with qtbot.waitSignal(row.instant_wanted) as blocker:
            press()
        assert blocker.args == ["release"]
