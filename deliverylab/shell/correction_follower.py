"""Follow landmarks anew beside corrected places, once the hand rests, without being in the way."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.changes import Change
from deliverylab.core.model.project import Project
from deliverylab.shell.jobs import Job
from deliverylab.shell.session import Session
from deliverylab.shell.session_tracking import Correction

REST_MS = 500
"""A drag or a run of nudges ends before its gaps are followed anew."""


class CorrectionFollower(QObject):
    """Collect corrections, and follow the gaps beside them in one job at a time.

    Signals
    -------
    failed(DeliveryLabError)
        The gaps could not be followed.
    """

    failed = Signal(object)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._waiting: dict[Correction, None] = {}
        self._job: Job | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(REST_MS)
        self._timer.timeout.connect(self._begin)
        session.corrected.connect(self._on_corrected)

    @property
    def is_busy(self) -> bool:
        """Whether anything waits or is being followed."""
        return self._timer.isActive() or self._job is not None

    def _on_corrected(self, correction: Correction) -> None:
        self._waiting[correction] = None
        self._timer.start()

    def _begin(self) -> None:
        if self._job is not None or not self._waiting:
            return  # the one that runs begins the next
        session = self._session
        corrections, self._waiting = tuple(self._waiting), {}
        existing = {
            (delivery.name, camera.name)
            for delivery in session.record.deliveries
            for camera in delivery.cameras
        }
        corrections = tuple(one for one in corrections if one[:2] in existing)
        project, edit = session.project, session.last_edit()
        index = session.undo_stack.index()
        job = Job(session.correction_work(corrections), self)
        job.finished.connect(lambda done: self._take(project, edit, index, done))
        job.failed.connect(self._on_failed)
        job.ended.connect(self._on_ended)
        self._job = job
        job.start()

    def _take(self, project: Project, edit: Change | None, index: int, done: Any) -> None:
        session = self._session
        # taken back meanwhile, or another project: what was followed starts from what is not there
        if session.project is not project or session.undo_stack.index() < index:
            return
        try:
            session.take_corrections(edit, done)
        except DeliveryLabError as error:
            self.failed.emit(error)

    def _on_failed(self, error: BaseException) -> None:
        if not isinstance(error, DeliveryLabError):
            raise error
        self.failed.emit(error)

    def _on_ended(self) -> None:
        self._job = None
        if self._waiting:
            self._timer.start()
