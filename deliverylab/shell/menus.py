"""The table of actions made into Qt's actions and a menu bar."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.actions import ACTIONS, GROUPS, ActionSpec
from deliverylab.shell.session import Session
from deliverylab.shell.theme import icon, on_theme_changed


class Actions(QObject):
    """All actions of the window, enabled as far as there is something to act on.

    Parameters
    ----------
    session : Session
        Carries out ``session.…`` intents.
    window : QObject
        Carries out ``window.…`` intents.
    show_error : callable
        Told why an intent could not be carried out.
    """

    def __init__(
        self, session: Session, window: QObject, show_error: Callable[[DeliveryLabError], None]
    ) -> None:
        super().__init__(window)
        self._show_error = show_error
        self._session = session
        self._owners: dict[str, QObject] = {"session": session, "window": window}
        self._actions = {spec.key: self._made(spec) for spec in ACTIONS}
        # by what the signals carry: the stack sends them even while it is taken apart
        stack = session.undo_stack
        stack.canUndoChanged.connect(self._actions["undo"].setEnabled)
        stack.canRedoChanged.connect(self._actions["redo"].setEnabled)
        stack.undoTextChanged.connect(self._on_undo_text_changed)
        stack.redoTextChanged.connect(self._on_redo_text_changed)
        session.selection_changed.connect(self.refresh)
        session.display_changed.connect(self.refresh)
        on_theme_changed(self, self._on_theme_changed)
        self.refresh()

    def __getitem__(self, key: str) -> QAction:
        """Return the action of a key."""
        return self._actions[key]

    def all(self) -> tuple[QAction, ...]:
        """Return all actions, in the table's order."""
        return tuple(self._actions.values())

    def _made(self, spec: ActionSpec) -> QAction:
        action = QAction(spec.text, self)
        action.setCheckable(spec.is_checkable)
        shortcuts = [QKeySequence(part) for part in spec.shortcut.split("|") if part]
        action.setShortcuts(shortcuts)
        # keys held down repeat where one goes on and on, not where one makes or removes
        action.setAutoRepeat(spec.group == "Frame")
        action.setIconText(spec.short or spec.text)
        if not spec.short:
            action.setPriority(QAction.Priority.LowPriority)
        self._explain(action)
        owner, _, method = spec.intent.partition(".")
        intent = getattr(self._owners[owner], method)
        action.triggered.connect(_call(intent, spec, self._show_error))
        return action

    def _explain(self, action: QAction) -> None:
        """Say by which keys it goes as well, where the pointer rests on its button."""
        keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        action.setToolTip(f"{action.text()}  ({keys})" if keys else action.text())

    def fill(self, bar: QMenuBar) -> dict[str, QMenu]:
        """Fill a menu bar; return the menus by group."""
        menus: dict[str, QMenu] = {group: bar.addMenu(group) for group in GROUPS}
        for spec in ACTIONS:
            if spec.is_behind_line:
                menus[spec.group].addSeparator()
            menus[spec.group].addAction(self._actions[spec.key])
        return menus

    def refresh(self, *_ignored: object) -> None:
        """Enable what has something to act on, and show what is switched on."""
        session = self._session
        is_there = {
            "": True,
            "delivery": session.delivery("athlete") is not None,
            "partner": session.partner() is not None,
            "comparison": session.compared() is not None,
        }
        for spec in ACTIONS:
            self._actions[spec.key].setEnabled(is_there[spec.needs])
        shown = session.delivery(session.active_side)
        has_cameras = shown is not None and len(shown.cameras) > 1
        self._actions["remove_camera"].setEnabled(has_cameras)
        camera = session.camera(session.active_side)
        whole = None if camera is None else (0, camera.timing.n_frames - 1)
        is_trimmed = camera is not None and (camera.first_frame, camera.end_frame) != whole
        self._actions["whole_clip"].setEnabled(is_trimmed)
        own = session.delivery("athlete")
        self._actions["both_clips"].setEnabled(own is not None and len(own.cameras) > 1)
        self._actions["both_clips"].setChecked(session.shows_both_clips)
        self._actions["sight_lines"].setChecked(session.has_sight_lines)
        self._actions["linked"].setChecked(session.is_linked)
        self._actions["mirrored"].setChecked(session.is_mirrored)
        stack = session.undo_stack
        self._actions["undo"].setEnabled(stack.canUndo())
        self._actions["redo"].setEnabled(stack.canRedo())

    def _on_undo_text_changed(self, text: str) -> None:
        self._show_step("undo", text)

    def _on_redo_text_changed(self, text: str) -> None:
        self._show_step("redo", text)

    def _show_step(self, key: str, text: str) -> None:
        """Say what undo takes back, or redo does again."""
        lower = text[:1].lower() + text[1:]
        action = self._actions[key]
        action.setText(f"{key.capitalize()}: {lower}" if text else key.capitalize())
        self._explain(action)

    def _on_theme_changed(self) -> None:
        for spec in ACTIONS:
            if spec.icon:
                self._actions[spec.key].setIcon(icon(spec.icon))


def _call(
    intent: Callable[..., Any], spec: ActionSpec, show_error: Callable[[DeliveryLabError], None]
) -> Callable[[bool], None]:
    def react(is_checked: bool = False) -> None:
        try:
            if spec.is_checkable:
                intent(is_checked)
            elif spec.argument is None:
                intent()
            else:
                intent(spec.argument)
        except DeliveryLabError as error:
            show_error(error)

    return react
