"""The head of the differences: who is compared with whom, and which part of the delivery is shown."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import get_args

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QSizePolicy, QWidget

from deliverylab.core.compare.parties import Party
from deliverylab.core.metrics.spec import Phase
from deliverylab.shell.drawing.party_button import PartyButton
from deliverylab.shell.drawing.text_label import tell, text_label

WHOLE = "the whole delivery"
PUBLISHED = (
    "Means of a published group; only what is defined alike is compared. Their angles are in space: "
    "one camera sees them in its plane."
)


class ComparedHead(QWidget):
    """Two buttons for both sides, a chooser of the phase, and what is to be known of the partner.

    Signals
    -------
    phase_chosen(str)
        Another part of the delivery; empty for the whole.
    """

    phase_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.own, self.partner = PartyButton("Compared"), PartyButton("Compared with")
        self.phases = QComboBox()
        self.phases.setAccessibleName("Part of the delivery")
        self.phases.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.phases.currentIndexChanged.connect(self._on_phase_chosen)
        self._counts: Counter[str] = Counter()
        self._wanted = ""
        self._about = text_label(role="small")
        grid = QGridLayout(self)
        grid.setContentsMargins(2, 2, 6, 2)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(4)
        for row, (words, part) in enumerate(
            (("", self.own), ("with", self.partner), ("in", self.phases))
        ):
            label = QLabel(words)
            label.setProperty("role", "small")
            grid.addWidget(label, row, 0)
            grid.addWidget(part, row, 1)
        self._in = label
        self._show_chooser()
        grid.setColumnStretch(1, 1)
        grid.addWidget(self._about, 3, 0, 1, 2)

    @property
    def phase(self) -> str:
        """The part of the delivery that is shown; empty for the whole."""
        return self._wanted if self._counts[self._wanted] else ""

    def show_phases(self, phases: Sequence[str]) -> None:
        """Offer the parts that there are, each with how many numbers it has.

        The one that was chosen stays chosen: where it has no numbers for a while, the whole is shown.
        """
        counts = Counter(phases)
        if counts == self._counts:
            return
        self._counts = counts
        self._show_chooser()
        self.phases.blockSignals(True)
        self.phases.clear()
        self.phases.addItem(WHOLE, "")
        for phase in get_args(Phase):
            if counts[phase]:
                self.phases.addItem(f"{phase} ({counts[phase]})", phase)
        self.phases.setCurrentIndex(max(0, self.phases.findData(self.phase)))
        self.phases.blockSignals(False)

    def _show_chooser(self) -> None:
        """Offer parts of the delivery only where there are any."""
        for part in (self._in, self.phases):
            part.setVisible(bool(self._counts))

    def say_about(self, partner: Party | None) -> None:
        """Say what is to be known of the partner."""
        tell(self._about, PUBLISHED if partner is not None and partner.level else "")

    def _on_phase_chosen(self, index: int) -> None:
        self._wanted = self.phases.itemData(index) or ""
        self.phase_chosen.emit(self._wanted)
