from __future__ import annotations

import pytest
from msgspec.structs import replace

from deliverylab.core.compare.link_rows import more
from deliverylab.core.compare.links import LINKS
from deliverylab.core.model.library import Library
from deliverylab.core.store.library import load_library
from deliverylab.shell.dialogs.library import LibraryPanel
from deliverylab.shell.library_content import cue_rows
from deliverylab.shell.widgets.library_cards import CueCard, DrillCard, LinkCard
from tests.shell.compared import compared

__all__ = ["compared"]
STRIDE = more("stride_length")


@pytest.fixture
def panel(qtbot, compared):
    made = LibraryPanel(compared)
    qtbot.addWidget(made)
    made.resize(318, 700)
    made.show()
    made.show_for(STRIDE)
    return made


def cards(panel):
    return [panel.cards.itemAt(at).widget() for at in range(panel.cards.count())]


def test_cues_drills_and_links_for_what_is_chosen(panel):
    assert [type(card) for card in cards(panel)] == [CueCard]
    panel.parts["drills"].click()
    assert [type(card) for card in cards(panel)] == [DrillCard]
    panel.parts["links"].click()
    assert {type(card) for card in cards(panel)} == {LinkCard}


def test_a_cue_of_the_program_becomes_ones_own_and_other_words(panel, compared):
    cards(panel)[0].kept.emit(cue_rows(STRIDE, Library())[0][0])
    assert len(compared.library().cues) == 1
    (card,) = cards(panel)
    card.kept.emit(replace(compared.library().cues[0], text="Reach."))
    assert [cue.text for cue in compared.library().cues] == ["Reach."]
    assert load_library(compared.path) == compared.library()
    cards(panel)[0].removed.emit()
    assert compared.library() == Library()


def test_new_cues_drills_and_links_are_added(panel, compared):
    panel.new_words.setPlainText("Reach.")
    panel.new_child.setPlainText("Reach!")
    panel.add.click()
    (cue,) = compared.library().cues
    assert (cue.metric, cue.way, cue.text, cue.text_for_minors) == (
        "stride_length",
        "more",
        "Reach.",
        "Reach!",
    )
    assert panel.new_words.words() == ""
    panel.show_part("drills")
    panel.new_name.setPlainText("Mine")
    panel.new_how.setPlainText("Do it. 2 × 5.")
    panel.add.click()
    (drill,) = compared.library().drills
    assert (drill.name, drill.serves, drill.arm_load) == ("Mine", (STRIDE,), "throwing")
    panel.show_part("links")
    panel.to.choose(more("release_ahead_of_lead_foot", "release"))
    panel.new_why.setPlainText("a longer stride")
    panel.add.click()
    (link,) = compared.library().links
    assert (link.cause, link.why) == (STRIDE, "a longer stride")


def test_what_does_not_fit_is_said_and_stays_typed(panel, compared):
    panel.add.click()
    assert "needs words" in panel.problem.text()
    panel.show_part("drills")
    panel.new_name.setPlainText("Mine")
    panel.add.click()
    assert "how it is done" in panel.problem.text()
    assert panel.new_name.words() == "Mine"
    panel.show_part("links")
    panel.to.choose(STRIDE)
    panel.new_why.setPlainText("so")
    panel.add.click()
    assert "where it starts" in panel.problem.text()
    assert compared.library() == Library()


def test_a_link_is_left_out_and_put_back_with_one_click_each(panel, compared, qtbot):
    panel.show_part("links")
    n_links = len(cards(panel))
    with qtbot.waitSignal(panel.kept) as said:
        cards(panel)[0].removed.emit()
    assert said.args == ["The link is left out.", Library()]
    (key,) = compared.library().without_links
    assert any(link.key == key for link in LINKS)
    assert len(cards(panel)) == n_links
    cards(panel)[0].removed.emit()
    assert compared.library() == Library()


def test_a_changed_link_carries_the_owners_name(panel, compared):
    panel.owner.setText("Kim Doe")
    panel.owner.editingFinished.emit()
    assert compared.library().owner == "Kim Doe"
    panel.show_part("links")
    card = cards(panel)[0]
    (field,) = card.findChildren(type(panel.new_why))
    field.setPlainText("as I see it")
    field.leave()
    (own,) = compared.library().links
    assert (own.why, own.source) == ("as I see it", "Kim Doe")
    cards(panel)[0].removed.emit()
    assert compared.library().links == ()


def test_a_damaged_library_is_said(panel, compared):
    (compared.path.parent / "library.json").write_text("{")
    panel.refresh()
    assert "cannot be read" in panel.problem.text()
