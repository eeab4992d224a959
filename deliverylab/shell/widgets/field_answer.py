"""What a solve of cameras says: how far it can be trusted, and what is wrong with what to add."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.field_content import Said


class FieldAnswer(QWidget):
    """The verdict on a solve, and a card for everything found."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.verdict = Verdict()
        self.cards: list[Verdict] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(6)
        self._column.addWidget(self.verdict)
        self.hide()

    @property
    def text(self) -> str:
        """Everything that is said."""
        return " ".join(one.text for one in (self.verdict, *self.cards) if one.text)

    def say(self, verdict: Said | None, found: Sequence[Said] = ()) -> None:
        """Say how a solve is to be taken, and what was found; None says nothing."""
        if verdict is None:
            self.verdict.say("")
        else:
            self.verdict.say(verdict.strong, verdict.more, verdict.level)
        while len(self.cards) < len(found):
            card = Verdict()
            self.cards.append(card)
            self._column.addWidget(card)
        for card, one in zip(self.cards, found, strict=False):
            card.say(one.strong, one.more, one.level)
        for card in self.cards[len(found) :]:
            card.say("")
        self.setVisible(verdict is not None or bool(found))
