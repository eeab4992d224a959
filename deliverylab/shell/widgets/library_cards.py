"""Cards of the library: a cue, a drill, a link; one's own, or the program's to be made one's own."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QDoubleSpinBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.compare.links import link_name
from deliverylab.core.compare.own_library import Standing
from deliverylab.core.compare.plan_words import ARM_LOAD_WORDS
from deliverylab.core.model.library import Cue, Drill, Link
from deliverylab.shell.drawing.load_chooser import load_chooser
from deliverylab.shell.drawing.text_label import text_label
from deliverylab.shell.drawing.words_edit import WordsEdit
from deliverylab.shell.library_content import changed

OF_PROGRAM = "Comes with the program"
OWN = "Your own"


class LibraryCard(QFrame):
    """A card with words that can be changed and what can be done with it.

    Signals
    -------
    kept(object)
        The cue, drill or link as it shall be from now on.
    removed()
        Wish to take one's own out, leave a link out, or put it back.
    """

    kept = Signal(object)
    removed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(10, 8, 10, 8)
        self.column.setSpacing(4)

    def add_words(self, name: str, hint: str, text: str) -> WordsEdit:
        """Add words that can be changed."""
        made = WordsEdit(name, hint)
        made.show_words(text)
        self.column.addWidget(made)
        return made

    def add_foot(self, whose: str, act: str) -> QPushButton:
        """End with whose it is, and a button for what can be done."""
        button = QPushButton(act)
        button.setProperty("role", "link")
        row = QHBoxLayout()
        row.addWidget(text_label(whose, "small"), 1)
        row.addWidget(button)
        self.column.addLayout(row)
        return button


class CueCard(LibraryCard):
    """A cue."""

    def __init__(self, cue: Cue, is_own: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        if is_own:
            words = self.add_words("Cue", "What the athlete is told", cue.text)
            words.edited.connect(lambda text: self.kept.emit(changed(cue, text=text)))
            child = self.add_words(
                "Cue to a child", "To a child, if other words", cue.text_for_minors
            )
            child.edited.connect(lambda text: self.kept.emit(changed(cue, text_for_minors=text)))
            self.add_foot(OWN, "Take out").clicked.connect(self.removed)
            return
        self.column.addWidget(text_label(cue.text))
        if cue.text_for_minors:
            self.column.addWidget(text_label(f"To a child: {cue.text_for_minors}", "small"))
        take = self.add_foot(OF_PROGRAM, "Word it my way")
        take.clicked.connect(lambda: self.kept.emit(cue))


class DrillCard(LibraryCard):
    """A drill."""

    def __init__(self, drill: Drill, is_own: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.column.addWidget(text_label(drill.name, "strong"))
        if is_own:
            how = self.add_words("How it is done", "How it is done, and how often", drill.how)
            how.edited.connect(lambda text: self.kept.emit(changed(drill, how=text)))
            self.load = load_chooser()
            self.load.setCurrentIndex(self.load.findData(drill.arm_load))
            self.load.activated.connect(
                lambda _: self.kept.emit(changed(drill, arm_load=self.load.currentData()))
            )
            self.column.addWidget(self.load)
            caution = self.add_words("Caution", "What to mind, if anything", drill.caution)
            caution.edited.connect(lambda text: self.kept.emit(changed(drill, caution=text)))
            self.add_foot(OWN, "Take out").clicked.connect(self.removed)
            return
        words = ARM_LOAD_WORDS[drill.arm_load]
        self.column.addWidget(text_label(drill.how))
        self.column.addWidget(text_label(f"{words[:1].upper()}{words[1:]}", "small"))
        if drill.caution:
            self.column.addWidget(text_label(drill.caution, "caution"))
        take = self.add_foot(OF_PROGRAM, "Do it my way")
        take.clicked.connect(lambda: self.kept.emit(drill))


class LinkCard(LibraryCard):
    """A link between two differences; to change words or strength makes it one's own."""

    def __init__(self, link: Link, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.column.addWidget(text_label(link_name(link), "strong"))
        if standing == "left out":
            self.column.addWidget(text_label(link.why, "quiet"))
            self.add_foot("Left out", "Put it back").clicked.connect(self.removed)
            return
        why = self.add_words("Why they go together", "Why they go together", link.why)
        why.edited.connect(lambda text: self.kept.emit(changed(link, why=text)))
        self.strength = QDoubleSpinBox()
        self.strength.setRange(0.1, 1.0)
        self.strength.setSingleStep(0.1)
        self.strength.setDecimals(1)
        self.strength.setKeyboardTracking(False)
        self.strength.setAccessibleName("How much of a difference it carries on, up to 1")
        self.strength.setValue(link.strength)
        self.strength.valueChanged.connect(
            lambda value: self.kept.emit(changed(link, strength=round(value, 1)))
        )
        row = QHBoxLayout()
        row.addWidget(QLabel("Carries on"), 1)
        row.addWidget(self.strength)
        self.column.addLayout(row)
        whose = {"own": OWN, "changed": "Changed by you"}.get(standing, OF_PROGRAM)
        act = {"own": "Take out", "changed": "As it was"}.get(standing, "Leave it out")
        self.add_foot(f"{whose} ({link.source})", act).clicked.connect(self.removed)
