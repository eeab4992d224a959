"""Start Qt and show the window, then open what was asked for."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from deliverylab.shell.faults import CrashHook, start_log

if TYPE_CHECKING:
    from deliverylab.shell.window.window import Window


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
    """Open what was asked for, once the window is seen, and offer what was left behind of it."""
    paths = [Path(argument) for argument in arguments if not argument.startswith("-")]
    project = None
    if paths:
        window.take_file(paths[0])
        project = window.session.path
        if project is None:  # a clip is being asked about
            return
    left = window.files.left_behind(project)
    if left is not None:
        name = left.project_path.stem if left.project_path else "a project without a name"
        when = left.written_at.astimezone()
        window.say(
            f"Unsaved work on {name} was kept on {when:%d %B at %H:%M}.",
            "caution",
            "Go on with it",
            lambda: window.files.recover(left),
        )


if __name__ == "__main__":
    sys.exit(main())
