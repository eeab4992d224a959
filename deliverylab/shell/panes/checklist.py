"""The steps of the job, always in sight, and under them what needs a look."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import Camera
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.shell.actions_suggesting import ACCEPT_ALL
from deliverylab.shell.drawing.scroll_column import scroll_column
from deliverylab.shell.session import SIDES, Session, Side
from deliverylab.shell.session_film import Offer
from deliverylab.shell.suggest_content import missing_text
from deliverylab.shell.value_text import name_and_instant
from deliverylab.shell.widgets.look_card import LookCard
from deliverylab.shell.widgets.step_row import StepRow

STEPS = (
    ("clip", "Clip"),
    ("scale", "Scale"),
    ("events", "Events"),
    ("landmarks", "Landmarks"),
    ("cameras", "Cameras"),
    ("compare", "Compare"),
    ("plan", "Plan"),
    ("page", "Page"),
)


# what the steps above and the looks of this pane's own say already
SAID_ALREADY = (
    "cannot be found",
    "repeat the one before",
    "there is no scale",
    "not all marked",
    "has no camera",
    "no deliveries",
    "which is not here any more",
    "time axis is repaired",
    "speeds are withheld",
    "cameras are not solved",
    "cameras were solved before the field",
)


BALL_TOO = "The ball's speed beside the radar's says the same."
UNBELIEVABLE = "hardly believable"
"""How a result's caution begins that questions what was entered."""


@dataclass(frozen=True, kw_only=True)
class Look:
    """One thing that needs a look, and where to go for it."""

    what: str
    detail: str = ""
    level: str = "note"
    side: Side | None = None
    event: str = ""
    offer: Offer | None = None
    is_lost_clip: bool = False
    step: str = ""


