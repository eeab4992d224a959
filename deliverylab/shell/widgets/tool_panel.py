"""A panel beside the stages for one job: a title, blocks below each other, and a way back."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.scroll_column import scroll_column
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.jobs import Job
from deliverylab.shell.messages import error_text
from deliverylab.shell.session import Side
from deliverylab.shell.theme import icon, on_theme_changed


class Working(QWidget):
    """A job's progress with a way to stop it; hidden while nothing is done.

    Signals
    -------
    ended()
        The job is over, in whichever way: another can be begun.
    """

    ended = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._job: Job | None = None
        self._bar = QProgressBar()
        self._bar.setRange(0, 100)
        self._bar.setTextVisible(False)
        self.stop = QPushButton("Stop")
        self.stop.clicked.connect(self.cancel)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._bar, 1)
        row.addWidget(self.stop)
        self.hide()

    @property
    def is_busy(self) -> bool:
        """Whether a job runs."""
        return self._job is not None and self._job.is_running

    def do(
        self,
        work: Callable[[Callable[[float], None]], object],
        react: Callable[[object], None],
        fail: Callable[[BaseException], None],
        *,
        is_measured: bool = True,
    ) -> None:
        """Do work beside the window; one at a time.

        Work that is not measured tells no share, and cannot be stopped half-way.
        """
        if self.is_busy:
            return
        self._bar.setRange(0, 100 if is_measured else 0)
        self._bar.setValue(0)
        self.stop.setVisible(is_measured)
        self.show()
        job = self._job = Job(work, self)
        job.progressed.connect(lambda share: self._bar.setValue(round(100 * share)))
        job.finished.connect(react)
        job.failed.connect(fail)
        job.ended.connect(self.hide)
        job.ended.connect(self.ended)
        job.start()

    def cancel(self) -> None:
        """Stop the job, if any."""
        if self._job is not None:
            self._job.cancel()
        self.hide()


class ToolPanel(QFrame):
    """The panel; a subclass adds its blocks to `column`.

    Attributes
    ----------
    side : str
        The stage that it is about.
    follows_clips : bool
        Whether it stays when another clip comes to that stage, and closes by itself.

    Signals
    -------
    closed()
        Not wanted any more.
    said(str, str)
        Something is done that can be undone: what is to be said of it, and its level.
    """

    closed = Signal()
    said = Signal(str, str)

    follows_clips = False

    def __init__(self, title: str, side: Side, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.side: Side = side
        self.setObjectName("pane")
        heading = QLabel(title)
        heading.setProperty("role", "heading")
        self._close = QToolButton()
        self._close.setAccessibleName("Back to the readings")
        self._close.setToolTip("Back to the readings")
        self._close.clicked.connect(self.closed)
        top = QHBoxLayout()
        top.setContentsMargins(4, 0, 0, 0)
        top.addWidget(heading, 1)
        top.addWidget(self._close)
        area = scroll_column()
        body = QWidget()
        self.column = QVBoxLayout(body)
        self.column.setContentsMargins(4, 2, 8, 4)
        self.column.setSpacing(7)
        area.setWidget(body)
        self.done = QPushButton("Done")
        self.done.clicked.connect(self.closed)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 6, 4, 8)
        outer.addLayout(top)
        outer.addWidget(area, 1)
        outer.addWidget(self.done)
        self.problem = text_label(role="problem")
        self.working = Working()
        on_theme_changed(self, self._on_theme_changed)

    def add_head(self, text: str) -> None:
        """Begin a block."""
        made = text_label(text, "strong")
        made.setContentsMargins(0, 8, 0, 0)
        self.column.addWidget(made)

    def add_text(self, text: str, role: str = "small") -> QLabel:
        """Add a few sentences."""
        made = text_label(text, role)
        self.column.addWidget(made)
        return made

    def add_row(self, *parts: QWidget) -> None:
        """Add parts side by side, each as wide as the other."""
        row = QHBoxLayout()
        row.setSpacing(6)
        for part in parts:
            row.addWidget(part, 1)
        self.column.addLayout(row)

    def show_problem(self, error: BaseException) -> None:
        """Say what failed; what is no failure of the job is the program's own."""
        if not isinstance(error, DeliveryLabError):
            raise error
        tell(self.problem, error_text(error))

    def give_up(self) -> None:
        """Stop what is going on; for closing."""
        self.working.cancel()

    def _on_theme_changed(self) -> None:
        self._close.setIcon(icon("close", "quiet"))
