from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtWidgets import QLabel, QPushButton

from deliverylab.core.compare.drills import CUES, DRILLS
from deliverylab.core.compare.links import LINKS
from deliverylab.core.model.library import COMMON_PRACTICE
from deliverylab.shell.drawing.words_edit import WordsEdit
from deliverylab.shell.library_content import changed
from deliverylab.shell.widgets.library_cards import CueCard, DrillCard, LinkCard

CUE = next(cue for cue in CUES if cue.text_for_minors)
DRILL = next(drill for drill in DRILLS if drill.caution)
PUBLISHED = next(link for link in LINKS if link.source != COMMON_PRACTICE)


def fields_of(card):
    return {field.accessibleName(): field for field in card.findChildren(WordsEdit)}


def button_of(card):
    (button,) = card.findChildren(QPushButton)
    return button


def heard(card):
    said = []
    card.kept.connect(said.append)
    card.removed.connect(lambda: said.append("out"))
    return said


def rewrite(field, text):
    field.setPlainText(text)
    field.leave()


def test_a_cue_of_the_program_is_taken_over_with_one_click(qtbot):
    card = CueCard(CUE, is_own=False)
    qtbot.addWidget(card)
    said = heard(card)
    assert not fields_of(card)
    button_of(card).click()
    assert said == [CUE]


def test_ones_own_cue_is_reworded_and_taken_out(qtbot):
    card = CueCard(CUE, is_own=True)
    qtbot.addWidget(card)
    said = heard(card)
    rewrite(fields_of(card)["Cue"], "Mine.")
    rewrite(fields_of(card)["Cue to a child"], "")
    button_of(card).click()
    assert said == [replace(CUE, text="Mine."), replace(CUE, text_for_minors=""), "out"]


def test_a_drill_shows_what_it_loads_and_what_to_mind(qtbot):
    card = DrillCard(DRILL, is_own=False)
    qtbot.addWidget(card)
    said = heard(card)
    texts = {label.text() for label in card.findChildren(QLabel)}
    assert {DRILL.name, DRILL.how, "Does not load the arm", DRILL.caution} <= texts
    button_of(card).click()
    assert said == [DRILL]


def test_ones_own_drill_is_changed(qtbot):
    card = DrillCard(DRILL, is_own=True)
    qtbot.addWidget(card)
    said = heard(card)
    rewrite(fields_of(card)["How it is done"], "My way.")
    rewrite(fields_of(card)["Caution"], "")
    card.load.setCurrentIndex(card.load.findData("light"))
    card.load.activated.emit(1)
    assert [each.how for each in said[:1]] == ["My way."]
    assert (said[1].caution, said[2].arm_load) == ("", "light")


def test_a_link_is_reworded_weighted_and_left_out(qtbot):
    card = LinkCard(PUBLISHED, "the program’s")
    qtbot.addWidget(card)
    said = heard(card)
    rewrite(fields_of(card)["Why they go together"], "as I see it")
    card.strength.setValue(0.3)
    button_of(card).click()
    assert said == [
        changed(PUBLISHED, why="as I see it"),
        replace(PUBLISHED, strength=0.3),
        "out",
    ]
    # other words are no longer those of the source
    assert said[0].source == COMMON_PRACTICE


def test_a_link_that_is_left_out_can_only_be_put_back(qtbot):
    card = LinkCard(PUBLISHED, "left out")
    qtbot.addWidget(card)
    said = heard(card)
    assert not fields_of(card)
    assert button_of(card).text() == "Put it back"
    button_of(card).click()
    assert said == ["out"]
