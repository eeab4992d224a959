"""Choose a metric, when it is taken, and which way."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QSizePolicy, QVBoxLayout, QWidget

from deliverylab.core.model.library import LinkEnd
from deliverylab.shell.library_content import end_choices, metric_choices


class EndChooser(QWidget):
    """Two lists below each other.

    Parameters
    ----------
    name : str
        What is chosen, for those who hear the window.

    Signals
    -------
    chosen()
        Another end is chosen.
    """

    chosen = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.measured, self.instant = QComboBox(), QComboBox()
        self.measured.setAccessibleName(f"{name}: what is measured")
        self.instant.setAccessibleName(f"{name}: when, and which way")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        for box in (self.measured, self.instant):
            box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            box.setMaxVisibleItems(18)
            column.addWidget(box)
        for key, text in metric_choices():
            self.measured.addItem(text, key)
        self._fill()
        self.measured.activated.connect(self._on_metric_chosen)
        self.instant.activated.connect(lambda _: self.chosen.emit())

    def end(self) -> LinkEnd:
        """Return what is chosen."""
        return self.instant.currentData()

    def choose(self, end: LinkEnd) -> None:
        """Choose this."""
        self.measured.setCurrentIndex(self.measured.findData(end.metric))
        self._fill()
        choices = [each for each, _ in end_choices(end.metric)]
        self.instant.setCurrentIndex(choices.index(end))
        self.chosen.emit()

    def _on_metric_chosen(self, _index: int) -> None:
        self._fill()
        self.chosen.emit()

    def _fill(self) -> None:
        self.instant.clear()
        for end, text in end_choices(self.measured.currentData()):
            self.instant.addItem(text[:1].upper() + text[1:], end)
