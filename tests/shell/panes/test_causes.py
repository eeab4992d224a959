from __future__ import annotations

import pytest

from deliverylab.core.compare.links import link_name
from deliverylab.core.store.library import library_file
from deliverylab.shell.panes.causes import CausesPane
from tests.shell.compared import compared
from tests.shell.gestures import click

__all__ = ["compared"]


@pytest.fixture
def pane(compared, qtbot):
    made = CausesPane(compared)
    qtbot.addWidget(made)
    made.resize(900, 700)
    made.show()
    return made


def followers(pane):
    return [
        box
        for box in pane.canvas.drawing.boxes
        if not box.placed.is_start and box.placed.node.event
    ]


def test_the_chain_is_drawn_and_told(pane, compared):
    chain = compared.chain()
    drawn = {box.placed.node.key for box in pane.canvas.drawing.boxes}
    assert {start.node.key for start in chain.starts} <= drawn
    for sentence in chain.sentences:
        assert sentence in pane.text
    for difference in chain.unexplained:
        assert difference.a.name in pane.text


def test_a_click_shows_the_instant_on_both_stages_and_what_lies_behind(pane, compared):
    box = followers(pane)[-1]
    click(pane.canvas, box.place.center())
    node = box.placed.node
    assert compared.event_at_frame("athlete") == node.event
    assert compared.event_at_frame("model") == node.event
    assert f"{node.difference.words}" in pane.text
    assert "against" in pane.text
    assert "Commonly follows from: " in pane.text


def test_a_link_that_does_not_fit_is_left_out_in_two_clicks(pane, compared, qtbot):
    box = followers(pane)[0]
    click(pane.canvas, box.place.center())
    before = compared.library()
    edge = next(each for each in compared.chain().edges if each.effect == box.placed.node.key)
    with qtbot.waitSignal(pane.left_out) as caught:
        pane.link_buttons[0].click()
    assert caught.args == [link_name(edge.link), before]
    assert edge not in compared.chain().edges


def test_a_small_pane_draws_fewer_rows_and_says_so(pane):
    n_rows = max(box.placed.row for box in pane.canvas.drawing.boxes)
    pane.resize(900, 330)
    assert max(box.placed.row for box in pane.canvas.drawing.boxes) < n_rows
    assert "not drawn: a larger window draws more" in pane.text


def test_without_a_partner_it_says_so(pane, compared, qtbot):
    with qtbot.waitSignal(compared.results_updated):
        compared.select("model", None)
    assert "Choose a second delivery" in pane.text
    assert pane.canvas.isHidden()


def test_a_damaged_library_is_told_instead_of_a_chain(pane, compared):
    file = library_file(compared.path)
    file.parent.mkdir(parents=True)
    file.write_text("damaged")
    pane.refresh()
    assert "library cannot be read" in pane.text
    assert pane.canvas.isHidden()


def test_while_hidden_it_waits(pane, compared):
    pane.hide()
    compared.select("model", None)
    pane.show()
    assert "Choose a second delivery" in pane.text
