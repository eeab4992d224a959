from __future__ import annotations

import pytest

from deliverylab.core.compare.parties import Party
from deliverylab.shell.widgets.compared_head import WHOLE, ComparedHead


@pytest.fixture
def head(qtbot):
    made = ComparedHead()
    qtbot.addWidget(made)
    made.show()
    return made


def _offered(head):
    return [head.phases.itemText(row) for row in range(head.phases.count())]


def test_phases_are_offered_in_the_order_of_the_delivery_with_their_counts(head):
    head.show_phases(["release", "leg lift", "release"])
    assert _offered(head) == [WHOLE, "leg lift (1)", "release (2)"]
    assert head.phase == ""


def test_a_chosen_phase_is_kept_while_numbers_come_and_go(head, qtbot):
    head.show_phases(["release", "leg lift"])
    with qtbot.waitSignal(head.phase_chosen) as sent:
        head.phases.setCurrentIndex(2)
    assert sent.args == ["release"]
    head.show_phases(["release", "release", "leg lift"])
    assert (head.phase, head.phases.currentText()) == ("release", "release (2)")
    head.show_phases(["leg lift"])
    assert (head.phase, head.phases.currentText()) == ("", WHOLE)
    head.show_phases(["release", "leg lift"])
    assert (head.phase, head.phases.currentText()) == ("release", "release (1)")


def test_published_means_are_explained(head):
    head.say_about(Party("published youth", (), "youth"))
    assert head._about.isVisible()
    assert "only what is defined alike" in head._about.text()
    head.say_about(None)
    assert not head._about.isVisible()


def test_no_part_is_offered_while_nothing_is_compared(head):
    assert not head.phases.isVisible()
    head.show_phases(["release"])
    assert head.phases.isVisible()
    head.show_phases([])
    assert not head.phases.isVisible()
