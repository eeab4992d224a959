"""The instructor's own cues, drills and links, beside the stages."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, get_args

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QLineEdit, QPushButton, QVBoxLayout, QWidget

from deliverylab.core.compare import own_library
from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.library import Cue, Drill, Library, Link, LinkEnd
from deliverylab.shell.drawing.load_chooser import load_chooser
from deliverylab.shell.drawing.scroll_column import clear, settle
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.drawing.words_edit import WordsEdit
from deliverylab.shell.library_content import (
    cue_rows,
    drill_rows,
    link_rows,
    size_words,
    why_no_aim,
)
from deliverylab.shell.session import Session
from deliverylab.shell.widgets.end_chooser import EndChooser
from deliverylab.shell.widgets.library_cards import CueCard, DrillCard, LinkCard
from deliverylab.shell.widgets.tool_panel import ToolPanel

Part = Literal["cues", "drills", "links"]
FIRST = LinkEnd("com_forward_speed", "leg_lift", "more")
LATER = LinkEnd("trunk_forward_tilt", "release", "more")


class LibraryPanel(ToolPanel):
    """See what is said and done for a metric, and put one's own beside it.

    Signals
    -------
    kept(str, object)
        What was done, in words, and the library before it.
    """

    kept = Signal(str, object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__("Library", "athlete", parent)
        self._session = session
        self.part: Part = "cues"
        self.parts: dict[Part, QPushButton] = {}
        self.what = EndChooser("For")
        self.what.choose(FIRST)
        self.owner = QLineEdit()
        self.owner.setPlaceholderText("Your name, beside links of your own")
        self.owner.setAccessibleName("Whose library it is")
        self._place = text_label("", "strong")
        self._size = text_label("", "small")
        self._no_aim = text_label("", "small")
        self.cards = QVBoxLayout()
        self.cards.setSpacing(8)
        self._make_new_forms()
        self._lay_out()
        self.what.chosen.connect(self.refresh)
        self.owner.editingFinished.connect(self._on_owner_left)
        self.refresh()

    def _make_new_forms(self) -> None:
        """Make what a new cue, drill or link is typed into."""
        self.new_words = WordsEdit("New cue", "A cue of your own")
        self.new_child = WordsEdit("New cue to a child", "To a child, if other words")
        self.new_name = WordsEdit("Name of a new drill", "A drill of your own")
        self.new_how = WordsEdit("How the new drill is done", "How it is done, and how often")
        self.new_load = load_chooser()
        self.new_load.setCurrentIndex(self.new_load.findData("throwing"))
        self.to = EndChooser("Goes together with")
        self.to.choose(LATER)
        self.new_why = WordsEdit("Why the new link holds", "Why, in a plain sentence")
        self.add = QPushButton("Add")
        self.add.clicked.connect(self._on_add)
        self._new: dict[Part, tuple[QWidget, ...]] = {
            "cues": (self.new_words, self.new_child),
            "drills": (self.new_name, self.new_how, self.new_load),
            "links": (
                text_label("Commonly goes together with, later:", "small"),
                self.to,
                self.new_why,
            ),
        }

    def _lay_out(self) -> None:
        group = QButtonGroup(self)
        for part in get_args(Part):
            button = QPushButton(part.capitalize())
            button.setCheckable(True)
            button.setProperty("role", "choice")
            button.clicked.connect(lambda _=False, part=part: self.show_part(part))
            group.addButton(button)
            self.parts[part] = button
        self.add_row(*self.parts.values())
        self.column.addWidget(self.what)
        self.column.addWidget(self.problem)
        self.column.addWidget(self._no_aim)
        self.column.addLayout(self.cards)
        for widgets in self._new.values():
            for widget in widgets:
                self.column.addWidget(widget)
        self.column.addWidget(self.add)
        self.column.addSpacing(8)
        self.column.addWidget(self._place)
        self.column.addWidget(self._size)
        self.column.addWidget(self.owner)
        self.column.addStretch(1)

    # ------------------------------------------------------------------------------- showing

    def show_part(self, part: Part) -> None:
        """Show the cues, the drills or the links."""
        self.part = part
        self.refresh()

    def show_for(self, end: LinkEnd) -> None:
        """Show what there is for this."""
        self.what.choose(end)

    def refresh(self) -> None:
        """Show what the library holds for what is chosen."""
        tell(self.problem, "")
        try:
            library = self._session.library()
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.parts[self.part].setChecked(True)
        for part, widgets in self._new.items():
            for widget in widgets:
                widget.setVisible(part == self.part)
        end = self.what.end()
        no_aim = why_no_aim(end) if self.part != "links" else ""
        tell(self._no_aim, f"No target is set for it: {no_aim}." if no_aim else "")
        clear(self.cards)
        for card in self._made_cards(end, library):
            self.cards.addWidget(card)
        settle(self.cards)
        settle(self.column)
        self.add.setText({"cues": "Add cue", "drills": "Add drill", "links": "Add link"}[self.part])
        tell(self._place, self._session.library_place())
        tell(self._size, size_words(library))
        if not self.owner.hasFocus():
            self.owner.setText(library.owner)

    def _made_cards(self, end: LinkEnd, library: Library) -> list[QWidget]:
        if self.part == "cues":
            return [self._cue_card(cue, is_own) for cue, is_own in cue_rows(end, library)]
        if self.part == "drills":
            return [self._drill_card(one, is_own) for one, is_own in drill_rows(end, library)]
        return [self._link_card(link, standing) for link, standing in link_rows(end, library)]

    def _cue_card(self, cue: Cue, is_own: bool) -> CueCard:
        card = CueCard(cue, is_own)

        def keep(changed: Cue) -> None:
            def edit(library: Library) -> Library:
                before = own_library.without_cue(library, cue) if is_own else library
                return own_library.with_cue(before, changed)

            self._edit("The cue is kept", edit)

        card.kept.connect(keep)
        card.removed.connect(
            lambda: self._edit("The cue is out", lambda one: own_library.without_cue(one, cue))
        )
        return card

    def _drill_card(self, drill: Drill, is_own: bool) -> DrillCard:
        card = DrillCard(drill, is_own)
        card.kept.connect(
            lambda changed: self._edit(
                "The drill is kept", lambda one: own_library.with_drill(one, changed)
            )
        )
        card.removed.connect(
            lambda: self._edit(
                "The drill is out", lambda one: own_library.without_drill(one, drill.name)
            )
        )
        return card

    def _link_card(self, link: Link, standing: own_library.Standing) -> LinkCard:
        card = LinkCard(link, standing)
        card.kept.connect(
            lambda changed: self._edit(
                "The link is kept", lambda one: own_library.with_link(one, changed)
            )
        )
        takes_back = standing in {"left out", "changed"}
        act = own_library.restored if takes_back else own_library.left_out
        said = "The link is as it was" if takes_back else "The link is left out"
        card.removed.connect(lambda: self._edit(said, lambda one: act(one, link.key)))
        return card

    # ------------------------------------------------------------------------------- reacting

    def _on_add(self) -> None:
        end = self.what.end()
        if self.part == "cues":
            cue = Cue(
                metric=end.metric,
                event=end.event,
                way=end.way,
                text=self.new_words.words(),
                text_for_minors=self.new_child.words(),
            )
            self._add("The cue is added", lambda one: own_library.with_cue(one, cue))
        elif self.part == "drills":
            drill = Drill(
                name=self.new_name.words(),
                serves=(end,),
                how=self.new_how.words(),
                arm_load=self.new_load.currentData(),
            )
            self._add("The drill is added", lambda one: own_library.with_drill(one, drill))
        else:
            cause, effect, why = end, self.to.end(), self.new_why.words()
            self._add(
                "The link is added",
                lambda one: own_library.with_link(one, Link(cause=cause, effect=effect, why=why)),
            )

    def _add(self, said: str, make: Callable[[Library], Library]) -> None:
        if self._edit(said, make):
            for widget in self._new[self.part]:
                if isinstance(widget, WordsEdit):
                    widget.show_words("")
                    widget.clear()

    def _on_owner_left(self) -> None:
        name = self.owner.text()
        self._edit("Your name is kept", lambda library: own_library.with_owner(library, name))

    def _edit(self, said: str, make: Callable[[Library], Library]) -> bool:
        """Keep a changed library, and say so; say what does not fit instead."""
        try:
            before = self._session.library()
            changed = make(before)
            if changed != before:
                self._session.set_library(changed)
        except DeliveryLabError as error:
            self.refresh()
            self.show_problem(error)
            return False
        if changed != before:
            self.kept.emit(f"{said}.", before)
            self.refresh()
        return True
