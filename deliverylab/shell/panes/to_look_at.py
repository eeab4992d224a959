"""Everything that a person should check, the worst first, each one key away."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.scroll_column import scroll_column
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.look_content import look_words
from deliverylab.shell.look_watch import LookWatch
from deliverylab.shell.session import SIDES, Session
from deliverylab.shell.widgets.look_card import LookCard

if TYPE_CHECKING:
    from deliverylab.shell.look_watch import Look

NOTHING = "Nothing to check: no position stands out."
HINT = "The worst first. N goes to the next, Shift+N back; Y says that it is right."
RIGHT = "It is right"


class ToLookAtPane(QWidget):
    """List what to check; a click, Enter or a key leads there.

    Attributes
    ----------
    cards : tuple of LookCard
        One an entry, in their order.

    Signals
    -------
    stage_wanted(str)
        The stage of this side shows the position: it wants the keyboard.
    counted(int)
        So many entries there are.
    failed(DeliveryLabError)
        A position could not be shown.
    """

    stage_wanted = Signal(str)
    counted = Signal(int)
    failed = Signal(object)

    def __init__(self, session: Session, watch: LookWatch, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._watch = session, watch
        self._looks: tuple[Look, ...] | None = None
        self._at: Look | None = None
        self._number = 0
        self._steps_due = 0
        self.cards: tuple[LookCard, ...] = ()
        self._head = QLabel("To look at")
        self._head.setProperty("role", "strong")
        self._hint = text_label(role="small")
        self._area = scroll_column()
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 4, 6, 4)
        column.setSpacing(3)
        column.addWidget(self._head)
        column.addWidget(self._hint)
        column.addWidget(self._area, 1)
        watch.updated.connect(self.refresh)

    @property
    def head(self) -> str:
        """How many entries there are, and which is shown."""
        return self._head.text()

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to follow closely."""
        super().showEvent(event)
        self._watch.want(self, is_wanted=True)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop following closely: how many there are is still told."""
        super().hideEvent(event)
        self._watch.want(self, is_wanted=False)

    def step(self, direction: int) -> None:
        """Go to the next (1) or previous (-1) entry, from the first once nothing was shown yet."""
        if self._watch.is_due:
            # a step goes by what is so now, not by what was before the last correction
            self._steps_due = direction
            self._watch.look()
            return
        looks = self._watch.looks
        if not looks:
            return
        if self._at in looks:
            number = looks.index(self._at) + direction
        else:  # another one has taken the place of what was dealt with
            number = self._number - (direction < 0)
        self._go_to(looks[number % len(looks)])

    def say_right(self) -> None:
        """Take the entry that is shown off the list; without effect where none is."""
        look = self._at
        if look is not None and look in self._watch.looks and self._is_shown(look):
            self._session.say_right(look)

    def _is_shown(self, look: Look) -> bool:
        states = (self._session.state(side) for side in SIDES)
        return (look.delivery, look.camera, look.frame) in {
            (state.delivery, state.camera, state.frame) for state in states
        }

    def refresh(self) -> None:
        """Show what was found last."""
        looks = self._watch.looks
        if looks != self._looks:
            self._looks = looks
            self._rebuild(looks)
            self.counted.emit(len(looks))
        self._show_head()
        if self._steps_due and not self._watch.is_due:
            direction, self._steps_due = self._steps_due, 0
            self.step(direction)

    def _go_to(self, look: Look) -> None:
        try:
            side = self._session.look_at_point(
                look.delivery, look.camera, look.frame, look.landmark
            )
        except DeliveryLabError as error:
            self.failed.emit(error)
            return
        self._at = look
        looks = self._watch.looks
        self._number = looks.index(look) if look in looks else 0
        self._show_head()
        self.stage_wanted.emit(side)

    def _show_head(self) -> None:
        looks = self._watch.looks
        at = f"{looks.index(self._at) + 1} of " if self._at in looks else ""
        self._head.setText(f"To look at: {at}{len(looks)}" if looks else "To look at")
        tell(self._hint, HINT if looks else NOTHING)

    def _rebuild(self, looks: tuple[Look, ...]) -> None:
        delivery = self._session.delivery("athlete")
        at = self._area.verticalScrollBar().value()
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 4, 0)
        column.setSpacing(5)
        cards = []
        for look in looks:
            if delivery is None:
                break
            card = LookCard(*look_words(look, delivery), level="caution", action=RIGHT)
            card.pressed.connect(partial(self._go_to, look))
            card.action_chosen.connect(partial(self._session.say_right, look))
            column.addWidget(card)
            cards.append(card)
        column.addStretch(1)
        self.cards = tuple(cards)
        self._area.setWidget(body)
        self._area.verticalScrollBar().setValue(at)
