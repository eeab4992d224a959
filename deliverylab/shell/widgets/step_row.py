"""One step of the job: its state as a shape, its name, and what is done or missing."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QWidget

from deliverylab.shell.theme import icon, on_theme_changed

SHAPES = {"done": ("done", "good"), "next": ("next", "text"), "missing": ("missing", "faint")}
WORDS = {"done": "done", "next": "next", "missing": "not yet"}


class StepRow(QFrame):
    """A step that can be pressed.

    Signals
    -------
    pressed(str)
        The step's key.
    """

    pressed = Signal(str)

    def __init__(self, key: str, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("step")
        self.key = key
        self.state = "missing"
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self._shape, self._name, self._detail = QLabel(), QLabel(name), QLabel()
        self._name.setProperty("role", "strong")
        self._name.setWordWrap(True)
        self._detail.setProperty("role", "small")
        self._detail.setWordWrap(True)
        self._detail.hide()
        self._detail.setTextFormat(Qt.TextFormat.PlainText)
        grid = QGridLayout(self)
        grid.setContentsMargins(9, 7, 7, 8)
        grid.setHorizontalSpacing(9)
        grid.setVerticalSpacing(1)
        grid.addWidget(self._shape, 0, 0, Qt.AlignmentFlag.AlignVCenter)
        grid.addWidget(self._name, 0, 1)
        grid.addWidget(self._detail, 1, 1)
        grid.setColumnStretch(1, 1)
        on_theme_changed(self, self._on_theme_changed)

    @property
    def detail(self) -> str:
        """What is done or missing."""
        return self._detail.text()

    def show_state(self, state: str, detail: str) -> None:
        """Show ``done``, ``next`` or ``missing``, and a few words."""
        if (state, detail) == (self.state, self._detail.text()):
            return
        self.state = state
        self._detail.setText(detail)
        self._detail.setVisible(bool(detail))
        self._keep_whole()
        self.setProperty("state", state)
        self.style().unpolish(self)
        self.style().polish(self)
        self.setAccessibleName(f"{self._name.text()}: {WORDS.get(state, state)}. {detail}")
        self._on_theme_changed()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the height that its words need at this width."""
        super().resizeEvent(event)
        self._keep_whole()

    def _keep_whole(self) -> None:
        """Refuse to be squeezed below its words: a column that is full takes from what scrolls."""
        layout = self.layout()
        if layout is not None and self.width() > 0:
            self.setMinimumHeight(max(0, layout.heightForWidth(self.width())))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Take a click."""
        if self.rect().contains(event.position().toPoint()):
            self.pressed.emit(self.key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}:
            self.pressed.emit(self.key)
        else:
            super().keyPressEvent(event)

    def _on_theme_changed(self) -> None:
        name, colour = SHAPES.get(self.state, SHAPES["missing"])
        self._shape.setPixmap(icon(name, colour).pixmap(QSize(17, 17)))
