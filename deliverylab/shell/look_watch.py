"""What a person should check in the athlete's delivery, worked out beside the window when the hand rests."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from deliverylab.shell.jobs import Job
from deliverylab.shell.session import Session

if TYPE_CHECKING:
    from deliverylab.core.metrics.spec import Result
    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import ProjectRecord
    from deliverylab.core.workflow.review_entry import Look as Look  # noqa: PLC0414 (panes name it from here)

REST_MS = 200
"""How long nothing may have moved before anything is worked out anew."""
UNSEEN_REST_MS = 1000
"""The same while nobody sees more than how many entries there are."""


class LookWatch(QObject):
    """Follow what is to be checked, sooner while somebody sees the list.

    Attributes
    ----------
    looks : tuple of Look
        Of the delivery as it was found last, the worst first, without what somebody said is right.

    Signals
    -------
    updated()
        The list may be another one.
    """

    updated = Signal()

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._job: Job | None = None
        self._wanters: set[QObject] = set()
        self._of: Delivery | None = None
        self._found: tuple[Look, ...] = ()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.look)
        session.changed.connect(self._on_changed)
        session.results_updated.connect(self._on_results_updated)
        session.selection_changed.connect(self._on_results_updated)

    @property
    def looks(self) -> tuple[Look, ...]:
        """What is left to look at."""
        delivery = self._session.delivery("athlete")
        if delivery is None or self._of is None or delivery.name != self._of.name:
            return self._found
        cameras = {camera.name: camera for camera in delivery.cameras}
        return tuple(
            look
            for look in self._found
            if look.camera in cameras
            and not cameras[look.camera].is_right(look.landmark, look.frame, look.reason)
        )

    @property
    def is_due(self) -> bool:
        """Whether the list is of another state of the delivery."""
        return self._of is not self._session.delivery("athlete")

    def want(self, who: QObject, *, is_wanted: bool) -> None:
        """Say that somebody wants to see the list, or does not any more."""
        if is_wanted:
            self._wanters.add(who)
            self.look()
        else:
            self._wanters.discard(who)

    def look(self) -> None:
        """Work out what is due, unless it is under way."""
        if self._job is not None or not self.is_due:
            return
        delivery = self._session.delivery("athlete")
        if delivery is None:
            self._take((None, ()))
            return
        results = tuple(self._session.results("athlete"))
        job = self._job = Job(look_work(self._session.record, delivery, results), self)
        job.finished.connect(self._take)
        job.failed.connect(_raise)
        job.ended.connect(self._on_ended)
        job.start()

    def _on_changed(self, touches: frozenset[str]) -> None:
        if "looked_at" in touches:
            # later: whoever was pressed is taken off the list with it
            QTimer.singleShot(0, self, self.updated.emit)

    def _on_results_updated(self, *_ignored: object) -> None:
        self._timer.start(REST_MS if self._wanters else UNSEEN_REST_MS)

    def _take(self, found: tuple[Delivery | None, tuple[Look, ...]]) -> None:
        self._of, self._found = found
        self.updated.emit()

    def _on_ended(self) -> None:
        self._job = None
        self.look()  # what moved meanwhile


def look_work(
    record: ProjectRecord, delivery: Delivery, results: tuple[Result, ...]
) -> Callable[[Callable[[float], None]], tuple[Delivery, tuple[Look, ...]]]:
    """Return the work that lists what to check in a delivery."""

    def work(_report: Callable[[float], None]) -> tuple[Delivery, tuple[Look, ...]]:
        from deliverylab.core.workflow.review import to_look_at

        return delivery, to_look_at(record, delivery, results)

    return work


def _raise(error: BaseException) -> None:
    raise error
