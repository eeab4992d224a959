"""How the positions of one landmark scatter from frame to frame, beside the u that is assumed."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.vocabulary.landmarks import role_for_key, role_name
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_state import placing_keys
from deliverylab.shell.widgets.sheet_page import SheetPage


class ScatterPane(SheetPage):
    """A residual analysis of a landmark of one stage."""

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        folder = session.path.parent if session.path else Path.home()
        super().__init__("Scatter", "scatter", folder, parent)
        self._session, self._side = session, side
        delivery = session.delivery(side)
        hand = delivery.athlete.hand if delivery is not None else "right"
        self.chooser.setAccessibleName("Landmark")
        for key in placing_keys(hand):
            name = role_name(role_for_key(key, hand))
            self.chooser.addItem(name[:1].upper() + name[1:], key)
        fullest = max(placing_keys(hand), key=lambda key: session.n_placed(side, key))
        current = session.current_landmark(side) or fullest
        self.chooser.setCurrentIndex(max(0, self.chooser.findData(current)))
        self.chooser.currentIndexChanged.connect(self.refresh)
        self.refresh()

    def refresh(self, *_ignored: object) -> None:
        """Analyse the chosen landmark."""
        from deliverylab.core.report.residual_plot import WIDTH, residual_plot_pdf

        try:
            found = self._session.scatter(self._side, self.chooser.currentData())
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        words = found.words[:1].upper() + found.words[1:]
        text = f"{words}. A cut-off of {found.suggested_hz:.0f} Hz suits it."
        self.show_sheet(residual_plot_pdf(found), WIDTH, text)
