"""What is seen before there is a delivery: where to begin."""

from __future__ import annotations

from pathlib import PurePath

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from deliverylab.shell.theme import icon, on_theme_changed

N_SHOWN = 5


class WelcomePane(QFrame):
    """A place to drop a clip on, and the ways to begin.

    Signals
    -------
    clip_wanted(), project_wanted(), example_wanted(), plan_wanted()
        Wish to add a clip, open a project, see the example, try a set-up before filming.
    recent_chosen(str)
        A project file opened before.
    """

    clip_wanted = Signal()
    project_wanted = Signal()
    example_wanted = Signal()
    plan_wanted = Signal()
    recent_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("pane")
        self._sign = QLabel()
        self._sign.setAlignment(Qt.AlignmentFlag.AlignCenter)
        title = QLabel("Drop a clip of a delivery here")
        title.setProperty("role", "title")
        about = QLabel(
            "Any phone's clip will do: from the side for stride, knee and trunk,\n"
            "from behind or in front for lean and arm slot."
        )
        about.setProperty("role", "quiet")
        for one in (title, about):
            one.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self._clip = QPushButton("Choose a clip …")
        self._clip.setProperty("role", "main")
        self.setFocusProxy(self._clip)
        self._project = QPushButton("Open a project …")
        self._example = QPushButton("See the example")
        self._plan = QPushButton("Not filmed yet? See how well a set-up would measure")
        self._plan.setProperty("role", "link")
        for button, signal in (
            (self._clip, self.clip_wanted),
            (self._project, self.project_wanted),
            (self._example, self.example_wanted),
            (self._plan, self.plan_wanted),
        ):
            button.clicked.connect(signal)
        buttons = QHBoxLayout()
        buttons.setSpacing(10)
        buttons.addStretch(1)
        for button in (self._clip, self._project, self._example):
            buttons.addWidget(button)
        buttons.addStretch(1)
        self._recent = QVBoxLayout()
        self._recent.setSpacing(0)
        column = QVBoxLayout(self)
        column.setSpacing(12)
        column.addStretch(3)
        column.addWidget(self._sign)
        column.addWidget(title)
        column.addWidget(about)
        column.addSpacing(8)
        column.addLayout(buttons)
        column.addWidget(self._plan, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addSpacing(14)
        column.addLayout(self._recent)
        column.addStretch(4)
        on_theme_changed(self, self._on_theme_changed)

    def show_recent(self, paths: list[str]) -> None:
        """Offer the project files opened last."""
        while (item := self._recent.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        if paths:
            head = QLabel("Opened last")
            head.setProperty("role", "small")
            head.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            self._recent.addWidget(head)
        for path in paths[:N_SHOWN]:
            button = QPushButton(PurePath(path).stem)
            button.setProperty("role", "link")
            button.setToolTip(path)
            button.clicked.connect(lambda _=False, one=path: self.recent_chosen.emit(one))
            self._recent.addWidget(button, 0, Qt.AlignmentFlag.AlignHCenter)

    def _on_theme_changed(self) -> None:
        self._sign.setPixmap(icon("add_clip", "faint").pixmap(QSize(48, 48)))