class ChecklistPane(QWidget):
    """What is done, what is next, what is missing.

    Signals
    -------
    step_chosen(str)
        Wish to do this step.
    relink_wanted()
        Wish to say where a lost clip lies.
    offer_accepted(str)
        Something that was offered is done: what is to be said of it.
    """

    step_chosen = Signal(str)
    relink_wanted = Signal()
    offer_accepted = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: dict[str, StepRow] = {}
        self._looks: tuple[Look, ...] | None = None
        self._health: tuple[Look, ...] | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 10, 4, 8)
        column.setSpacing(2)
        for key, name in STEPS:
            row = StepRow(key, name)
            row.pressed.connect(self.step_chosen)
            self._rows[key] = row
            column.addWidget(row)
        self._head = QLabel("Needs a look")
        self._head.setProperty("role", "strong")
        self._head.setContentsMargins(9, 14, 0, 4)
        column.addWidget(self._head)
        self._area = scroll_column()
        # the steps come first: what scrolls gives way to them
        self._area.setMinimumHeight(1)
        column.addWidget(self._area, 1)
        # while a point is dragged the numbers follow at once, the list when the hand rests
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(120)
        self._timer.timeout.connect(self.refresh)
        session.results_updated.connect(self._timer.start)
        session.changed.connect(self._on_changed)
        session.selection_changed.connect(self._on_selection_changed)
        session.saved.connect(self._timer.start)
        session.suggestions_changed.connect(self._on_suggestions_changed)
        self.refresh()

    @property
    def steps(self) -> dict[str, StepRow]:
        """The rows by the step's key."""
        return dict(self._rows)

    @property
    def next_step(self) -> str:
        """The step that is next, or empty when all is done."""
        return next((key for key, row in self._rows.items() if row.state == "next"), "")

    @property
    def looks(self) -> tuple[Look, ...]:
        """What needs a look at present."""
        return self._looks or ()

    def _on_changed(self, touches: frozenset[str]) -> None:
        if touches - {"positions"}:
            self._health = None

    def _on_suggestions_changed(self, _side: str) -> None:
        self._timer.start()

    def _on_selection_changed(self, _side: str) -> None:
        self._health = None
        self._timer.start()

    def refresh(self) -> None:
        """Show how far the job is."""
        steps = {step.key: step for step in self._session.checklist()}
        for key, row in self._rows.items():
            step = steps.get(key)
            row.setVisible(step is not None)
            row.show_state(*((step.state, step.detail) if step else ("missing", "")))
        self._offer_events()
        looks = tuple(self._find_looks())
        if looks != self._looks:
            self._looks = looks
            self._rebuild(looks)

    def _offer_events(self) -> None:
        """Say at the step of events how many are suggested, and why others are not."""
        session, row, wanted = self._session, self._rows["events"], ""
        n_found = sum(len(session.open_suggestions(side)) for side in SIDES)
        if n_found:
            wanted = row.detail
            row.show_state(row.state, f"{n_found} suggested: {ACCEPT_ALL} accepts")
        missing = [
            f"{delivery.name}\n{text}"
            for side in SIDES
            if (delivery := session.delivery(side)) is not None
            and (text := missing_text(session, side))
        ]
        why = ["Not suggested:", *missing] if missing else []
        row.setToolTip("\n".join([*filter(None, [wanted]), *why]))

    def _find_looks(self) -> list[Look]:
        looks: list[Look] = []
        for side in SIDES:
            delivery, camera = self._session.delivery(side), self._session.camera(side)
            if delivery is None or camera is None:
                continue
            if camera.clip is not None and self._session.clip_path(side) is None:
                looks.append(
                    Look(
                        what=f"{delivery.name}: the clip is not where it was",
                        detail=camera.clip.path,
                        level="problem",
                        is_lost_clip=True,
                    )
                )
            looks.extend(self._find_doubtful_times(side, delivery.name))
            if camera.duplicate_frames and camera.timing.repair is None:
                n_repeats = len(camera.duplicate_frames)
                looks.append(
                    Look(
                        what=f"{delivery.name}: {n_repeats} repeated frames",
                        detail="Times are less certain than the frame rate suggests.",
                        side=side,
                    )
                )
            for event, n_missing in self._session.event_coverage(side).items():
                if n_missing:
                    looks.append(
                        Look(
                            what=f"{delivery.name}, {EVENTS[event].name}",
                            detail=f"{n_missing} landmarks to place that results need",
                            side=side,
                            event=event,
                        )
                    )
            looks.extend(self._find_unbelievable(side))
        if self._health is None:
            self._health = tuple(self._find_health())
        looks.extend(self._health)
        order = {"problem": 0, "caution": 1, "note": 2}
        return sorted(looks, key=lambda look: order[look.level])

    def _find_doubtful_times(self, side: Side, name: str) -> list[Look]:
        """Return what is odd about marks and times, with what can be done about it."""
        matters = list(self._session.time_matters(side))
        looks = []
        for complaint in self._session.complaints(side):
            mending = [one for one in matters if _mends(one.offer, complaint)]
            matters = [one for one in matters if one not in mending]
            # ball and radar may come to the same rate on their own
            more = f". {BALL_TOO}" if len(mending) > 1 else ""
            looks.append(
                Look(
                    what=name,
                    detail=f"{complaint[:1].upper()}{complaint[1:]}{more}",
                    level="caution",
                    side=side,
                    offer=mending[0].offer if mending else None,
                )
            )
        looks.extend(
            Look(
                what=f"{name}: {one.title}",
                detail=one.text,
                level=one.level,
                side=side,
                offer=one.offer,
            )
            for one in matters
        )
        return looks

    def _find_unbelievable(self, side: Side) -> list[Look]:
        """Return the results that nobody reaches: a wrong hand, mark or scale shows in them."""
        camera = self._session.camera(side)
        if camera is None:
            return []
        return [
            Look(
                what=f"{result.delivery}: {name_and_instant(result)}",
                detail=f"{caution[:1].upper()}{caution[1:]}",
                level="caution",
                side=side,
                event=_instant_to_look_at(result, camera),
            )
            for result in self._session.results(side)
            for caution in result.cautions
            if result.is_shown and caution.startswith(UNBELIEVABLE)
        ]

    def _find_health(self) -> list[Look]:
        """Return what the health check says of the shown deliveries beyond all that."""
        session = self._session
        complaints = {text for side in SIDES for text in session.complaints(side)}
        names = [one.name for side in SIDES if (one := session.delivery(side)) is not None]
        return [
            Look(
                what=finding.where,
                detail=f"{finding.what[:1].upper()}{finding.what[1:]}: {finding.remedy}",
                level="caution" if finding.level == "problem" else "note",
                step="cameras" if "cameras" in finding.what else "",
            )
            for finding in session.findings()
            if finding.level != "ok"
            and not any(finding.what in text for text in complaints)
            and any(finding.where.startswith(name) for name in names)
            and not any(text in finding.what for text in SAID_ALREADY)
        ]

    def _rebuild(self, looks: tuple[Look, ...]) -> None:
        self._head.setVisible(bool(looks))
        at = self._area.verticalScrollBar().value()
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(2, 0, 4, 0)
        column.setSpacing(6)
        for look in looks:
            card = LookCard(
                look.what,
                look.detail,
                level=look.level,
                action=look.offer.button if look.offer else "",
            )
            card.pressed.connect(lambda one=look: self._on_look_pressed(one))
            card.action_chosen.connect(lambda one=look: self._on_offer_accepted(one))
            column.addWidget(card)
        column.addStretch(1)
        self._area.setWidget(body)
        self._area.verticalScrollBar().setValue(at)

    def _on_look_pressed(self, look: Look) -> None:
        if look.is_lost_clip:
            self.relink_wanted.emit()
        elif look.step:
            self.step_chosen.emit(look.step)
        elif look.side is not None:
            self._session.activate(look.side)
            if look.event:
                self._session.go_to_event(look.event)

    def _on_offer_accepted(self, look: Look) -> None:
        if look.offer is not None:
            self._session.accept(look.offer)
            self.offer_accepted.emit(look.offer.said)


def _mends(offer: Offer | None, complaint: str) -> bool:
    """Return whether an offer is the one that a complaint names."""
    rate_hz = offer.capture_rate_hz if offer is not None else None
    return rate_hz is not None and any(
        f"{shown} frames a second" in complaint for shown in (f"{rate_hz:.0f}", f"{rate_hz:.6g}")
    )


def _instant_to_look_at(result: Result, camera: Camera) -> str:
    """Return the marked event at which a result can be checked, the last it was taken at; or empty."""
    from deliverylab.core.metrics.catalogue import metric
    from deliverylab.core.metrics.inputs import marked_event

    events = reversed(metric(result.metric).instants(result.event))
    return next((one for event in events if (one := marked_event(camera, event))), "")
