"""Places that the detector left to a person, the most important first, each one key away."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.scroll_column import clear, settle
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_detecting import Queue, WaitingPlace
from deliverylab.shell.theme import icon, on_theme_changed

N_SHOWN = 30
REST_MS = 120
"""While a point is dragged the numbers follow at once, the list when the hand rests."""
NO_MARKS = "Mark the events: then it is known which of these matter most."
NONE_NEEDED = "Nothing is left that a result needs"
OTHERS = "{n} more lie between the events: track them (T), or leave them."


class WaitingList(QWidget):
    """List what waits; a click, Enter or a key leads to one, and placing it to the next.

    Parameters
    ----------
    session, side
        Whose clip.
    make_card : callable
        Makes the row of a place from what and why: a widget that tells when it is ``pressed``.

    Signals
    -------
    stage_wanted(str)
        The stage of this side shows the place: it wants the keyboard.
    failed(DeliveryLabError)
        A place could not be shown.
    counted(bool)
        Whether anything is listed.
    """

    stage_wanted = Signal(str)
    failed = Signal(object)
    counted = Signal(bool)

    def __init__(
        self,
        session: Session,
        side: Side,
        make_card: Callable[[str, str], Any],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._side = session, side
        self._make_card = make_card
        self._queue = Queue()
        self._at: WaitingPlace | None = None
        self._goes_on = True
        self.cards: tuple[Any, ...] = ()
        self._head = QLabel()
        self._head.setProperty("role", "strong")
        self._head.setWordWrap(True)
        self._before = self._button("Place before (Shift+W)", "event_before", -1)
        self._after = self._button("Next place (W)", "event_after", 1)
        head = QHBoxLayout()
        head.setContentsMargins(0, 6, 0, 0)
        head.addWidget(self._head, 1)
        head.addWidget(self._before)
        head.addWidget(self._after)
        self._note = text_label(role="small")
        self._listed = QVBoxLayout()
        self._listed.setSpacing(5)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(5)
        column.addLayout(head)
        column.addWidget(self._note)
        column.addLayout(self._listed)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(REST_MS)
        self._timer.timeout.connect(self.refresh)
        session.results_updated.connect(self._timer.start)
        on_theme_changed(self, self._on_theme_changed)
        self.refresh()

    def _button(self, tip: str, icon_name: str, direction: int) -> QToolButton:
        button = QToolButton()
        button.setToolTip(tip)
        button.setAccessibleName(tip.partition(" (")[0])
        button.setIconSize(QSize(18, 18))
        button.setProperty("iconName", icon_name)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(lambda: self.step(direction))
        return button

    @property
    def head(self) -> str:
        """How many places there are, and which is shown."""
        return self._head.text()

    @property
    def note(self) -> str:
        """What is said of the others."""
        return self._note.text()

    def set_going_on(self, is_wanted: bool) -> None:
        """Say whether placing one leads to the next."""
        self._goes_on = is_wanted

    # ------------------------------------------------------------------------------ going there

    def step(self, direction: int) -> None:
        """Go to the next (1) or the place before (-1), from the first once none was shown yet."""
        self._timer.stop()
        self._show(self._session.waiting(self._side))
        places = self._queue.places
        if not places:
            return
        if self._at in places:
            number = (places.index(self._at) + direction) % len(places)
        else:
            number = 0 if direction > 0 else len(places) - 1
        self._go_to(places[number])

    def _go_to(self, place: WaitingPlace) -> None:
        state = self._session.state(self._side)
        try:
            side = self._session.look_at_point(
                state.delivery or "", state.camera or "", place.frame, place.landmark
            )
        except DeliveryLabError as error:
            self.failed.emit(error)
            return
        self._at = place
        self._show_head()
        self.stage_wanted.emit(side)

    # ---------------------------------------------------------------------------------- showing

    def refresh(self) -> None:
        """Show what waits now; where the place just shown is done, go on to the next."""
        before, at = self._queue.places, self._at
        self._show(self._session.waiting(self._side))
        if at is None or at in self._queue.places or at not in before:
            return
        self._at = None
        is_still_there = self._session.state(self._side).frame == at.frame
        after = [one for one in before[before.index(at) + 1 :] if one in self._queue.places]
        ahead = after or list(self._queue.places)
        if self._goes_on and is_still_there and ahead:
            self._go_to(ahead[0])

    def _show(self, queue: Queue) -> None:
        if queue.places != self._queue.places:
            self._rebuild(queue.places)
        self._queue = queue
        notes = [] if queue.has_marks else [NO_MARKS]
        if queue.n_others:
            notes.append(OTHERS.format(n=queue.n_others))
        tell(self._note, " ".join(notes) if queue.n_all else "")
        self._show_head()
        self.setVisible(bool(queue.n_all))
        self.counted.emit(bool(queue.places))

    def _show_head(self) -> None:
        places = self._queue.places
        at = f"{places.index(self._at) + 1} of " if self._at in places else ""
        self._head.setText(f"Left to you: {at}{len(places)}" if places else NONE_NEEDED)
        for button in (self._before, self._after):
            button.setVisible(bool(places))

    def _rebuild(self, places: tuple[WaitingPlace, ...]) -> None:
        clear(self._listed)
        cards = []
        for place in places[:N_SHOWN]:
            card = self._make_card(place.what, place.why)
            card.pressed.connect(partial(self._go_to, place))
            self._listed.addWidget(card)
            card.show()
            cards.append(card)
        if len(places) > N_SHOWN:
            self._listed.addWidget(text_label(f"and {len(places) - N_SHOWN} more", "small"))
        self.cards = tuple(cards)
        settle(self._listed)

    def _on_theme_changed(self) -> None:
        for button in (self._before, self._after):
            button.setIcon(icon(str(button.property("iconName"))))
