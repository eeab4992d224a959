"""The line above everything: the project's name, the partner, and the buttons used most."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QSizePolicy, QToolButton, QWidget

from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.session import Session
from deliverylab.shell.theme import icon, on_theme_changed, theme

ICON = 20
BUTTON_PADDING, WORD_GAP = 18, 10
TITLE_SHARE = 0.4
"""Part of the bar that a long title may take at most."""
BESIDE = Qt.ToolButtonStyle.ToolButtonTextBesideIcon
ALONE = Qt.ToolButtonStyle.ToolButtonIconOnly


class TopBarPane(QWidget):
    """Name of the project, and what is needed most.

    Signals
    -------
    partner_wanted()
        Wish to add the delivery to compare with.
    head_wanted()
        Wish to change title and organisation.
    """

    partner_wanted = Signal()
    head_wanted = Signal()

    def __init__(
        self, session: Session, buttons: Sequence[QAction | None], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._title, self._about = QToolButton(), ElidedLabel()
        self._title.setProperty("role", "title")
        self._title.setAccessibleName("Title and organisation")
        self._title.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._title.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self._title.clicked.connect(self.head_wanted)
        self._about.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._compare = QPushButton("Compare with …")
        self._compare.clicked.connect(self.choose_partner)
        self._full_title = ""
        self._buttons: list[QToolButton] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(4, 2, 6, 4)
        row.setSpacing(4)
        row.addWidget(self._title)
        row.addSpacing(8)
        row.addWidget(self._about, 1)
        row.addWidget(self._compare)
        row.addSpacing(8)
        for action in buttons:
            if action is None:
                row.addSpacing(12)
                continue
            button = QToolButton()
            button.setDefaultAction(action)
            button.setIconSize(QSize(ICON, ICON))
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            row.addWidget(button)
            self._buttons.append(button)
        session.title_changed.connect(self.refresh)
        session.selection_changed.connect(self.refresh)
        session.display_changed.connect(self.refresh)
        on_theme_changed(self, self._on_theme_changed)
        self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Name the buttons where there is room."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        """Let buttons say their names, one after another, as far as title and pair keep room."""
        metrics = self._title.fontMetrics()
        title = metrics.elidedText(
            self._full_title, Qt.TextElideMode.ElideMiddle, round(TITLE_SHARE * self.width())
        )
        self._title.setText(title)
        gaps = 90 + (0 if self._compare.isHidden() else self._compare.sizeHint().width() + 12)
        room = self.width() - gaps - self._title.sizeHint().width() - self._about.full_width
        room -= sum(ICON + BUTTON_PADDING for _ in self._buttons)
        for button in self._buttons:
            action = button.defaultAction()
            style = ALONE
            if action.priority() != QAction.Priority.LowPriority:
                words = button.fontMetrics().horizontalAdvance(action.iconText()) + WORD_GAP
                if words <= room:
                    room -= words
                    style = BESIDE
            if button.toolButtonStyle() != style:
                button.setToolButtonStyle(style)

    def refresh(self, *_ignored: object) -> None:
        """Say what is open."""
        session = self._session
        athlete, model = session.sides()
        mark = "  •" if session.is_modified else ""
        self._full_title = f"{session.name}{mark}"
        unsaved = "\nThere are edits that are not saved" if mark else ""
        organisation = session.head[1]
        self._title.setToolTip(
            f"{organisation or 'No organisation'}\nClick to change title and organisation{unsaved}"
        )
        self._about.setText(f"{athlete.name} with {model.name}" if athlete and model else "")
        self._compare.setVisible(athlete is not None and model is None)
        self._share_out()

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
        font = self._title.font()
        font.setPointSizeF(theme().point_size(1.4))
        font.setBold(True)
        self._title.setFont(font)
        self._compare.setIcon(icon("add_clip"))
