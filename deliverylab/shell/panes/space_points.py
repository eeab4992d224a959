"""Points that two clips contradict each other about, worst first, and limbs that keep their length."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.scroll_column import scroll_column
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.session import Session
from deliverylab.shell.space_content import limb_words, point_words
from deliverylab.shell.space_watch import PointToLook, SpaceWatch
from deliverylab.shell.theme import icon, on_theme_changed
from deliverylab.shell.widgets.look_card import LookCard

NONE_LEFT = "The clips agree about every point, as far as chance allows."
EITHER = "The worst first. Either clip may be the wrong one."


class SpacePointsPane(QWidget):
    """List the points to look at; a click, Enter or a key leads to one.

    Attributes
    ----------
    cards : tuple of LookCard
        One a point, in their order.

    Signals
    -------
    stage_wanted(str)
        The stage of this side shows the point: it wants the keyboard.
    failed(DeliveryLabError)
        A point could not be shown.
    """

    stage_wanted = Signal(str)
    failed = Signal(object)

    def __init__(self, session: Session, watch: SpaceWatch, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._watch = session, watch
        self._points: tuple[PointToLook, ...] | None = None
        self._at: PointToLook | None = None
        self._steps_due = 0
        self.cards: tuple[LookCard, ...] = ()
        self._head = QLabel("Points to look at")
        self._head.setProperty("role", "strong")
        self._before, self._after = (
            self._button("Previous point to look at", "event_before", -1),
            self._button("Next point to look at", "event_after", 1),
        )
        head = QHBoxLayout()
        head.setContentsMargins(8, 4, 6, 0)
        head.addWidget(self._head, 1)
        head.addWidget(self._before)
        head.addWidget(self._after)
        self._none, self._limbs = text_label(role="small"), text_label(role="small")
        for one in (self._none, self._limbs):
            one.setContentsMargins(8, 0, 6, 2)
        self._area = scroll_column()
        # what is said of the limbs comes first: what scrolls gives way to it
        self._area.setMinimumHeight(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(2, 0, 2, 4)
        column.setSpacing(3)
        column.addLayout(head)
        column.addWidget(self._none)
        column.addWidget(self._limbs)
        column.addWidget(self._area, 1)
        watch.updated.connect(self.refresh)
        session.display_changed.connect(self.refresh)
        on_theme_changed(self, self._on_theme_changed)

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
        """How many points there are, and which is shown."""
        return self._head.text()

    @property
    def limbs(self) -> str:
        """What is said of the limbs."""
        return self._limbs.text()

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to follow."""
        super().showEvent(event)
        self._watch.want(self, is_wanted=True)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop following."""
        super().hideEvent(event)
        self._watch.want(self, is_wanted=False)

    # ------------------------------------------------------------------------------ going there

    def step(self, direction: int) -> None:
        """Go to the next (1) or previous (-1) point, from the first once nothing was shown yet."""
        if self._watch.is_due:
            # a step goes by what is so now, not by what was before the last correction
            self._steps_due = direction
            self._watch.look()
            return
        points = self._watch.found.points
        if not points:
            self._show_head()
            return
        if self._at in points:
            number = (points.index(self._at) + direction) % len(points)
        else:
            number = 0 if direction > 0 else len(points) - 1
        self._go_to(points[number])

    def _go_to(self, point: PointToLook) -> None:
        place = point.place
        try:
            side = self._session.look_at_point(
                point.delivery, place.camera, place.frame, place.landmark
            )
        except DeliveryLabError as error:
            self.failed.emit(error)
            return
        self._at = point
        self._show_head()
        self.stage_wanted.emit(side)

    # ---------------------------------------------------------------------------------- showing

    def refresh(self) -> None:
        """Show what was found last."""
        found, delivery = self._watch.found, self._session.delivery("athlete")
        is_solved = found.athlete_figure is not None and delivery is not None
        self.setVisible(is_solved)
        if delivery is None or not is_solved or found.athlete is None:
            return
        if found.points != self._points:
            self._points = found.points
            self._rebuild(found.points)
        hand = found.athlete.athlete.hand
        words = limb_words(found.limbs, hand, self._session.unit_system)
        tell(self._limbs, _limbs_text(words, in_full=not found.points))
        self._limbs.setToolTip("\n".join(words))
        self._show_head()
        if self._steps_due and not self._watch.is_due:
            direction, self._steps_due = self._steps_due, 0
            self.step(direction)

    def _show_head(self) -> None:
        points = self._watch.found.points
        at = f"{points.index(self._at) + 1} of " if self._at in points else ""
        self._head.setText(
            f"Points to look at: {at}{len(points)}" if points else "Points to look at"
        )
        tell(self._none, EITHER if points else NONE_LEFT)
        for button in (self._before, self._after):
            button.setEnabled(bool(points))

    def _rebuild(self, points: tuple[PointToLook, ...]) -> None:
        athlete = self._watch.found.athlete
        at = self._area.verticalScrollBar().value()
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(4, 0, 6, 0)
        column.setSpacing(5)
        cards = []
        for point in points:
            if athlete is None:
                break
            card = LookCard(*point_words(point, athlete), level="caution")
            card.pressed.connect(partial(self._go_to, point))
            column.addWidget(card)
            cards.append(card)
        column.addStretch(1)
        self.cards = tuple(cards)
        self._area.setWidget(body)
        self._area.verticalScrollBar().setValue(at)

    def _on_theme_changed(self) -> None:
        for button in (self._before, self._after):
            button.setIcon(icon(str(button.property("iconName"))))


def _limbs_text(words: tuple[str, ...], *, in_full: bool) -> str:
    """Return how even the limbs' lengths are over the throw, the least even first.

    Where points wait to be looked at only that one, and the others where the pointer rests.
    """
    if not words:
        return ""
    if not in_full:
        return f"Least even length over the throw: {words[0]}"
    return "\n".join(("Lengths over the throw, and how they spread:", *words))
