"""Suggested events of the clips on the stages, worked out beside the window when the hand rests."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtCore import QObject, QTimer

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.shell.jobs import Job
from deliverylab.shell.session import SIDES, Session, Side
from deliverylab.shell.session_answers import are_the_same
from deliverylab.shell.session_suggesting import Suggested

REST_MS = 250
"""How long nothing may have moved before anything is worked out anew."""
LOOKED_AT_ONLY = frozenset({"marks", "first_frame", "last_frame", "control", "depth_choices"})
"""What a camera holds that no suggestion rests on."""


class Asked(NamedTuple):
    """A clip on a stage whose events are to be suggested."""

    side: Side
    delivery: Delivery
    camera: Camera


class SuggestionWatch(QObject):
    """Keep the session's suggestions as its tracks, scales and solves are now.

    A mark that is set, moved or taken away asks for nothing: no suggestion rests on it.
    """

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._job: Job | None = None
        self._rests_on: tuple[object, ...] = ()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(REST_MS)
        self._timer.timeout.connect(self.look)
        session.results_updated.connect(self._timer.start)
        session.selection_changed.connect(self._on_selection_changed)

    @property
    def is_due(self) -> bool:
        """Whether what the session holds is of another state of the deliveries."""
        return not are_the_same(self._rests_on, _what_it_rests_on(self._asked()))

    @property
    def is_working(self) -> bool:
        """Whether suggestions are being worked out."""
        return self._job is not None

    def look(self) -> None:
        """Work out what is due, unless that is under way."""
        asked = self._asked()
        rests_on = _what_it_rests_on(asked)
        if self._job is not None or are_the_same(self._rests_on, rests_on):
            return
        self._rests_on = rests_on
        job = self._job = Job(suggestion_work(asked), self)
        job.finished.connect(self._on_found)
        job.failed.connect(_raise)
        job.ended.connect(self._on_ended)
        job.start()

    def _asked(self) -> tuple[Asked, ...]:
        session = self._session
        shown = ((side, session.delivery(side), session.camera(side)) for side in SIDES)
        return tuple(
            Asked(side, delivery, camera)
            for side, delivery, camera in shown
            if delivery is not None and camera is not None
        )

    def _on_selection_changed(self, _side: str) -> None:
        self._timer.start()

    def _on_found(self, found: dict[Side, Suggested]) -> None:
        for side in SIDES:
            self._session.take_suggestions(side, found.get(side))

    def _on_ended(self) -> None:
        self._job = None
        self._timer.start()  # what moved meanwhile


def suggestion_work(
    asked: tuple[Asked, ...],
) -> Callable[[Callable[[float], None]], dict[Side, Suggested]]:
    """Return the work that suggests the events of some clips."""

    def work(report: Callable[[float], None]) -> dict[Side, Suggested]:
        from deliverylab.core.workflow.suggesting import suggestions

        found: dict[Side, Suggested] = {}
        for number, (side, delivery, camera) in enumerate(asked, 1):
            each = suggestions(delivery, camera)
            found[side] = Suggested(delivery.name, camera.name, camera.timing, each)
            report(number / len(asked))
        return found

    return work


def _what_it_rests_on(asked: tuple[Asked, ...]) -> tuple[object, ...]:
    """Return the things that suggestions are worked out from; the same objects, nothing was edited."""
    things: list[object] = []
    for side, delivery, camera in asked:
        things += [side, camera.name]
        things += [
            getattr(delivery, name) for name in delivery.__struct_fields__ if name != "cameras"
        ]
        things += [
            getattr(each, name)
            for each in delivery.cameras
            for name in each.__struct_fields__
            if name not in LOOKED_AT_ONLY
        ]
    return tuple(things)


def _raise(error: BaseException) -> None:
    raise error
