from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.chain_layout import chain_layout
from deliverylab.shell.widgets.chain_canvas import ChainCanvas
from tests.core.compare.chain_cases import EXTENSION, FOOT, PELVIS, TRUNK, line_up
from tests.shell.gestures import click, tap


@pytest.fixture
def canvas(qtbot):
    made = ChainCanvas()
    qtbot.addWidget(made)
    made.show_chain(chain_layout(chain_of(line_up())), "metric")
    made.resize(500, made.sizeHint().height())
    made.show()
    return made


def box_of(canvas, key):
    return next(box for box in canvas.drawing.boxes if box.placed.node.key == key)


def test_a_click_takes_a_box_in_hand_and_beside_one_does_nothing(canvas, qtbot):
    with qtbot.waitSignal(canvas.chosen) as caught:
        click(canvas, box_of(canvas, PELVIS).place.center())
    assert caught.args == [PELVIS]
    assert canvas.selected == PELVIS
    assert "more open" in canvas.accessibleDescription()
    assert "against" in canvas.accessibleDescription()
    with qtbot.assertNotEmitted(canvas.chosen):
        click(canvas, canvas.drawing.columns[0].center())
    assert canvas.selected == PELVIS


def test_the_arrows_go_from_box_to_box_and_enter_chooses(canvas, qtbot):
    tap(canvas, Qt.Key.Key_Down)
    assert canvas.selected == FOOT
    tap(canvas, Qt.Key.Key_Down)
    assert canvas.selected == PELVIS
    tap(canvas, Qt.Key.Key_Right)
    assert canvas.selected in (TRUNK, EXTENSION)
    tap(canvas, Qt.Key.Key_Right)
    with qtbot.waitSignal(canvas.chosen) as caught:
        tap(canvas, Qt.Key.Key_Return)
    assert caught.args == [canvas.selected]


def test_what_is_in_hand_stays_so_while_it_is_there(canvas):
    canvas.select(PELVIS)
    canvas.show_chain(chain_layout(chain_of(line_up(trunk_forward_tilt=0.0))), "metric")
    assert canvas.selected == PELVIS
    canvas.show_chain(chain_layout(chain_of([])), "metric")
    assert canvas.selected is None


def test_it_is_as_high_as_its_rows_at_any_width(canvas):
    for width in (400, 900):
        canvas.resize(width, 300)
        assert canvas.sizeHint().height() == round(canvas.drawing.height)
        assert canvas.drawing.boxes[-1].place.right() <= width
