from __future__ import annotations

from deliverylab.core.compare.link_rows import less, more
from deliverylab.shell.widgets.end_chooser import EndChooser


def test_a_metric_then_when_and_which_way(qtbot):
    made = EndChooser("For")
    qtbot.addWidget(made)
    end = less("trunk_forward_tilt", "release")
    with qtbot.waitSignal(made.chosen):
        made.choose(end)
    assert made.end() == end
    assert made.instant.currentText() == "At release, less forward"
    made.measured.setCurrentIndex(made.measured.findData("stride_length"))
    with qtbot.waitSignal(made.chosen):
        made.measured.activated.emit(made.measured.currentIndex())
    assert made.end() == more("stride_length")
    with qtbot.waitSignal(made.chosen):
        made.instant.activated.emit(0)
