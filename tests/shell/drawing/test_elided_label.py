from __future__ import annotations

from deliverylab.shell.drawing.elided_label import ElidedLabel

LONG = "To mark next: foot plant, sole flat, the ankle has stopped"


def test_what_does_not_fit_between_its_margins_is_shortened_and_told_by_the_tool_tip(qtbot):
    label = ElidedLabel()
    qtbot.addWidget(label)
    # only what is shown has the type of its role
    label.show()
    label.setText(LONG)
    needed = label.full_width
    label.setContentsMargins(12, 0, 12, 0)
    label.resize(needed + 4, 20)
    assert label.text().endswith("…")
    assert label.toolTip() == label.full_text == LONG
    label.resize(needed + 40, 20)
    assert (label.text(), label.toolTip()) == (LONG, "")
