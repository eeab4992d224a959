"""The scrub bar bound to the session, with the events to mark and the curve to show."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QCursor
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QMenu,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.metrics.curves import CURVE_METRICS, Curve
from deliverylab.core.vocabulary.events import EVENTS
from deliverylab.shell import scrub_content
from deliverylab.shell.actions_suggesting import ACCEPT_ALL
from deliverylab.shell.messages import NoticeBar, error_text
from deliverylab.shell.session import SIDES, Session, Side
from deliverylab.shell.suggest_content import event_note, list_text, missing_text, offer_text
from deliverylab.shell.theme import icon, on_theme_changed
from deliverylab.shell.widgets.scrub_bar import ScrubBar

ALL_MARKED = "All events are marked. Ctrl+Enter does what is next, F1 lists all keys."
SETTLE_MS = 60


def as_side(text: str) -> Side:
    """Return a signal's side as one."""
    return "model" if text == "model" else "athlete"


class ScrubPane(QFrame):
    """Show where both deliveries stand, and let the hand move there.

    Attributes
    ----------
    bar : ScrubBar
        The bar itself.
    curve_chooser : QComboBox
        Which metric's curve is drawn.
    accept : QToolButton
        Marks all that is suggested; not there while nothing is.
    hint : str
        What is to be marked next, or what is doubtful about the marks.

    Signals
    -------
    hint_changed(str)
        The hint is another now.
    acceptance_wanted(str, object)
        Wish to mark events where they are suggested: side and events.
    """

    hint_changed = Signal(str)
    acceptance_wanted = Signal(str, object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._is_curve_chosen = False
        self.hint = ""
        self.setObjectName("pane")
        self.bar = ScrubBar()
        self.notice = NoticeBar()
        self.curve_chooser = QComboBox()
        self.curve_chooser.setAccessibleName("Curve below the frames")
        self.curve_chooser.setToolTip("Curve below the frames")
        self.curve_chooser.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        for key, course in scrub_content.COURSES.items():
            self.curve_chooser.addItem(course.name, key)
        self._mark = self._button("Mark an event at the shown frame", "flag")
        self._mark.setText("Mark here")
        self._mark.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self._mark.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._mark.setMenu(QMenu(self._mark))
        self._mark.menu().aboutToShow.connect(self._on_mark_menu_opened)
        self.accept = self._button("Mark all events where they are suggested", "done")
        self.accept.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self._before = self._button("Previous event", "event_before")
        self._after = self._button("Next event", "event_after")
        self._link = self._button("Partner follows at the same phase", "link")
        self._link.setCheckable(True)
        self._lay_out()
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self._rebuild)
        self._connect()
        on_theme_changed(self, self._on_theme_changed)
        self._on_display_changed()

    def _button(self, name: str, icon_name: str) -> QToolButton:
        button = QToolButton()
        button.setAccessibleName(name)
        button.setToolTip(name)
        button.setIconSize(QSize(18, 18))
        button.setProperty("iconName", icon_name)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(8, 2, 10, 0)
        head.setSpacing(6)
        head.addWidget(self._mark)
        head.addWidget(self.accept)
        self._head_room = head.count()
        head.addStretch(1)
        self._head = head
        for widget in (self._before, self._after, self._link, self.curve_chooser):
            head.addWidget(widget)
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 6, 4, 6)
        column.setSpacing(4)
        column.addLayout(head)
        column.addWidget(self.notice)
        column.addWidget(self.bar, 1)

    def _connect(self) -> None:
        session, bar = self._session, self.bar
        session.changed.connect(self._on_changed)
        session.selection_changed.connect(self._on_selection_changed)
        session.results_updated.connect(self._settle.start)
        session.suggestions_changed.connect(self._on_suggestions_changed)
        session.waiting_changed.connect(self._on_suggestions_changed)
        session.frame_changed.connect(self._on_frame_changed)
        session.display_changed.connect(self._on_display_changed)
        bar.frame_requested.connect(self._on_frame_requested)
        bar.frames_stepped.connect(session.step)
        bar.events_stepped.connect(session.next_event)
        bar.event_chosen.connect(session.go_to_event)
        bar.side_chosen.connect(lambda side: session.activate(as_side(side)))
        bar.mark_drag_started.connect(lambda *_: session.begin_gesture())
        bar.mark_drag_ended.connect(lambda *_: session.end_gesture())
        bar.mark_moved.connect(self._mark_event)
        bar.mark_requested.connect(self._on_mark_requested)
        bar.trim_chosen.connect(self._on_trim_chosen)
        bar.mark_removed.connect(lambda side, key: session.remove_mark(as_side(side), key))
        bar.suggestion_chosen.connect(
            lambda side, key: self.acceptance_wanted.emit(as_side(side), (key,))
        )
        self.accept.clicked.connect(self._on_accept_clicked)
        self._before.clicked.connect(lambda: session.next_event(-1))
        self._after.clicked.connect(lambda: session.next_event(1))
        self._link.toggled.connect(self._on_link_toggled)
        self.curve_chooser.activated.connect(self._on_curve_chosen)

    def add_to_head(self, part: QWidget) -> None:
        """Put a part of the window's own into the line above the bar."""
        self._head.insertWidget(self._head_room, part)

    # ------------------------------------------------------------------- following the session

    def set_warming(self, side: str, fraction: float) -> None:
        """Show how much of a stage's clip answers at once."""
        self.bar.set_warming(side, fraction)

    def _on_changed(self, touches: frozenset[str]) -> None:
        if touches - {"positions", "scale"}:
            self._rebuild()
        else:
            self._settle.start()

    def _on_suggestions_changed(self, _side: str) -> None:
        self._settle.start()

    def _on_selection_changed(self, _side: str) -> None:
        self._is_curve_chosen = False
        self._settle.start()

    def _on_display_changed(self) -> None:
        session = self._session
        self.bar.set_active(session.active_side)
        self._link.setChecked(session.is_linked)
        self._link.setVisible(session.delivery("model") is not None)
        self._rebuild()

    def _on_frame_changed(self, _side: str, _frame: int) -> None:
        self._show_frames()

    def _show_frames(self) -> None:
        session = self._session
        frames: dict[str, int] = {
            side: session.state(side).frame for side in SIDES if session.camera(side) is not None
        }
        label = scrub_content.playhead_label(session, session.active_side)
        self.bar.set_frames(frames, label)

    def _rebuild(self) -> None:
        """Draw rows, marks and curves anew."""
        self._settle.stop()
        session = self._session
        if not self._is_curve_chosen:
            self._choose_curve()
        self.bar.set_scene(scrub_content.scrub_scene(session, self.curve_chooser.currentData()))
        self._show_frames()
        has_delivery = session.camera(session.active_side) is not None
        for widget in (self._mark, self._before, self._after, self.curve_chooser):
            widget.setEnabled(has_delivery)
        self._show_offer()
        hint = self._wanted_hint() if has_delivery else ""
        if hint != self.hint:
            self.hint = hint
            self.hint_changed.emit(hint)

    def _show_offer(self) -> None:
        """Offer what is suggested, and say where events are marked why others are not."""
        session, side = self._session, self._session.active_side
        n_found = len(session.open_suggestions(side))
        self.accept.setVisible(n_found > 0)
        self.accept.setText(f"Accept {n_found}")
        self.accept.setToolTip(
            f"Mark all events where they are suggested ({ACCEPT_ALL}):\n{list_text(session, side)}"
        )
        missing = missing_text(session, side) if session.camera(side) is not None else ""
        also = f"\nNot suggested:\n{missing}" if missing else ""
        self._mark.setToolTip(f"{self._mark.accessibleName()}{also}")

    def _wanted_hint(self) -> str:
        """Return what is doubtful about the marks, else what is suggested or to be marked next."""
        session, side = self._session, self._session.active_side
        complaints = session.complaints(side)
        if complaints:
            return complaints[0][:1].upper() + complaints[0][1:]
        offer = offer_text(session, side)
        event = scrub_content.next_event_to_mark(session, side)
        if offer or event is None:
            return offer or ALL_MARKED
        why = session.why_not_suggested(side).get(event.key)
        number = EVENTS.index(event) + 1
        hint = f"To mark next: {event.name}, {event.cue} (key {number})"
        return f"{hint}. Not suggested: {why}" if why else hint

    def _choose_curve(self) -> None:
        """Show the first metric that has a curve, until somebody chooses."""
        session = self._session
        for index, key in enumerate(CURVE_METRICS):
            if any(isinstance(session.curve(side, key), Curve) for side in SIDES):
                self.curve_chooser.setCurrentIndex(index)
                return

    def _on_theme_changed(self) -> None:
        for button in (self._mark, self.accept, self._before, self._after, self._link):
            button.setIcon(icon(str(button.property("iconName"))))

    # ------------------------------------------------------------------------------ intents

    def _on_accept_clicked(self) -> None:
        side = self._session.active_side
        found = self._session.open_suggestions(side)
        self.acceptance_wanted.emit(side, tuple(each.event for each in found))

    def _on_frame_requested(self, side: str, frame: int) -> None:
        self._session.activate(as_side(side))
        self._session.show_frame(as_side(side), frame)

    def _mark_event(self, side: str, key: str, time_s: float) -> None:
        try:
            self._session.mark_event(as_side(side), key, time_s)
        except DeliveryLabError as error:
            self.notice.say(error_text(error), "problem")

    def _on_trim_chosen(self, side: str, first_frame: int, last_frame: int) -> None:
        self._session.activate(as_side(side))
        try:
            self._session.set_trim(as_side(side), first_frame, last_frame)
        except DeliveryLabError as error:
            self.notice.say(error_text(error), "problem")

    def _on_mark_requested(self, side: str, time_s: float) -> None:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._fill_mark_menu(menu, as_side(side), time_s)
        menu.popup(QCursor.pos())

    def _on_mark_menu_opened(self) -> None:
        side = self._session.active_side
        self._fill_mark_menu(self._mark.menu(), side, self._session.time_s(side))

    def _fill_mark_menu(self, menu: QMenu, side: Side, time_s: float) -> None:
        menu.clear()
        camera = self._session.camera(side)
        marks = camera.marks if camera is not None else {}
        for number, event in enumerate(EVENTS, 1):
            mark = marks.get(event.key)
            now = f"  ({mark.time_s:.3f} s)" if mark is not None else ""
            action = menu.addAction(f"{event.name}{now}\t{number}")
            note = event_note(self._session, side, event.key)
            action.setToolTip(f"{event.cue}\n{note}" if note else event.cue)
            action.triggered.connect(partial(self._on_mark_chosen, side, event.key, time_s))
        menu.setToolTipsVisible(True)

    def _on_mark_chosen(self, side: Side, key: str, time_s: float, _on: bool = False) -> None:
        self._mark_event(side, key, time_s)

    def _on_link_toggled(self, is_linked: bool) -> None:
        if is_linked != self._session.is_linked:
            self._session.set_linked(is_linked)

    def _on_curve_chosen(self, _index: int) -> None:
        self._is_curve_chosen = True
        self._rebuild()
