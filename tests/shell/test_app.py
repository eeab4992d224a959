from __future__ import annotations

import logging
import sys

import pytest
from PySide6.QtCore import QTimer

from deliverylab.shell import app as module
from deliverylab.shell.faults import LOG_NAME, start_log


@pytest.fixture
def log(tmp_path):
    logger = logging.getLogger("deliverylab")
    before = list(logger.handlers)
    yield start_log(tmp_path)
    for handler in set(logger.handlers) - set(before):
        handler.close()
        logger.removeHandler(handler)


def test_the_window_opens_with_the_project_named_and_closes(pair, tmp_path, monkeypatch, qapp, log):
    path = tmp_path / "spring.delivery"
    pair.save_as(path)
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(module, "start_log", lambda: log)
    opened = []

    def make_window():
        from PySide6.QtCore import QSettings

        from deliverylab.shell.session import Session
        from deliverylab.shell.settings import Settings
        from deliverylab.shell.window.window import Window

        store = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
        opened.append(Window(Session(), Settings(store)))
        return opened[0]

    monkeypatch.setattr(module, "make_window", make_window)

    def leave():
        if opened and opened[0].session.path is not None:
            assert opened[0].isVisible()
            opened[0].close()
            qapp.exit(7)
        else:
            QTimer.singleShot(20, leave)

    # else closing the window would also end every loop that later tests start
    qapp.setQuitOnLastWindowClosed(False)
    QTimer.singleShot(20, leave)
    assert module.main([str(path)]) == 7
    assert opened[0].session.delivery("model").name == "Kim model"
    qapp.setQuitOnLastWindowClosed(True)
    assert (log.name, opened[0].settings.get("recent")) == (LOG_NAME, [str(path)])
