"""The table of a set-up: what it would show and how well, then what not, and why."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from deliverylab.core.units import UnitSystem
from deliverylab.shell.drawing.trust_bars import TrustBar, TrustHead
from deliverylab.shell.set_up_plan import Expectation


class TrustTable(QScrollArea):
    """Bars of what is shown, the surest first within their kind; greyed lines of what is not."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("What the set-up would show, and how well")
        self._bars: list[TrustBar] = []
        self._reasons: list[QLabel] = []
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 4, 8)
        column.setSpacing(0)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(0)
        self._absent = QVBoxLayout()
        self._absent.setSpacing(5)
        self._head = TrustHead()
        self._not_shown = QLabel("Not shown from there")
        self._not_shown.setProperty("role", "strong")
        self._not_shown.setContentsMargins(10, 10, 0, 4)
        column.addWidget(self._head)
        column.addLayout(self._rows)
        column.addWidget(self._not_shown)
        column.addLayout(self._absent)
        column.addStretch(1)
        self.setWidget(body)
        self.show_expectations((), "metric")

    @property
    def n_bars(self) -> int:
        """How many metrics have bars."""
        return sum(not bar.isHidden() for bar in self._bars)

    @property
    def reasons(self) -> tuple[str, ...]:
        """What is said of those that are not shown."""
        return tuple(label.text() for label in self._reasons if not label.isHidden())

    def show_expectations(self, rows: Sequence[Expectation], system: UnitSystem) -> None:
        """Show these."""
        shown = [row for row in rows if row.is_shown]
        while len(self._bars) < len(shown):
            bar = TrustBar()
            self._bars.append(bar)
            self._rows.addWidget(bar)
        for number, bar in enumerate(self._bars):
            bar.setVisible(number < len(shown))
            if number < len(shown):
                bar.show_expectation(shown[number], system)
        said = _reasons(rows)
        while len(self._reasons) < len(said):
            label = QLabel()
            label.setProperty("role", "small")
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setContentsMargins(10, 0, 6, 0)
            self._reasons.append(label)
            self._absent.addWidget(label)
        for number, label in enumerate(self._reasons):
            label.setVisible(number < len(said))
            if number < len(said):
                label.setText(said[number])
        self._head.setVisible(bool(shown))
        self._not_shown.setVisible(bool(said))

    def set_stale(self, is_stale: bool) -> None:
        """Say whether these are of another set-up than the one asked about now."""
        for bar in self._bars:
            bar.set_stale(is_stale)


def _reasons(rows: Sequence[Expectation]) -> list[str]:
    """Return the metrics that are not shown, together under each reason."""
    names: dict[tuple[str, str], dict[str, None]] = {}
    for row in rows:
        if not row.is_shown:
            names.setdefault((row.reason, row.remedy), {})[row.name] = None
    return [
        f"{' · '.join(of_reason)}: {reason}{remedy and f'; {remedy}'}"
        for (reason, remedy), of_reason in names.items()
    ]
