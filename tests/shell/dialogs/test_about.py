from __future__ import annotations

from PySide6.QtGui import QKeySequence

from deliverylab import __version__
from deliverylab.shell.actions import ACTIONS
from deliverylab.shell.dialogs.about import about_dialog, cautions_dialog, keys_dialog


def test_every_shortcut_is_listed(qtbot):
    dialog = keys_dialog()
    qtbot.addWidget(dialog)
    text = dialog.text.text()
    for action in ACTIONS:
        if action.shortcut:
            assert action.text in text
            first = QKeySequence(action.shortcut.split("|")[0])
            assert first.toString(QKeySequence.SequenceFormat.NativeText) in text


def test_cautions_say_what_the_numbers_do_not_mean(qtbot):
    dialog = cautions_dialog()
    qtbot.addWidget(dialog)
    for part in ("95 of 100", "see a clinician", "not shown", "Nothing is sent anywhere"):
        assert part in dialog.text.text()


def test_the_version_is_told(qtbot):
    dialog = about_dialog()
    qtbot.addWidget(dialog)
    assert __version__ in dialog.text.text()
