from __future__ import annotations

from PySide6.QtGui import QKeySequence

from deliverylab.shell.actions import ACTIONS, GROUPS
from deliverylab.shell.session import Session


def test_keys_are_unique_and_groups_known():
    keys = [action.key for action in ACTIONS]
    assert len(keys) == len(set(keys))
    assert {action.group for action in ACTIONS} == set(GROUPS)


def test_no_two_actions_share_a_shortcut():
    sequences = [
        QKeySequence(part).toString()
        for action in ACTIONS
        for part in action.shortcut.split("|")
        if part
    ]
    assert all(sequences)
    assert len(sequences) == len(set(sequences))


def test_every_intent_exists():
    for action in ACTIONS:
        owner, _, method = action.intent.partition(".")
        assert owner in {"session", "window"}
        if owner == "session":
            assert callable(getattr(Session, method)), action.key
