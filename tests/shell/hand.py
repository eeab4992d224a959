"""A hand that works in the real window by clicks and keys, and counts them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QPointF, QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog

from deliverylab.core.store import detector_files
from deliverylab.core.store.journal import Journal
from deliverylab.shell.dialogs.new_delivery import NewDeliveryDialog
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.window import Window
from tests.shell import gestures


class Hand:
    """Does what a person does in the window, and counts it."""

    def __init__(self, window, qtbot, monkeypatch):
        self.window, self.session, self._qtbot = window, window.session, qtbot
        self._monkeypatch = monkeypatch
        self.done: Counter[str] = Counter()

    def key(self, key, keys=Qt.KeyboardModifier.NoModifier, *, kind="keys"):
        self.done[kind] += 1
        QTest.keyClick(self.focus(), key, keys)

    def type(self, text):
        for character in text:
            self.done["letters"] += 1
            QTest.keyClick(self.focus(), character)

    def focus(self):
        """Return what has the keyboard; the platform gives it back to the window only if asked."""
        target = QApplication.activeModalWidget() or self.window
        if not target.isActiveWindow():
            target.activateWindow()
            self.wait(target.isActiveWindow, 2000)
        return QApplication.focusWidget()

    def click(self, widget, at=None, *, kind="clicks", keys=gestures.NO_KEYS):
        self.done[kind] += 1
        place = at if at is not None else QPointF(widget.rect().center())
        gestures.click(widget, place, keys=keys)

    def chosen_file(self, path, *, method="getOpenFileName"):
        """Choose a file in the system's own dialog: two clicks."""
        self.done["clicks"] += 2
        self._monkeypatch.setattr(QFileDialog, method, lambda *_: (str(path), ""))

    def next(self):
        """Do what is next."""
        self.key(Qt.Key.Key_Return, gestures.CTRL)

    def wait(self, condition, timeout=20_000):
        self._qtbot.waitUntil(condition, timeout=timeout)

    def canvas(self):
        return self.window.stages[self.session.active_side].canvas

    def describe_delivery(self, name, height="1.86 m"):
        """Give name and height in the dialog that is open, once the clip is looked over."""
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, NewDeliveryDialog)
        self.wait(lambda: dialog._camera is not None)
        self.type(name)
        self.key(Qt.Key.Key_Tab)
        self.key(Qt.Key.Key_Tab)
        self.type(height)
        self.key(Qt.Key.Key_Return)
        self.wait(lambda: QApplication.activeModalWidget() is None)

    def set_scale(self, ends=((300.0, 620.0), (600.0, 620.0)), length_m=1.5):
        """Click the two ends of a taped length and type it."""
        self.next()
        canvas = self.canvas()
        for place in ends:
            self.wait(lambda: canvas.is_exact)
            self.click(canvas, canvas.view.to_widget(*place))
        self.type(f"{length_m:g} m")
        self.key(Qt.Key.Key_Return)
        assert self.session.scale(self.session.active_side).length_m == length_m


@contextmanager
def hand_at_work(kind, qtbot, folder, monkeypatch, *, has_detector=False) -> Iterator[Hand]:
    """Give a hand of this kind an empty window, and put it away afterwards.

    The detector that the machine happens to have is only there where it is asked for.
    """
    if not has_detector:
        monkeypatch.setattr(
            detector_files.platformdirs, "user_data_path", lambda *_, **__: folder / "data"
        )
    session = Session()
    settings = Settings(QSettings(str(folder / "s.ini"), QSettings.Format.IniFormat))
    window = Window(session, settings)
    window.files = ProjectFiles(session, settings, window, Journal(folder / "copies"))
    window.resize(1280, 800)
    window.show()
    window.activateWindow()
    qtbot.waitExposed(window)
    yield kind(window, qtbot, monkeypatch)
    session.undo_stack.setClean()
    window.close()
    window.deleteLater()
