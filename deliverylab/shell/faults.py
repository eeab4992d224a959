"""What nobody else has caught: logged, the work kept, and said so."""

from __future__ import annotations

import logging
import sys
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType
from typing import Protocol

from PySide6.QtCore import QStandardPaths

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.messages import Level, unexpected_text

LOG_NAME = "deliverylab.log"
_LOG = logging.getLogger("deliverylab.shell")


class Keeper(Protocol):
    """Keeps a copy of unsaved work."""

    def keep_copy(self) -> Path | None:
        """Write a copy; return where it lies."""
        ...


class Speaker(Protocol):
    """A window, as far as it is needed here."""

    @property
    def files(self) -> Keeper:
        """What keeps the work."""
        ...

    def say(self, text: str, level: Level) -> None:
        """Say something in passing."""
        ...

    def show_error(self, error: DeliveryLabError) -> None:
        """Say what failed and what to do."""
        ...


def start_log(folder: Path | None = None) -> Path:
    """Write warnings and worse to a small file; return where it lies."""
    place = folder or Path(
        QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppLocalDataLocation)
    )
    place.mkdir(parents=True, exist_ok=True)
    path = place / LOG_NAME
    handler = RotatingFileHandler(path, maxBytes=500_000, backupCount=1, encoding="utf-8")
    handler.setLevel(logging.WARNING)
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logging.getLogger("deliverylab").addHandler(handler)
    return path


class CrashHook:
    """What happens to an exception that nobody has caught.

    One that says what to do is shown; any other is a fault of the program: it is logged, a
    recovery copy is saved, and the user is told so.

    Parameters
    ----------
    window : Speaker
        Where it is said, and whose work is kept.
    log_path : Path
        Where the details are.
    """

    def __init__(self, window: Speaker, log_path: Path) -> None:
        self._window, self._log_path = window, log_path
        self._is_busy = False

    def install(self) -> None:
        """Catch everything from now on."""
        sys.excepthook = self

    def __call__(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Deal with an exception."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        if isinstance(error, DeliveryLabError):
            self._window.show_error(error)
            return
        _LOG.error("unexpected", exc_info=(kind, error, trace))
        if self._is_busy:  # a fault while telling of a fault ends here
            return
        self._is_busy = True
        try:
            copy = self._window.files.keep_copy()
            text = unexpected_text(error, str(copy or ""), str(self._log_path))
            self._window.say(text, "problem")
        finally:
            self._is_busy = False
