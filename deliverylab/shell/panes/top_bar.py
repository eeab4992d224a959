"""The line above everything: the project's name, the partner, and the buttons used most."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QPushButton, QToolButton, QWidget

from deliverylab.shell.session import Session
from deliverylab.shell.theme import icon, on_theme_changed


class TopBarPane(QWidget):
    """Name of the project, and what is needed most.

    Signals
    -------
    partner_wanted()
        Wish to add the delivery to compare with.
    """

    partner_wanted = Signal()

    def __init__(
        self, session: Session, buttons: Sequence[QAction | None], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._title, self._about = QLabel(), QLabel()
        self._title.setProperty("role", "title")
        self._about.setProperty("role", "quiet")
        for label in (self._title, self._about):
            label.setTextFormat(Qt.TextFormat.PlainText)
        self._compare = QPushButton("Compare with …")
        self._compare.clicked.connect(self.choose_partner)
        self._first: QToolButton | None = None
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 2, 6, 4)
        row.setSpacing(4)
        row.addWidget(self._title)
        row.addSpacing(12)
        row.addWidget(self._about)
        row.addStretch(1)
        row.addWidget(self._compare)
        row.addSpacing(8)
        for action in buttons:
            if action is None:
                row.addSpacing(12)
                continue
            button = QToolButton()
            button.setDefaultAction(action)
            button.setIconSize(QSize(20, 20))
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            keys = action.shortcut().toString(action.shortcut().SequenceFormat.NativeText)
            button.setToolTip(f"{action.text()}   {keys}".strip())
            row.addWidget(button)
            self._first = self._first or button
        session.title_changed.connect(self.refresh)
        session.selection_changed.connect(self.refresh)
        session.display_changed.connect(self.refresh)
        on_theme_changed(self, self._on_theme_changed)
        self.refresh()

    @property
    def free_right(self) -> int:
        """Where the buttons begin, px from the left: what lies over the bar ends before."""
        first = self._compare if self._compare.isVisible() else self._first
        return first.x() if first is not None else self.width()

    def refresh(self, *_ignored: object) -> None:
        """Say what is open."""
        session = self._session
        athlete, model = session.delivery("athlete"), session.delivery("model")
        mark = "  •" if session.is_modified else ""
        self._title.setText(f"{session.name}{mark}")
        self._title.setToolTip("There are edits that are not saved" if mark else "")
        self._about.setText(f"{athlete.name} with {model.name}" if athlete and model else "")
        self._compare.setVisible(athlete is not None and model is None)

    def choose_partner(self) -> None:
        """Offer the other deliveries as partner; ask for a clip where there is none."""
        others = self.partners()
        if not others:
            self.partner_wanted.emit()
            return
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for name in others:
            menu.addAction(name).triggered.connect(self._chooser(name))
        menu.addSeparator()
        menu.addAction(icon("add_clip"), "a further clip …").triggered.connect(self.partner_wanted)
        below = self._compare.rect().bottomLeft()
        menu.popup(self._compare.mapToGlobal(below))

    def partners(self) -> tuple[str, ...]:
        """Return the deliveries that may be compared with."""
        shown = self._session.state("athlete").delivery
        return tuple(name for name in self._session.delivery_names() if name != shown)

    def _chooser(self, name: str) -> Callable[[], None]:
        return lambda: self._session.select("model", name)

    def _on_theme_changed(self) -> None:
        self._compare.setIcon(icon("add_clip"))
