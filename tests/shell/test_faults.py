from __future__ import annotations

import logging
import sys

import pytest

from deliverylab.core.errors import ClipError
from deliverylab.shell.faults import CrashHook, start_log


class Files:
    def __init__(self):
        self.n_copies = 0

    def keep_copy(self):
        self.n_copies += 1
        return "/copies/one"


class Window:
    """Stands for the window: remembers what it is told."""

    def __init__(self):
        self.said, self.errors, self.files = [], [], Files()

    def say(self, text, level):
        self.said.append((text, level))

    def show_error(self, error):
        self.errors.append(error)


@pytest.fixture
def log(tmp_path):
    logger = logging.getLogger("deliverylab")
    before = list(logger.handlers)
    yield start_log(tmp_path)
    for handler in set(logger.handlers) - set(before):
        handler.close()
        logger.removeHandler(handler)


def _raised(error):
    try:
        raise error
    except type(error) as raised:
        return type(raised), raised, raised.__traceback__


def test_an_error_with_a_remedy_is_shown_and_not_logged(log):
    window = Window()
    error = ClipError("no")
    CrashHook(window, log)(*_raised(error))
    assert window.errors == [error]
    assert log.read_text(encoding="utf-8") == ""


@pytest.mark.logs
def test_a_fault_is_logged_the_work_is_kept_and_it_is_said(log):
    window = Window()
    CrashHook(window, log)(*_raised(KeyError("where")))
    text, level = window.said[0]
    assert level == "problem"
    assert "/copies/one" in text
    assert str(log) in text
    assert window.files.n_copies == 1
    assert "KeyError: 'where'" in log.read_text(encoding="utf-8")


@pytest.mark.logs
def test_a_fault_while_telling_of_a_fault_ends_there(log):
    window = Window()
    hook = CrashHook(window, log)

    def say(text, level):
        hook(*_raised(ValueError("again")))
        window.said.append(text)

    window.say = say
    hook(*_raised(KeyError("where")))
    assert len(window.said) == 1


def test_the_hook_is_installed(monkeypatch, log):
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    hook = CrashHook(Window(), log)
    hook.install()
    assert sys.excepthook is hook
