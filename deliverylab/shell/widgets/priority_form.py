"""One thing to work on: what is measured, where it shall go, what is said, what is done."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QMenu,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.shell.drawing.load_chooser import load_chooser
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.drawing.words_edit import WordsEdit
from deliverylab.shell.plan_content import PriorityCard
from deliverylab.shell.theme import icon, on_theme_changed, theme


class PriorityForm(QFrame):
    """A card of the plan.

    Parameters
    ----------
    number : int
        Its place, counted from 0.

    Signals
    -------
    target_edited(str), cue_edited(str), drill_chosen(str), how_edited(str), load_chosen(str)
        As they are now.
    moved(int)
        Wish to go up (-1) or down (+1).
    removed()
        Wish to take it out.
    """

    target_edited = Signal(str)
    cue_edited = Signal(str)
    drill_chosen = Signal(str)
    how_edited = Signal(str)
    load_chosen = Signal(str)
    moved = Signal(int)
    removed = Signal()

    def __init__(self, number: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._target_shown = ""
        self.title = text_label("", "strong")
        self.gap = text_label("", "small")
        self.no_target = text_label("", "small")
        self.target = QLineEdit()
        self.target.setAccessibleName("Value to aim at")
        self._unit = QLabel()
        self.cue = WordsEdit("Cue", "What the athlete is told")
        self.drill = WordsEdit("Drill", "Name of the drill")
        self.how = WordsEdit("How the drill is done", "How it is done, and how often")
        self.load = load_chooser()
        self.load_words = text_label("", "small")
        self.caution = text_label("", "caution")
        place = f"priority {number + 1}"
        self.up = self._button("move_up", f"Move {place} up", partial(self.moved.emit, -1))
        self.down = self._button("move_down", f"Move {place} down", partial(self.moved.emit, 1))
        self.out = self._button("remove", f"Take {place} out of the plan", self.removed.emit)
        self.other_cues = _others("Other cues")
        self.other_drills = _others("Other drills")
        self._lay_out(number)
        self.target.editingFinished.connect(self._on_target_left)
        self.cue.edited.connect(self.cue_edited)
        self.drill.edited.connect(self.drill_chosen)
        self.how.edited.connect(self.how_edited)
        self.load.activated.connect(lambda _: self.load_chosen.emit(self.load.currentData()))
        on_theme_changed(self, self._on_theme_changed)

    def _button(self, name: str, text: str, react: Callable[[], object]) -> QToolButton:
        made = QToolButton()
        made.setProperty("icon_name", name)
        made.setAccessibleName(text)
        made.setToolTip(text)
        made.clicked.connect(self._take_what_is_typed)
        made.clicked.connect(lambda _=False: react())
        return made

    def _take_what_is_typed(self) -> None:
        """Say what was typed before the card goes elsewhere: its buttons do not take the keyboard."""
        for field in (self.cue, self.drill, self.how):
            field.leave()
        self._on_target_left()

    def _lay_out(self, number: int) -> None:
        head = QHBoxLayout()
        head.setSpacing(2)
        place = QLabel(f"{number + 1}")
        place.setProperty("role", "value")
        head.addWidget(place)
        head.addSpacing(4)
        head.addStretch(1)
        for button in (self.up, self.down, self.out):
            head.addWidget(button)
        self._aim = QWidget()
        aim = QHBoxLayout(self._aim)
        aim.setContentsMargins(0, 0, 0, 0)
        aim.addWidget(_small("Aim at"))
        aim.addWidget(self.target)
        aim.addWidget(self._unit, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(10, 6, 6, 10)
        column.setSpacing(4)
        column.addLayout(head)
        for part in (self.title, self.gap, self._aim, self.no_target):
            column.addWidget(part)
        column.addLayout(_row("Say", self.cue, self.other_cues))
        column.addLayout(_row("Drill", self.drill, self.other_drills))
        for part in (self.how, self.load, self.load_words, self.caution):
            column.addWidget(part)

    def show_card(self, card: PriorityCard, n_cards: int, number: int) -> None:
        """Show a priority; of how many it is one decides where it can go."""
        tell(self.title, card.title)
        tell(self.gap, card.gap[:1].upper() + card.gap[1:])
        if card.target != self._target_shown or not self.target.hasFocus():
            self.target.setText(card.target)
        self._target_shown = card.target
        self._mark_target(is_wrong=False)
        self._unit.setText(card.target_unit)
        self._aim.setVisible(not card.no_target)
        tell(self.no_target, f"No target: {card.no_target}." if card.no_target else "")
        self.cue.show_words(card.cue)
        self.drill.show_words(card.drill)
        self.how.show_words(card.how)
        self.how.setVisible(bool(card.drill))
        self.load.setVisible(card.is_own_drill)
        self.load.setCurrentIndex(self.load.findData(card.arm_load))
        words = card.arm_load_words if card.drill and not card.is_own_drill else ""
        tell(self.load_words, words[:1].upper() + words[1:])
        tell(self.caution, card.caution)
        self.up.setEnabled(number > 0)
        self.down.setEnabled(number < n_cards - 1)
        _fill(self.other_cues, card.cues, self.cue_edited.emit)
        _fill(self.other_drills, card.drills, self.drill_chosen.emit)

    def refuse_target(self) -> None:
        """Mark what is typed as no number."""
        self._mark_target(is_wrong=True)

    def _on_target_left(self) -> None:
        if self.target.text() != self._target_shown:
            self._target_shown = self.target.text()
            self.target_edited.emit(self.target.text())

    def _mark_target(self, *, is_wrong: bool) -> None:
        state = "wrong" if is_wrong else ""
        if self.target.property("state") != state:
            self.target.setProperty("state", state)
            self.target.setToolTip("Not a number" if is_wrong else "")
            self.target.style().unpolish(self.target)
            self.target.style().polish(self.target)

    def _on_theme_changed(self) -> None:
        self.target.setFixedWidth(round(theme().point_size() * 7))
        for button in (self.up, self.down, self.out):
            button.setIcon(icon(button.property("icon_name"), "quiet"))


def _small(text: str) -> QLabel:
    made = QLabel(text)
    made.setProperty("role", "small")
    return made


def _others(text: str) -> QPushButton:
    """Return a button for what else the library has."""
    made = QPushButton("Others")
    made.setProperty("role", "link")
    made.setAccessibleName(text)
    made.setToolTip(text)
    made.setMenu(QMenu(made))
    return made


def _row(name: str, field: WordsEdit, others: QPushButton) -> QVBoxLayout:
    """Return a field under its name, with a button for what else the library has."""
    head = QHBoxLayout()
    head.setContentsMargins(0, 4, 0, 0)
    head.addWidget(_small(name), 1)
    head.addWidget(others)
    column = QVBoxLayout()
    column.setSpacing(2)
    column.addLayout(head)
    column.addWidget(field)
    return column


def _fill(button: QPushButton, texts: tuple[str, ...], react: Callable[[str], object]) -> None:
    menu = button.menu()
    menu.clear()
    for text in texts:
        menu.addAction(text).triggered.connect(lambda _=False, text=text: react(text))
    button.setVisible(bool(texts))
