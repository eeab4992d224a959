"""What every test gets: no display needed, no surprise unnoticed, small deterministic searches."""

from __future__ import annotations

import logging
import os

import pytest
from hypothesis import HealthCheck, settings

# Before anything can load Qt: the platform that draws into memory.  ("minimal" would print text
# as black boxes.)
os.environ["QT_QPA_PLATFORM"] = "offscreen"

# A run must tell the same today and tomorrow, so examples are derived from the test itself.  A
# longer search by hand: DELIVERYLAB_HYPOTHESIS=thorough python -m pytest tests/core/model
settings.register_profile(
    "quick",
    derandomize=True,
    database=None,
    deadline=None,
    max_examples=30,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("thorough", settings.get_profile("quick"), max_examples=2000)
settings.load_profile(os.environ.get("DELIVERYLAB_HYPOTHESIS", "quick"))


def _why_no_window() -> str:
    """Return why Qt cannot start here, or nothing when it can."""
    try:
        import PySide6.QtWidgets  # noqa: F401
        import pytestqt.plugin  # noqa: F401
    except ImportError as error:
        return str(error)
    return ""


_NO_WINDOW = _why_no_window()

# pytest-qt loads Qt as soon as it is asked in, so it is asked in only where that can work; the
# tests of the window are left out elsewhere, and the report says so.
if _NO_WINDOW:
    collect_ignore = ["shell"]
else:
    pytest_plugins = ["pytestqt.plugin"]


def pytest_addoption(parser: pytest.Parser) -> None:
    """Know the settings of pytest-qt also where it could not be loaded."""
    if _NO_WINDOW:
        for name in ("qt_api", "qt_log_level_fail"):
            parser.addini(name, "unused here: Qt cannot start")
        parser.addini("qt_log_ignore", "unused here: Qt cannot start", type="linelist")


def pytest_configure(config: pytest.Config) -> None:
    """Refuse to leave the window untested where nobody would read the report."""
    if _NO_WINDOW and os.environ.get("CI"):
        msg = f"the tests of the window cannot run: {_NO_WINDOW}"
        raise pytest.UsageError(msg)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say at the end, where it is read, that the window was not tested."""
    if _NO_WINDOW:
        terminalreporter.write_line(
            f"NOT TESTED: the window, because Qt cannot start here ({_NO_WINDOW}); on Debian: "
            "apt-get install libegl1 libgl1 libxkbcommon0 libfontconfig1 libdbus-1-3 libglib2.0-0",
            yellow=True,
        )


class _Surprises(logging.Handler):
    """Keep the records that somebody should look at."""

    def __init__(self) -> None:
        super().__init__(level=logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(f"{record.levelname} {record.name}: {record.getMessage()}")


@pytest.fixture(autouse=True)
def no_unexpected_log_records(request: pytest.FixtureRequest):
    """Fail a test that logs a warning or worse, unless it carries the marker ``logs``."""
    surprises = _Surprises()
    root = logging.getLogger()
    root.addHandler(surprises)
    yield
    root.removeHandler(surprises)
    if surprises.lines and request.node.get_closest_marker("logs") is None:
        pytest.fail("unexpected log records:\n" + "\n".join(surprises.lines), pytrace=False)
