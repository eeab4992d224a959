from __future__ import annotations

from deliverylab.shell.widgets.trust_table import TrustTable
from tests.shell.drawing.expected import expected


def test_shown_ones_have_bars_and_the_others_stand_under_their_reason(qtbot):
    table = TrustTable()
    qtbot.addWidget(table)
    assert table.n_bars == 0
    rows = [
        expected("Stride"),
        expected("Knee", n_shown=6),
        expected("Slot", n_shown=0),
        expected("Tilt", n_shown=4),
        expected("Speed", n_shown=0, reason="too slow", remedy=""),
    ]
    table.show_expectations(rows, "metric")
    assert table.n_bars == 2
    assert table.reasons == (
        "Slot · Tilt: not seen from there; film from elsewhere",
        "Speed: too slow",
    )
    table.show_expectations(rows[:1], "metric")
    assert table.n_bars == 1
    assert table.reasons == ()
    assert table._not_shown.isHidden()


def test_an_older_set_up_is_paler(qtbot):
    table = TrustTable()
    qtbot.addWidget(table)
    table.show_expectations([expected()], "metric")
    table.set_stale(True)
    assert table._bars[0]._is_stale
    table.set_stale(False)
    assert not table._bars[0]._is_stale
