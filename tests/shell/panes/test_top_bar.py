from __future__ import annotations

import pytest
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QMenu

from deliverylab.shell.panes.top_bar import ALONE, BESIDE, TopBarPane
from tests.shell.conftest import delivery_of


@pytest.fixture
def bar(session, qtbot):
    made = TopBarPane(session, (QAction("Undo"), None, QAction("Page")))
    qtbot.addWidget(made)
    made.resize(900, 40)
    made.show()
    return made


def test_it_names_the_project_and_marks_what_is_not_saved(bar, session):
    session.set_title("Spring")
    assert bar._title.text() == "Spring  •"
    session.undo()
    assert bar._title.text() == "Untitled"


def test_a_partner_is_asked_for_only_while_there_is_none(bar, session, qtbot):
    assert bar._compare.isHidden()
    session.add_delivery(delivery_of("Bo 1"))
    assert not bar._compare.isHidden()
    with qtbot.waitSignal(bar.partner_wanted):
        bar._compare.click()
    session.add_delivery(delivery_of("Kim 4"))
    assert bar._compare.isHidden()
    assert bar._about.text() == "Bo 1 with Kim 4"


def test_deliveries_of_the_project_are_offered(bar, session):
    session.add_delivery(delivery_of("Bo 1"))
    session.add_delivery(delivery_of("Kim 4"))
    session.select("model", None)
    assert bar.partners() == ("Kim 4",)
    bar.choose_partner()
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    menu.actions()[0].trigger()
    menu.close()
    assert session.delivery("model").name == "Kim 4"


def test_buttons_say_their_names_where_there_is_room(session, qtbot):
    actions = [QAction(text) for text in ("Scale", "Page", "Undo")]
    actions[2].setPriority(QAction.Priority.LowPriority)
    bar = TopBarPane(session, actions)
    qtbot.addWidget(bar)
    bar.show()
    styles = {}
    for width in (900, 340):
        bar.resize(width, 40)
        styles[width] = [button.toolButtonStyle() for button in bar._buttons]
    assert styles == {900: [BESIDE, BESIDE, ALONE], 340: [ALONE, ALONE, ALONE]}


def test_a_long_title_gives_way_and_leads_to_its_dialog(bar, session, qtbot):
    session.set_title("A season of bullpens that somebody gave a very long name " * 3)
    assert "…" in bar._title.text()
    assert bar._title.sizeHint().width() < 0.5 * bar.width()
    with qtbot.waitSignal(bar.head_wanted):
        bar._title.click()
