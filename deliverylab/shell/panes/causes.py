"""What the differences start with and what they lead to, along the parts of the delivery."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from deliverylab.core.compare.chain_layout import chain_layout
from deliverylab.core.compare.chain_parts import Chain
from deliverylab.core.compare.links import link_name
from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.library import Link
from deliverylab.shell.causes_content import (
    dashed_edges,
    instant_to_show,
    left_out_words,
    node_words,
    unexplained_words,
)
from deliverylab.shell.drawing.chain_drawing import drawn
from deliverylab.shell.drawing.scroll_column import clear, scroll_column
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.messages import error_text
from deliverylab.shell.session import Session
from deliverylab.shell.widgets.chain_canvas import ChainCanvas

FEWEST_ROWS, MOST_ROWS = 2, 8
LINES_BELOW = 8.0
"""Lines that are said below the drawing, more or less."""
NOBODY = "Choose a second delivery to compare with."
LEAVE_OUT = "Does not fit: leave this link out"


class CausesPane(QFrame):
    """Draw the chain of the two deliveries, tell it in three sentences, show what lies behind it.

    Attributes
    ----------
    canvas : ChainCanvas
        The drawing.

    Signals
    -------
    left_out(str, object)
        Words for a link that was left out, and the library as it was before.
    failed(object)
        What went wrong.
    """

    left_out = Signal(str, object)
    failed = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._is_due = True
        self._chain: Chain | None = None
        self.setObjectName("pane")
        self.canvas = ChainCanvas()
        self.canvas.chosen.connect(self._on_chosen)
        self._sentences = text_label()
        self._head, self._evidence = text_label(role="strong"), text_label()
        self._why = text_label(role="small")
        self._rest, self._left_out = text_label(role="small"), text_label(role="small")
        self._links = QVBoxLayout()
        self._links.setSpacing(0)
        self._lay_out()
        session.results_updated.connect(self._on_results_updated)
        session.selection_changed.connect(self._on_results_updated)
        session.display_changed.connect(self._on_results_updated)

    @property
    def text(self) -> str:
        """Everything that is said below the drawing."""
        rest = (self._rest, self._left_out)
        labels = (self._sentences, self._head, self._evidence, self._why, *rest)
        return "\n".join(one.text() for one in labels if one.text())

    @property
    def link_buttons(self) -> tuple[QPushButton, ...]:
        """Buttons that leave a link out, for the point in hand."""
        items = (self._links.itemAt(row) for row in range(self._links.count()))
        buttons = (item.widget() for item in items if item is not None)
        return tuple(button for button in buttons if isinstance(button, QPushButton))

    def _lay_out(self) -> None:
        card = QFrame()
        card.setObjectName("card")
        behind = QVBoxLayout(card)
        behind.setContentsMargins(10, 8, 10, 8)
        behind.setSpacing(4)
        for part in (self._head, self._evidence, self._why):
            behind.addWidget(part)
        behind.addLayout(self._links)
        behind.addStretch(1)
        self._card = card
        told = QVBoxLayout()
        told.setSpacing(6)
        told.addWidget(self._sentences)
        told.addWidget(self._rest)
        told.addWidget(self._left_out)
        told.addStretch(1)
        below = QHBoxLayout()
        below.setSpacing(12)
        below.addLayout(told, 3)
        below.addWidget(card, 2)
        body = QWidget()
        inside = QVBoxLayout(body)
        inside.setContentsMargins(8, 4, 8, 8)
        inside.setSpacing(10)
        inside.addWidget(self.canvas)
        inside.addLayout(below)
        inside.addStretch(1)
        area = scroll_column()
        area.setWidget(body)
        column = QVBoxLayout(self)
        column.setContentsMargins(2, 2, 2, 2)
        column.addWidget(area)

    # --------------------------------------------------------------------- following the session

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what was missed while hidden."""
        super().showEvent(event)
        if self._is_due:
            self.refresh()

    def _on_results_updated(self, *_ignored: object) -> None:
        if self.isVisible():
            self.refresh()
        else:
            self._is_due = True

    def refresh(self) -> None:
        """Draw and tell what is so now."""
        self._is_due = False
        session = self._session
        chain: Chain | None = None
        sentences: tuple[str, ...] = (NOBODY,)
        if session.differences():
            try:
                chain = session.chain()
                sentences = chain.sentences
            except DeliveryLabError as problem:
                sentences = (error_text(problem),)
        self._chain = chain
        tell(self._left_out, "")
        tell(self._sentences, "\n".join(sentences))
        tell(self._rest, "" if chain is None else unexplained_words(chain))
        self.canvas.setVisible(chain is not None and bool(chain.starts))
        if chain is not None:
            self._draw(chain)
        self._show_point()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw as many rows as there is room for beside the sentences."""
        super().resizeEvent(event)
        if self._chain is not None and event.oldSize() != event.size():
            self._draw(self._chain)

    def _draw(self, chain: Chain) -> None:
        """Draw a chain with as many rows as leave room for what is said below."""
        system = self._session.unit_system
        room = self.height() - LINES_BELOW * self._sentences.fontMetrics().height()
        for n_rows in range(MOST_ROWS, FEWEST_ROWS - 1, -1):
            layout = chain_layout(chain, most_rows=n_rows)
            if drawn(layout, self.canvas.width(), system).height <= room:
                break
        self.canvas.show_chain(
            layout,
            system,
            dashed=dashed_edges(chain, layout),
            first=chain.starts[0].node.key if chain.starts else None,
        )
        tell(self._left_out, left_out_words(layout.n_left_out))

    def _show_point(self) -> None:
        """Say what lies behind the point in hand."""
        key = None if self.canvas.isHidden() else self.canvas.selected
        self._card.setVisible(key is not None)
        clear(self._links)
        if key is None:
            return
        words = node_words(self._session.chain(), key, self._session.unit_system)
        tell(self._head, words.head)
        tell(self._evidence, words.evidence)
        tell(self._why, words.why)
        n_links = len(words.links)
        for number, link in enumerate(words.links, 1):
            which = f" ({number} of {n_links})" if n_links > 1 else ""
            button = QPushButton(LEAVE_OUT + which)
            button.setProperty("role", "link")
            button.setToolTip(link_name(link))
            button.setAccessibleName(f"{LEAVE_OUT}: {link_name(link)}")
            button.clicked.connect(partial(self._on_left_out, link))
            self._links.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    # ------------------------------------------------------------------------------- intents

    def _on_chosen(self, key: tuple[str, str]) -> None:
        self._show_point()
        instant = instant_to_show(*key)
        if instant:
            self._session.go_to_event(instant)

    def _on_left_out(self, link: Link, _is_checked: bool = False) -> None:
        before = self._session.library()
        try:
            self._session.leave_link_out(link)
        except DeliveryLabError as problem:
            self.failed.emit(problem)
            return
        self.left_out.emit(link_name(link), before)
