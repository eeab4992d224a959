"""Playing in the head of the scrub bar: play and stop, speed, the part that is played again."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QMenu, QToolButton, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.session import Session
from deliverylab.shell.session_play import LOOPS, LOOPS_BY_KEY, SPEEDS
from deliverylab.shell.theme import icon, on_theme_changed, theme

SPEED_TEXTS = {1.0: "1×", 0.5: "½×", 0.25: "¼×", 0.125: "⅛×"}
NAMED_UP_TO = 1.2
"""Size of the type, of the usual, up to which the part that repeats is named."""
SPEED_NAMES = {1.0: "real time", 0.5: "half", 0.25: "a quarter", 0.125: "an eighth"}


class PlayerPane(QWidget):
    """Three buttons bound to the session.

    Parameters
    ----------
    session : Session
        What is worked on.
    play : QAction
        Plays and stops.

    Signals
    -------
    failed(object)
        An error that says why a part cannot be played.
    """

    failed = Signal(object)

    def __init__(self, session: Session, play: QAction, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.play = self._button()
        self.play.clicked.connect(play.trigger)
        self.speed, self.loop = self._menu_button("Speed"), self._menu_button("Part that repeats")
        for speed in SPEEDS:
            self._add(self.speed, SPEED_NAMES[speed], speed, session.set_speed)
        for loop in LOOPS:
            self._add(self.loop, loop.name, loop.key, self._choose_loop)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        for button in (self.play, self.speed, self.loop):
            row.addWidget(button)
        session.play_changed.connect(self._refresh)
        session.selection_changed.connect(self._refresh)
        on_theme_changed(self, self._refresh)

    def _button(self) -> QToolButton:
        button = QToolButton()
        button.setIconSize(QSize(18, 18))
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def _menu_button(self, name: str) -> QToolButton:
        button = self._button()
        button.setAccessibleName(name)
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        button.setMenu(QMenu(button))
        return button

    def _add(self, button: QToolButton, text: str, value: object, react: object) -> None:
        action = button.menu().addAction(text[:1].upper() + text[1:])
        action.setCheckable(True)
        action.setData(value)
        action.triggered.connect(partial(self._on_chosen, react, value))

    def _on_chosen(self, react: object, value: object, _is_checked: bool = False) -> None:
        react(value)  # type: ignore[operator]

    def _choose_loop(self, key: str) -> None:
        try:
            self._session.set_loop(key)
        except DeliveryLabError as error:
            self.failed.emit(error)

    def _refresh(self, *_ignored: object) -> None:
        session = self._session
        name = "Stop" if session.is_playing else "Play"
        self.play.setIcon(icon("pause" if session.is_playing else "play"))
        self.play.setAccessibleName(name)
        self.play.setToolTip(f"{name}  (Space)")
        self.play.setEnabled(session.camera(session.active_side) is not None)
        self.speed.setText(SPEED_TEXTS[session.speed])
        self.speed.setToolTip(
            f"Speed: {SPEED_NAMES[session.speed]}  (Ctrl+, slower, Ctrl+. faster)"
        )
        loop = LOOPS_BY_KEY[session.loop]
        self.loop.setIcon(icon("loop"))
        self.loop.setText(loop.name if loop.key else "")
        # in large type there is no room for a name: letters from both its ends would say nothing
        has_name = bool(loop.key) and theme().scale <= NAMED_UP_TO
        styles = Qt.ToolButtonStyle
        self.loop.setToolButtonStyle(
            styles.ToolButtonTextBesideIcon if has_name else styles.ToolButtonIconOnly
        )
        self.loop.setCheckable(bool(loop.key))
        self.loop.setChecked(bool(loop.key))
        self.loop.setToolTip(f"Part that repeats: {loop.name}  (Shift+L)")
        for button, value in ((self.speed, session.speed), (self.loop, session.loop)):
            for action in button.menu().actions():
                action.setChecked(action.data() == value)
