from __future__ import annotations

import pytest

from deliverylab.core.metrics.remedies import line
from deliverylab.core.metrics.spec import PLACING
from deliverylab.shell.drawing.budget_bars import BudgetBars, BudgetLine, budget_lines
from tests.shell.test_value_text import result_of

SOURCES = ("scale length", "scale points", "level of the camera", "yaw of the camera")


def test_the_largest_parts_stand_alone_and_the_rest_is_summed():
    budget = tuple(line(source, 0.010) for source in (*SOURCES, *"abcd"))
    lines = budget_lines(result_of(budget=budget), "metric")
    assert len(lines) == 6
    assert lines[-1].name == "3 others together"
    assert sum(one.share for one in lines) == pytest.approx(1.0)
    assert lines[0].amount == "0.020 m"  # as U = 2u, like the margin itself
    assert len(budget_lines(result_of(budget=budget[:6]), "metric")) == 6


def test_a_landmark_at_another_instant_says_which():
    budget = (line(PLACING, 2.0, "lead_knee", "release"), line("scale length", 1.0))
    of_two = result_of(budget=budget, event="")
    assert budget_lines(of_two, "metric")[0].name == "placing the lead knee at release"
    of_one = result_of(budget=budget, event="release")
    assert budget_lines(of_one, "metric")[0].name == "placing the lead knee"


def test_a_longer_share_is_a_longer_bar_and_all_of_it_is_said(qtbot):
    bars = BudgetBars()
    qtbot.addWidget(bars)
    bars.show_lines([BudgetLine("x", 0.8, "3.1°"), BudgetLine("y", 0.001)])
    assert bars.accessibleName() == "The ± comes from: x 80 %, ± 3.1° alone; y < 1 %"
    bars.resize(200, bars.sizeHint().height())
    bars.show()
    image = bars.grab().toImage()
    middle = image.height() // 4
    below = image.height() - middle
    assert image.pixelColor(150, middle) != image.pixelColor(168, middle)
    assert image.pixelColor(20, middle) != image.pixelColor(20, below)
