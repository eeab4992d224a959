"""The walkthrough beside the stages: where it stops, what it says and shows there, the clip."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QToolButton,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.messages import error_text
from deliverylab.shell.session import Session, Side
from deliverylab.shell.theme import icon, on_theme_changed
from deliverylab.shell.walk_content import (
    SPEEDS,
    length_text,
    number_choices,
    preview_size,
    stop_rows,
)
from deliverylab.shell.walk_making import WalkMaking
from deliverylab.shell.walk_preview import WalkPreview
from deliverylab.shell.widgets.draw_tools import DrawTools
from deliverylab.shell.widgets.stop_form import StopForm
from deliverylab.shell.widgets.stop_list import StopList
from deliverylab.shell.widgets.tool_panel import ToolPanel
from deliverylab.shell.widgets.voice_form import VoiceForm
from deliverylab.shell.widgets.walk_maker import WalkMaker
from deliverylab.shell.widgets.walk_picture import WalkPicture

SUGGESTED = "Suggested by what is measured; follows it until you change something."


class WalkthroughPanel(ToolPanel):
    """Edit the script; what is recorded, drawn and made is carried out by the window.

    Attributes
    ----------
    chosen : int
        The stop that is edited; -1 without one.
    last_picture : ndarray or None
        The picture of the clip that was drawn last, shape (h, w, 3) RGB.

    Signals
    -------
    stop_changed()
        Another stop is chosen, or what belongs to it.
    kind_chosen(str)
        What is drawn on the stages from now on; empty: nothing.
    large_wanted()
        Wish to see the clip's picture large.
    """

    stop_changed = Signal()
    kind_chosen = Signal(str)
    large_wanted = Signal()

    follows_clips = True

    def __init__(self, session: Session, making: WalkMaking, parent: QWidget | None = None) -> None:
        super().__init__("Walkthrough clip", session.active_side, parent)
        self._session, self._making = session, making
        self.chosen = -1
        self._n_captions = 0
        self._pair: tuple[str, str] | None = None
        self._previewed: object = None
        self.last_picture: NDArray[np.uint8] | None = None
        self.picture = WalkPicture()
        self.preview = WalkPreview(session, self)
        self.stops = StopList()
        self.add = QPushButton("Stop here too")
        self.add.setToolTip("Stop also at the frame that is shown (Ctrl+Shift+M)")
        self.up, self.down, self.remove = QToolButton(), QToolButton(), QToolButton()
        self.form, self.tools, self.voice = StopForm(), DrawTools(), VoiceForm()
        self.speed = QComboBox()
        self.speed.setAccessibleName("Speed of the movement")
        self.anew = QPushButton("Start over from what is measured")
        self.anew.setProperty("role", "link")
        self.maker = WalkMaker()
        self._suggested = text_label(SUGGESTED, "small")
        self._lay_out()
        self._connect()
        on_theme_changed(self, self._on_icons_wanted)
        self.refresh()

    def _lay_out(self) -> None:
        self.column.addWidget(self.picture)
        self.column.addWidget(self.problem)
        self.column.addWidget(self.stops)
        row = QHBoxLayout()
        row.addWidget(self.add, 1)
        for button, name in (
            (self.up, "Earlier (Alt+Up)"),
            (self.down, "Later (Alt+Down)"),
            (self.remove, "Take this stop out (Del)"),
        ):
            button.setToolTip(name)
            button.setAccessibleName(name)
            row.addWidget(button)
        self.column.addLayout(row)
        self.column.addWidget(self._suggested)
        self.column.addWidget(self.anew)
        self.column.addWidget(self.tools)
        self.column.addWidget(self.form)
        self.add_head("Speed and voice")
        pace = QHBoxLayout()
        pace.addWidget(QLabel("The movement runs at"))
        pace.addWidget(self.speed, 1)
        self.column.addLayout(pace)
        self.column.addWidget(self.voice)
        self.column.addStretch(1)
        outer = self.layout()
        if outer is not None:
            outer.removeWidget(self.done)
            outer.addWidget(self.maker)
            self.done.hide()

    def _connect(self) -> None:
        session = self._session
        self.stops.stop_chosen.connect(self.show_stop)
        self.stops.stop_moved.connect(self.move_stop)
        self.stops.removal_wanted.connect(self.remove_stop)
        self.add.clicked.connect(self.add_stop)
        self.up.clicked.connect(lambda: self.move_stop(self.chosen, self.chosen - 1))
        self.down.clicked.connect(lambda: self.move_stop(self.chosen, self.chosen + 1))
        self.remove.clicked.connect(lambda: self.remove_stop(self.chosen))
        self.anew.clicked.connect(lambda: self.try_to(session.forget_script))
        form, tools = self.form, self.tools
        form.pause_edited.connect(self._edits(session.set_pause))
        form.numbers_edited.connect(self._edits(session.set_numbers))
        form.caption_begun.connect(self._on_caption_begun)
        form.caption_edited.connect(self._on_caption_edited)
        tools.kind_chosen.connect(self.kind_chosen)
        tools.last_removed.connect(self.remove_last_drawing)
        tools.all_removed.connect(self._edits(session.remove_drawings))
        self.speed.activated.connect(
            lambda _row: self.try_to(lambda: session.set_walk_speed(self.speed.currentData()))
        )
        self.voice.offset_edited.connect(
            lambda offset_s: self.try_to(lambda: session.set_voice(session.voice_path(), offset_s))
        )
        self.voice.removal_wanted.connect(lambda: self.try_to(lambda: session.set_voice(None)))
        self.maker.size_chosen.connect(self.refresh)
        self.picture.pressed.connect(self.large_wanted)
        self.preview.drawn.connect(self._on_previewed)
        self.preview.failed.connect(lambda error: self.picture.say(error_text(error)))
        self._making.changed.connect(self._show_making)
        session.results_updated.connect(self.refresh)
        session.selection_changed.connect(self.refresh)
        session.display_changed.connect(self.refresh)
        session.frame_changed.connect(self._show_tools)

    def _edits(self, intent: Callable[..., None]) -> Callable[..., None]:
        """Return a slot that edits the chosen stop by an intent."""

        def edit(*values: object) -> None:
            if self.chosen >= 0:
                self.try_to(lambda: intent(self.chosen, *values))

        return edit

    def try_to(self, act: Callable[[], object]) -> None:
        """Carry something out, and say here why it does not work."""
        tell(self.problem, "")
        try:
            act()
        except DeliveryLabError as error:
            tell(self.problem, error_text(error))

    # --------------------------------------------------------------------------------- stops

    def show_first(self) -> None:
        """Show the first stop, unless another one is seen already."""
        shown = (at for at in range(self.stops.count()) if self._session.is_stop_shown(at))
        if self.stops.count():
            self.show_stop(next(shown, 0))

    def show_stop(self, index: int) -> None:
        """Choose a stop and show it on both stages."""
        self.chosen = index
        self.try_to(lambda: self._session.show_stop(index))
        self.refresh()

    def add_stop(self) -> None:
        """Stop also at the frame that is shown."""

        def add() -> None:
            self.chosen = self._session.add_stop()

        self.try_to(add)
        self.refresh()

    def move_stop(self, index: int, to: int) -> None:
        """Put a stop at another place; it stays chosen."""
        if 0 <= index < self.stops.count() and 0 <= to < self.stops.count():
            self.chosen = to
            self.try_to(lambda: self._session.move_stop(index, to))
        self.refresh()

    def remove_stop(self, index: int) -> None:
        """Take a stop out."""
        if 0 <= index < self.stops.count():
            self.try_to(lambda: self._session.remove_stop(index))
            self.said.emit("The stop is taken out.", "note")
        self.refresh()

    def remove_last_drawing(self) -> None:
        """Take the last drawing of the chosen stop away."""
        if self.chosen >= 0:
            self.try_to(lambda: self._session.remove_drawings(self.chosen, is_last_only=True))

    def _on_caption_begun(self) -> None:
        self._n_captions += 1

    def _on_caption_edited(self, caption: str) -> None:
        gesture = ("caption", self.chosen, self._n_captions)
        if self.chosen >= 0:
            self.try_to(lambda: self._session.set_caption(self.chosen, caption, gesture=gesture))

    # -------------------------------------------------------------------------------- showing

    def refresh(self, *_ignored: object) -> None:
        """Show the script as it is now."""
        session = self._session
        try:
            script = session.script()
        except DeliveryLabError as error:
            self._show_nothing(error)
            return
        if script.pair != self._pair:
            self._pair, self.chosen = script.pair, -1
            tell(self.problem, "")
        n_stops = len(script.stops)
        self.chosen = min(max(self.chosen, 0), n_stops - 1)
        self.stops.setEnabled(True)
        self.add.setEnabled(True)
        self.stops.show_stops(stop_rows(script.stops), self.chosen)
        self.up.setEnabled(self.chosen > 0)
        self.down.setEnabled(0 <= self.chosen < n_stops - 1)
        self.remove.setEnabled(self.chosen >= 0)
        self._suggested.setVisible(not session.has_own_script)
        self.anew.setVisible(session.has_own_script)
        self._show_stop()
        self._show_speed(script.speed)
        place = session.voice_path()
        is_lost = place is not None and not place.is_file()
        self.voice.show_voice(place.name if place else "", script.voice_offset_s, is_lost=is_lost)
        self._show_making()
        self._ask_picture()
        self.stop_changed.emit()

    def _show_nothing(self, error: DeliveryLabError) -> None:
        """Say why there is no walkthrough."""
        self._pair, self.chosen, self._previewed = None, -1, None
        self.stops.show_stops((), -1)
        for part in (self.stops, self.add, self.up, self.down, self.remove):
            part.setEnabled(False)
        self._suggested.hide()
        self.anew.hide()
        self._show_stop()
        self._show_making()
        self.picture.say(error_text(error))
        self.stop_changed.emit()

    def _show_stop(self) -> None:
        session, is_there = self._session, self.chosen >= 0
        self.form.setVisible(is_there)
        self.tools.setVisible(is_there)
        tell(self.tools.name, f"Stop {self.chosen + 1}" if is_there else "")
        if is_there:
            stop = session.script().stops[self.chosen]
            suggested = session.suggested_caption(self.chosen)
            self.form.show_stop(stop, suggested, number_choices(session, self.chosen))
        self._show_tools()

    def _show_tools(self, *_ignored: object) -> None:
        if self.chosen < 0:
            return
        try:
            n_drawings = len(self._session.script().stops[self.chosen].drawings)
        except (DeliveryLabError, IndexError):
            return  # the refresh that says why is on its way
        is_shown = self._session.is_stop_shown(self.chosen)
        self.tools.show_state(is_possible=is_shown, n_drawings=n_drawings)

    def _show_speed(self, speed: float) -> None:
        usual = {value for _, value in SPEEDS}
        if self.speed.count() != len(SPEEDS) or self.speed.findData(speed) < 0:
            self.speed.clear()
            for name, value in SPEEDS:
                self.speed.addItem(name, value)
            if speed not in usual:
                self.speed.addItem(f"{speed:.3g} × real time", speed)
        self.speed.setCurrentIndex(self.speed.findData(speed))

    def _show_making(self) -> None:
        try:
            length = length_text(len(self._session.walk_cues()))
        except DeliveryLabError:
            length = ""
        making = self._making
        self.maker.show_state(
            length=length, is_busy=making.is_busy, share=making.share, made=making.made
        )

    def _ask_picture(self) -> None:
        """Have the chosen stop drawn anew, where it would look different."""
        size = preview_size(self.maker.clip_size)
        session = self._session
        self.picture.set_shape(size)
        if self.chosen < 0:
            self._previewed = None
            self.picture.say("No stop yet: the movement runs through.")
            return
        record = session.record
        stop = session.script().stops[self.chosen]
        wanted = (self.chosen, size, stop, record.deliveries, record.unit_system, record.own_set,
                  record.partner_set, session.path, len(session.script().stops))  # fmt: skip
        if wanted != self._previewed:
            self._previewed = wanted
            self.preview.ask(self.chosen, size)

    def _on_previewed(self, _index: int, picture: NDArray[np.uint8]) -> None:
        if self._previewed is not None:  # else there is none any more
            self.last_picture = picture
            self.picture.show_picture(picture)

    def give_up(self) -> None:
        """Let the clips of the preview go; a clip that is being made goes on."""
        super().give_up()
        self.preview.close()

    def shown_drawings(self, side: Side) -> tuple:
        """Return what was drawn on a stage's picture; nothing unless the stop is seen there."""
        if self.chosen < 0 or not self._session.is_stop_shown(self.chosen):
            return ()
        stop = self._session.script().stops[self.chosen]
        return tuple(one for one in stop.drawings if one.side == side)

    def show_take(self, text: str, *, is_waiting: bool = False) -> None:
        """Show a recording that goes on, and bring it into sight; empty: none."""
        self.voice.show_take(text, is_waiting=is_waiting)
        area = self.findChild(QScrollArea)
        if text and area is not None:
            # once the card has its place
            QTimer.singleShot(0, self.voice.take, lambda: area.ensureWidgetVisible(self.voice.take))

    def where_voice_goes(self, suffix: str) -> Path | None:
        """Return a free name for a recording beside the project; None while that has no place."""
        path = self._session.path
        if path is None:
            return None
        names = (
            f"{path.stem} voice{f' {number}' if number > 1 else ''}{suffix}"
            for number in range(1, 1000)
        )
        return next(place for name in names if not (place := path.with_name(name)).exists())

    def _on_icons_wanted(self) -> None:
        for button, name in ((self.up, "less"), (self.down, "more"), (self.remove, "remove")):
            button.setIcon(icon(name))
