"""Start Qt, show the window, and catch what nobody else has caught."""

from __future__ import annotations

import logging
import sys
from collections.abc import Sequence
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QStandardPaths, QTimer
from PySide6.QtWidgets import QApplication

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.messages import unexpected_text

if TYPE_CHECKING:
    from deliverylab.shell.window.window import Window

LOG_NAME = "deliverylab.log"
_LOG = logging.getLogger("deliverylab.shell")


def main(argv: Sequence[str] | None = None) -> int:
    """Open the window, with the project or clip named on the command line.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments without the program's name; those of the process when left out.

    Returns
    -------
    int
        Exit status.
    """
    arguments = list(sys.argv[1:] if argv is None else argv)
    app = application()
    log_path = start_log()
    window = make_window()
    CrashHook(window, log_path).install()
    window.show()
    QTimer.singleShot(0, lambda: _begin(window, arguments))
    return app.exec()


def application() -> QApplication:
    """Return the application, made if there is none yet."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
    app.setApplicationName("deliverylab")
    app.setOrganizationName("deliverylab")
    app.setDesktopFileName("deliverylab")
    return app


def make_window() -> Window:
    """Return the window, dressed but not yet shown."""
    from deliverylab.shell.session import Session
    from deliverylab.shell.settings import Settings
    from deliverylab.shell.theme import theme
    from deliverylab.shell.window.window import Window

    settings = Settings()
    theme().apply(application(), settings.get("look"), settings.get("type_scale"))
    return Window(Session(), settings)


def _begin(window: Window, arguments: list[str]) -> None:
    """Open what was asked for, once the window is seen; else offer what was left behind."""
    paths = [Path(argument) for argument in arguments if not argument.startswith("-")]
    if paths:
        window.take_file(paths[0])
        return
    left = window.files.left_behind()
    if left is not None:
        name = left.project_path.stem if left.project_path else "a project without a name"
        when = left.written_at.astimezone()
        window.say(
            f"Unsaved work on {name} was kept on {when:%d %B at %H:%M}.",
            "caution",
            "Go on with it",
            lambda: window.files.recover(left),
        )


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
    window : Window
        Where it is said, and whose work is kept.
    log_path : Path
        Where the details are.
    """

    def __init__(self, window: Window, log_path: Path) -> None:
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


if __name__ == "__main__":
    sys.exit(main())
