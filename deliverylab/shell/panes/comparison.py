"""What differs between the two deliveries, the largest clear difference first."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QVBoxLayout, QWidget

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.party_button import Offer
from deliverylab.shell.drawing.scroll_column import scroll_column
from deliverylab.shell.session import Session, Side
from deliverylab.shell.value_text import name_and_instant, phase_of
from deliverylab.shell.widgets.compared_head import ComparedHead
from deliverylab.shell.widgets.difference_row import DifferenceRow

HEADS = {
    "clear": "Clear differences",
    "within_error": "Within the error",
    "not_comparable": "Not comparable",
}
ABOUT = {
    "clear": "Larger than both margins together; the largest beside its spread first.",
    "within_error": "If there is a difference, these clips do not show it.",
    "not_comparable": "",
}


NOBODY = "Choose a second delivery to compare with, or published means."


class ComparisonPane(QWidget):
    """Differences ranked, each with its margin as a band around zero; of one part of the delivery.

    Signals
    -------
    failed(object)
        An error that says why somebody cannot stand on a side.
    """

    failed = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: dict[tuple[str, str], DifferenceRow] = {}
        self._kept: dict[tuple[str, str], DifferenceRow] = {}
        self._layout_key: object = None
        self._is_due = True
        self._unfolded: set[str] = {"clear"}
        self.head = ComparedHead()
        self.head.own.chosen.connect(lambda text: self._try(session.choose_own, text))
        self.head.partner.chosen.connect(lambda text: self._try(session.choose_partner, text))
        self.head.phase_chosen.connect(self.refresh)
        self._area = scroll_column()
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 4, 4, 6)
        column.setSpacing(4)
        column.addWidget(self.head)
        column.addWidget(self._area, 1)
        session.results_updated.connect(self._on_results_updated)
        session.selection_changed.connect(self._on_results_updated)
        session.display_changed.connect(self._on_results_updated)

    @property
    def rows(self) -> dict[tuple[str, str], DifferenceRow]:
        """Shown differences by (metric, event)."""
        return dict(self._rows)

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

    def _try(self, choose: Callable[[str], None], text: str) -> None:
        try:
            choose(text)
        except DeliveryLabError as error:
            self.failed.emit(error)

    def refresh(self, *_ignored: object) -> None:
        """Show the session's present differences, those of the chosen part of the delivery."""
        self._is_due = False
        everything = self._session.differences()
        show_sides(self.head, self._session)
        self.head.show_phases([phase_of(one.a) for one in everything])
        phase = self.head.phase
        differences = tuple(one for one in everything if not phase or phase_of(one.a) == phase)
        layout_key = (
            tuple((one.metric, one.event, one.verdict, one.reason) for one in differences),
            frozenset(self._unfolded),
        )
        if layout_key != self._layout_key:
            self._layout_key = layout_key
            self._rebuild(differences)
        for one in differences:
            row = self._rows.get((one.metric, one.event))
            if row is not None:
                row.show_difference(one, self._session.unit_system)

    def _rebuild(self, differences: tuple[Difference, ...]) -> None:
        at = self._area.verticalScrollBar().value()
        # rows move over into the new body: while a point is dragged, ranks change again and again
        self._kept, self._rows = self._rows | self._kept, {}
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(2, 0, 6, 8)
        column.setSpacing(6)
        for verdict, head in HEADS.items():
            ones = [one for one in differences if one.verdict == verdict]
            if ones or (verdict == "clear" and differences):
                self._add_group(column, verdict, head, ones)
        if not differences:
            column.addWidget(_text(NOBODY, "small"))
        column.addStretch(1)
        self._kept.clear()  # those left over go with the old body
        self._area.setWidget(body)
        self._area.verticalScrollBar().setValue(at)

    def _add_group(
        self, column: QVBoxLayout, verdict: str, head: str, ones: list[Difference]
    ) -> None:
        is_open = verdict in self._unfolded
        fold = QPushButton(f"{'▾' if is_open else '▸'}  {head}  ·  {len(ones)}")
        fold.setProperty("role", "link")
        fold.setAccessibleName(f"{head}, {len(ones)}, {'unfolded' if is_open else 'folded'}")
        fold.clicked.connect(lambda _=False, key=verdict: self._on_folded(key))
        column.addWidget(fold)
        if not is_open:
            return
        about = ABOUT[verdict] if ones else "None that these clips show."
        if about:
            column.addWidget(_text(about, "small"))
        if verdict == "not_comparable":
            column.addWidget(_reasons(ones))
            return
        for one in ones:
            key = (one.metric, one.event)
            row = self._kept.pop(key, None)
            if row is None:
                row = DifferenceRow(one, self._session.unit_system)
                row.instant_wanted.connect(self._session.go_to_event)
            self._rows[key] = row
            column.addWidget(row)

    def _on_folded(self, verdict: str) -> None:
        self._unfolded ^= {verdict}
        self.refresh()


def show_sides(head: ComparedHead, session: Session) -> None:
    """Show in a head who is compared with whom, and who else may be."""
    own, partner = session.sides()
    side: Side
    for button, party, choices, side in (
        (head.own, own, session.own_choices(), "athlete"),
        (head.partner, partner, session.partner_choices(), "model"),
    ):
        names = [each.name for each in party.deliveries] if party is not None else []
        fixed = session.state(side).delivery or ""
        button.show_party(
            party.name if party is not None else "choose …",
            [Offer(choice.text, choice.label, choice.group) for choice in choices],
            pickable=session.may_be_together(side),
            picked=names,
            fixed=fixed,
        )
    head.say_about(partner)


def _text(text: str, role: str) -> QLabel:
    made = QLabel(text)
    made.setWordWrap(True)
    made.setProperty("role", role)
    made.setContentsMargins(5, 0, 5, 2)
    return made


def _reasons(ones: list[Difference]) -> QWidget:
    """Return what is not comparable, together under each reason."""
    by_reason: dict[str, list[str]] = {}
    for one in ones:
        name = name_and_instant(one.a)
        names = by_reason.setdefault(one.reason, [])
        if name not in names:
            names.append(name)
    group = QWidget()
    column = QVBoxLayout(group)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(6)
    for reason, names in by_reason.items():
        card = QFrame()
        card.setObjectName("card")
        inside = QVBoxLayout(card)
        inside.setContentsMargins(5, 7, 5, 7)
        inside.setSpacing(2)
        inside.addWidget(_text(", ".join(names), ""))
        inside.addWidget(_text(reason[:1].upper() + reason[1:], "small"))
        column.addWidget(card)
    return group
