"""A window with settings and recovery copies of its own."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings
from PySide6.QtWidgets import QWidget

from deliverylab.core.store.journal import Journal
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.window import Window


@pytest.fixture
def settings(tmp_path):
    return Settings(QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat))


@pytest.fixture
def open_window(settings, qtbot, tmp_path):
    """A function that opens a window on a session."""
    opened = []

    def open_on(session: Session) -> Window:
        holder = QWidget()
        qtbot.addWidget(holder)
        files = ProjectFiles(session, settings, holder, Journal(tmp_path / "copies"))
        window = Window(session, settings, files)
        window.resize(1280, 800)
        window.show()
        opened.append(window)
        return window

    yield open_on
    for window in opened:
        window.session.undo_stack.setClean()
        window.close()
        window.deleteLater()
        QCoreApplication.sendPostedEvents(window, QEvent.Type.DeferredDelete)


@pytest.fixture
def window(open_window, session):
    return open_window(session)
