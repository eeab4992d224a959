"""A foldable card: what would make these numbers surer, the most helpful first."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from deliverylab.shell.remedy_acts import Surer
from deliverylab.shell.theme import icon, on_theme_changed
from deliverylab.shell.value_text import name_and_instant

N_WAYS = 3
IDLE_MS = 400
TITLE = "What would make these numbers surer"


class SurerCard(QFrame):
    """The first few ways, asked for only while they are seen and nothing moves.

    Parameters
    ----------
    ask : callable
        ``ask()`` gives the ways.

    Signals
    -------
    act_wanted(RemedyAct)
        Wish to do one of them.
    """

    act_wanted = Signal(object)

    def __init__(self, ask: Callable[[], Sequence[Surer]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._ask = ask
        self._is_due = True
        self._ways: tuple[Surer, ...] = ()
        self._head = QToolButton()
        self._head.setAccessibleName(TITLE)
        self._head.setIconSize(QSize(12, 12))
        self._head.setCheckable(True)
        self._head.setChecked(True)
        self._head.toggled.connect(self._on_folded)
        title = QLabel(TITLE)
        title.setWordWrap(True)
        row = QHBoxLayout()
        row.setSpacing(2)
        row.addWidget(self._head)
        row.addWidget(title, 1)
        self._texts = [_text(self._on_link) for _ in range(N_WAYS)]
        column = QVBoxLayout(self)
        column.setContentsMargins(3, 3, 9, 8)
        column.setSpacing(4)
        column.addLayout(row)
        for text in self._texts:
            text.hide()
            column.addWidget(text)
        self._idle = QTimer(self)
        self._idle.setSingleShot(True)
        self._idle.setInterval(IDLE_MS)
        self._idle.timeout.connect(self._on_idle)
        on_theme_changed(self, self._on_theme_changed)

    @property
    def ways(self) -> tuple[Surer, ...]:
        """What is shown."""
        return self._ways

    def set_due(self) -> None:
        """Take note that the results are others now."""
        self._is_due = True
        self._idle.start()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Catch up once it is scrolled into sight."""
        super().paintEvent(event)
        if self._is_due and not self._idle.isActive():
            self._idle.start()

    def _on_idle(self) -> None:
        is_seen = self._head.isChecked() and not self.visibleRegion().isEmpty()
        if self._is_due and is_seen:
            self._is_due = False
            self._ways = tuple(self._ask())
            self._write()

    def _write(self) -> None:
        for number, text in enumerate(self._texts):
            is_there = number < len(self._ways)
            text.setVisible(is_there and self._head.isChecked())
            if is_there:
                text.setText(_html(number, self._ways[number]))

    def _on_folded(self, is_open: bool) -> None:
        self._on_theme_changed()
        self._write()
        if is_open:
            self._idle.start()

    def _on_link(self, link: str) -> None:
        act = self._ways[int(link)].act
        if act is not None:
            self.act_wanted.emit(act)

    def _on_theme_changed(self) -> None:
        self._head.setIcon(icon("less" if self._head.isChecked() else "more", "quiet"))


def _html(number: int, way: Surer) -> str:
    said = way.help.remedy[:1].upper() + way.help.remedy[1:]
    gainer = name_and_instant(way.gainer)
    gainer = gainer[:1].lower() + gainer[1:]
    n_others = len(way.help.results) - 1
    others = f", and of {n_others} more" if n_others else ""
    link = f' <a href="{number}">{way.act.text}</a>' if way.act is not None else ""
    return (
        f"<b>{said}</b>: takes up to {100.0 * way.help.largest_gain:.0f} % off the ± of "
        f"{gainer}{others}.{link}"
    )


def _text(react: Callable[[str], None]) -> QLabel:
    label = QLabel()
    label.setProperty("role", "small")
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.RichText)
    label.setContentsMargins(6, 0, 0, 0)
    label.linkActivated.connect(react)
    return label
