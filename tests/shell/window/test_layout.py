from __future__ import annotations

import subprocess
import sys

import pytest
from PySide6.QtWidgets import QApplication

from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.projectfile import save_project
from deliverylab.shell import project_files
from deliverylab.shell.theme import theme
from tests.shell.conftest import delivery_of

STARTED = """
import sys
from PySide6.QtCore import QSettings
from deliverylab.shell.app import application
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.window import Window
app = application()
window = Window(Session(), Settings(QSettings(sys.argv[1], QSettings.Format.IniFormat)))
window.show()
app.processEvents()
slow = {"av", "cv2", "pandas", "pyarrow", "pypdfium2", "pyqtgraph", "reportlab", "scipy"}
print(*sorted(slow & set(sys.modules)))
"""


def test_the_stages_come_with_the_deliveries(window, session):
    assert window.centre.currentWidget() is window.welcome
    session.add_delivery(delivery_of("Bo 1"))
    assert window.stages["athlete"].isVisible()
    assert not window.stages["model"].isVisible()
    session.add_delivery(delivery_of("Kim 4"))
    assert window.stages["model"].isVisible()
    while session.undo_stack.canUndo():
        session.undo()
    assert window.centre.currentWidget() is window.welcome


def test_the_window_is_seen_before_what_reads_writes_and_plots_is_loaded(tmp_path):
    command = [sys.executable, "-c", STARTED, str(tmp_path / "settings.ini")]
    started = subprocess.run(command, capture_output=True, text=True, check=True)
    assert started.stdout.split() == []


def test_the_title_tells_what_is_not_saved(window, session):
    session.set_title("Spring")
    assert window.windowTitle() == "Spring[*] – deliverylab"
    assert window.isWindowModified()
    session.undo()
    assert not window.isWindowModified()


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080)])
@pytest.mark.parametrize("scale", [1.0, 1.5])
def test_nothing_is_pushed_out_of_the_window(window, session, qtbot, width, height, scale):
    session.add_delivery(delivery_of("Bo 1"))
    session.add_delivery(delivery_of("Kim 4"))
    try:
        theme().apply(QApplication.instance(), "dark", scale)
        window.resize(width, height)
        qtbot.wait(30)
        assert (window.width(), window.height()) == (width, height)
        for part in (window.checklist, window.scrub, window.right, *window.stages.values()):
            corner = part.mapTo(window, part.rect().bottomRight())
            assert corner.x() < width
            assert corner.y() < height
    finally:
        theme().apply(QApplication.instance(), "dark", 1.0)


def test_notices_offer_their_button_once(window):
    done = []
    window.say("Marked.", "good", "Undo", lambda: done.append(1))
    assert window.notices.text == "Marked."
    window.notices._button.click()
    assert done == [1]
    window.say("Saved.")
    window.notices.action_chosen.emit()
    assert done == [1]


def test_what_is_said_covers_nothing_and_moves_nothing(window, session, qtbot):
    session.add_delivery(delivery_of("Bo 1"))
    qtbot.wait(20)
    before = window.centre.geometry()
    assert "To mark next: leg lift" in window.message_line.hint
    window.say("Marked.", "good", "Undo", lambda: None)
    qtbot.wait(20)
    assert window.centre.geometry() == before
    bar = window.notices
    window.say("A caution that is rather long and has to be broken into lines. " * 3, "caution")
    qtbot.wait(20)
    assert bar.height() >= bar.heightForWidth(bar.width())
    place = bar.mapTo(window, bar.rect().topLeft())
    assert place.y() >= window.centre.mapTo(window, window.centre.rect().bottomLeft()).y()
    bar.dismiss()
    assert not window.message_line._hint.isHidden()


def test_links_are_remembered(window, session, settings):
    session.set_linked(False)
    assert settings.get("is_linked") is False


def test_files_opened_last_stand_in_the_menu(window, session, tmp_path):
    session.save_as(tmp_path / "spring.delivery")
    assert [action.text() for action in window._recent_menu.actions()] == ["spring.delivery"]


def test_the_own_version_is_offered_once_anothers_is_open(window, session, monkeypatch, tmp_path):
    session.add_delivery(delivery_of("Bo 1"))
    session.save_as(tmp_path / "spring.delivery")
    save_project(ProjectRecord(title="theirs"), tmp_path / "spring.delivery")
    session.set_title("own")
    monkeypatch.setattr(project_files, "ask_about_conflict", lambda *_: "theirs")
    assert not window.files.save()
    assert session.record.title == "theirs"
    assert "Your own version is kept" in window.notices.text
    window.notices._button.click()
    assert session.record.title == "own"


def test_another_project_can_be_begun_over_edits_that_are_given_up(window, session, monkeypatch):
    session.add_delivery(delivery_of("Bo 1"))
    monkeypatch.setattr(project_files, "ask_about_changes", lambda *_: "discard")
    window.new_project()
    assert session.delivery("athlete") is None
    assert window.centre.currentWidget() is window.welcome
