"""Measure the whole window while a joint is dragged: edit, readings, differences, painting.

Run it by hand: ``python tests/benchmarks/bench_window.py [PROJECT.delivery]``; the shipped example
is taken where no project is named.  Painting goes into memory (QT_QPA_PLATFORM=offscreen) unless
another platform is set.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from PySide6.QtCore import QPointF, QSettings, Qt
from PySide6.QtWidgets import QApplication

from deliverylab.shell.app import application
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.theme import theme
from deliverylab.shell.window.window import Window
from tests.benchmarks.bench_video import say, spread
from tests.shell.gestures import move, press, release

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "demo.delivery"
N_WARM, N_MOVES = 40, 160
SIZE = (1500, 920)


def settle(seconds: float) -> None:
    """Let the window work."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        QApplication.processEvents()
        time.sleep(0.005)


def print_drag(window: Window, shown: str) -> None:
    """Drag the lead knee at foot contact; each move until all that it changes is painted."""
    session = window.session
    window.show_numbers(shown)
    session.go_to_event("foot_contact")
    settle(1.0)
    canvas, camera = window.stages["athlete"].canvas, session.camera("athlete")
    knee = camera.track("left_knee").at(session.state("athlete").frame)
    start = canvas.view.to_widget(knee.x_px, knee.y_px)
    press(canvas, start)
    walls_s, own_s = [], []
    for number in range(1, N_MOVES + 1):
        begin, own = time.perf_counter(), time.thread_time()
        at = start + QPointF(0.5 * number, 0.2 * number)
        move(canvas, at, buttons=Qt.MouseButton.LeftButton)
        QApplication.processEvents()
        walls_s.append(time.perf_counter() - begin)
        own_s.append(time.thread_time() - own)
        time.sleep(0.004)
    release(canvas, start)
    say(f"one move, {shown} shown, by the clock     {spread(walls_s[N_WARM:])}")
    say(f"one move, {shown} shown, own time         {spread(own_s[N_WARM:])}")
    session.undo()


def main() -> None:
    """Print all figures."""
    given = sys.argv[1:]
    project = Path(given[0]) if given else EXAMPLE
    app = application()
    theme().apply(app)
    with tempfile.TemporaryDirectory() as folder:
        store = QSettings(f"{folder}/settings.ini", QSettings.Format.IniFormat)
        window = Window(Session(), Settings(store))
        window.resize(*SIZE)
        window.show()
        window.session.open_project(project)
        settle(4.0)
        say(f"platform {app.platformName()}, window {SIZE[0]} x {SIZE[1]}, {project.name}")
        for shown in ("readings", "differences"):
            print_drag(window, shown)
        window.session.undo_stack.setClean()
        window.close()


if __name__ == "__main__":
    main()
