"""What the athlete works on until the next visit, beside the stages."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import QDateEdit, QLabel, QMenu, QPushButton, QVBoxLayout, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.scroll_column import settle
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.drawing.words_edit import WordsEdit
from deliverylab.shell.plan_content import choice_words, read_target
from deliverylab.shell.session import Session
from deliverylab.shell.widgets.priority_form import PriorityForm
from deliverylab.shell.widgets.tool_panel import ToolPanel

NOTHING_YET = "Nothing is planned yet. Up to three things can be worked on until the next visit."
NOTHING_CLEAR = (
    "Nothing clear to work on: keep going, or film again. What is within error is no reason to "
    "change a delivery."
)
NO_PARTNER = "Choose a partner to compare with: what differs clearly can then be worked on."
NO_DAY = QDate(2000, 1, 1)
DAY_FORMAT = "yyyy-MM-dd"


class WorkOnPanel(ToolPanel):
    """Choose, word and order what is worked on.

    Signals
    -------
    library_wanted()
        Wish to see the instructor's own cues and drills.
    """

    library_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__("What to work on", "athlete", parent)
        self._session = session
        self.forms: list[PriorityForm] = []
        self.suggest = QPushButton("Suggest")
        self.suggest.setToolTip("From what the differences start with")
        self.library = QPushButton("Library …")
        self.add = QPushButton("Add a clear difference")
        self.add.setMenu(QMenu(self.add))
        self.day = QDateEdit()
        self.day.setCalendarPopup(True)
        self.day.setDisplayFormat(DAY_FORMAT)
        self.day.setMinimumDate(NO_DAY)
        self.day.setSpecialValueText("no day yet")
        self.day.setAccessibleName("Day of the next look")
        self.day.setKeyboardTracking(False)
        self.note = WordsEdit("Note", "A line of your own, for the page")
        self.take_away = QPushButton("Take the plan away")
        self.take_away.setProperty("role", "link")
        self._empty = text_label("", "quiet")
        self._cautions = text_label("", "small")
        self._whose = text_label("", "small")
        self._lay_out()
        self.suggest.clicked.connect(self._on_suggest)
        self.library.clicked.connect(self.library_wanted)
        self.day.dateChanged.connect(self._on_day_changed)
        self.note.edited.connect(lambda text: self._try(lambda: session.change_plan(note=text)))
        self.take_away.clicked.connect(lambda: self._try(lambda: session.set_plan(None)))
        session.results_updated.connect(self.refresh)
        session.changed.connect(self._on_changed)
        session.selection_changed.connect(self._on_changed)
        self.refresh()

    def _lay_out(self) -> None:
        self.column.addWidget(self._whose)
        self.add_row(self.suggest, self.library)
        self.column.addWidget(self.problem)
        self.column.addWidget(self._empty)
        self._cards = QVBoxLayout()
        self._cards.setSpacing(8)
        self.column.addLayout(self._cards)
        self.column.addWidget(self.add)
        self._below = QWidget()
        below = QVBoxLayout(self._below)
        below.setContentsMargins(0, 4, 0, 0)
        below.addWidget(QLabel("Look again on"))
        below.addWidget(self.day)
        below.addWidget(QLabel("Note"))
        below.addWidget(self.note)
        below.addWidget(self._cautions)
        below.addWidget(self.take_away)
        self.column.addWidget(self._below)
        self.column.addStretch(1)

    # ------------------------------------------------------------------------------- showing

    def refresh(self) -> None:
        """Show the plan as it is now."""
        own = self._session.delivery("athlete")
        if own is None:
            self.closed.emit()
            return
        tell(self._whose, f"{own.athlete.name}, after {own.name}")
        plan = self._session.work_plan()
        self._show_cards()
        self._show_choices()
        has_partner = self._session.compared() is not None
        self.suggest.setEnabled(has_partner)
        # what is next stands out
        _stand_out(self.suggest, has_partner and not plan.priorities)
        tell(self._empty, "" if plan.priorities else NOTHING_YET if has_partner else NO_PARTNER)
        self._below.setVisible(bool(plan.priorities or plan.note))
        day = QDate.fromString(plan.recheck_date, DAY_FORMAT) if plan.recheck_date else NO_DAY
        if day != self.day.date():
            self.day.blockSignals(True)
            self.day.setDate(day)
            self.day.blockSignals(False)
        self.note.show_words(plan.note)
        tell(self._cautions, "\n".join(self._session.plan_cautions()))

    def _show_cards(self) -> None:
        try:
            cards = self._session.priority_cards()
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        while len(self.forms) > len(cards):
            form = self.forms.pop()
            self._cards.removeWidget(form)
            form.hide()
            form.deleteLater()
        while len(self.forms) < len(cards):
            self.forms.append(self._made_form(len(self.forms)))
        for number, (form, card) in enumerate(zip(self.forms, cards, strict=True)):
            form.show_card(card, len(cards), number)
        settle(self._cards)
        settle(self.column)

    def _made_form(self, number: int) -> PriorityForm:
        session, form = self._session, PriorityForm(number)

        def change(field: str, value: object) -> None:
            self._try(lambda: session.change_priority(number, **{field: value}))

        form.target_edited.connect(partial(self._on_target_edited, number))
        form.cue_edited.connect(partial(change, "cue"))
        form.how_edited.connect(partial(change, "how"))
        form.load_chosen.connect(partial(change, "arm_load"))
        form.drill_chosen.connect(
            lambda name: self._try(lambda: session.choose_drill(number, name))
        )
        form.moved.connect(lambda step: self._try(lambda: session.move_priority(number, step)))
        form.removed.connect(lambda: self._try(lambda: session.remove_priority(number)))
        self._cards.addWidget(form)
        return form

    def _show_choices(self) -> None:
        menu = self.add.menu()
        menu.clear()
        choices = self._session.plan_choices() if self._session.has_room_in_plan else ()
        for difference in choices:
            action = menu.addAction(choice_words(difference))
            action.triggered.connect(
                lambda _=False, one=difference: self._try(lambda: self._session.add_priority(one))
            )
        self.add.setVisible(bool(choices))

    # ------------------------------------------------------------------------------- reacting

    def _on_changed(self, *_ignored: object) -> None:
        self.refresh()

    def _on_suggest(self) -> None:
        had_plan = bool(self._session.work_plan().priorities)
        found: list[bool] = []
        self._try(lambda: found.append(self._session.suggest_plan()))
        if found == [False]:
            tell(self._empty, NOTHING_CLEAR)
        elif found and had_plan:
            self.said.emit("The plan is the suggestion now; undo brings yours back.", "note")

    def _on_target_edited(self, number: int, text: str) -> None:
        priority = self._session.work_plan().priorities[number]
        try:
            target = read_target(priority, text, self._session.record.unit_system)
        except ValueError:
            self.forms[number].refuse_target()
            return
        self._try(lambda: self._session.change_priority(number, target=target))

    def _on_day_changed(self, day: QDate) -> None:
        text = "" if day == NO_DAY else dt.date(day.year(), day.month(), day.day()).isoformat()
        self._try(lambda: self._session.change_plan(recheck_date=text))

    def _try(self, act: Callable[[], object]) -> None:
        """Carry an intent out; say what failed."""
        tell(self.problem, "")
        try:
            act()
        except DeliveryLabError as error:
            self.show_problem(error)


def _stand_out(button: QPushButton, is_main: bool) -> None:
    role = "main" if is_main else ""
    if button.property("role") != role:
        button.setProperty("role", role)
        button.style().unpolish(button)
        button.style().polish(button)
