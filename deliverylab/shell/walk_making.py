"""The walkthrough's clip while it is made: it goes on when the panel is closed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.jobs import Job
from deliverylab.shell.session_walkthrough import MadeWalk

Report = Callable[[float], None]


class WalkMaking(QObject):
    """One clip at a time.

    Attributes
    ----------
    share : float
        Share of the clip that is made.
    made : Path or None
        The clip that was made last.

    Signals
    -------
    changed()
        Begun, gone on, or over.
    finished(object)
        A `MadeWalk`.
    failed(object)
        A `DeliveryLabError`.
    stopped()
        On request; nothing is left of it.
    """

    changed = Signal()
    finished = Signal(object)
    failed = Signal(object)
    stopped = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._job: Job | None = None
        self.share = 0.0
        self.made: Path | None = None

    @property
    def is_busy(self) -> bool:
        """Whether a clip is being made."""
        return self._job is not None

    def begin(self, work: Callable[[Report], MadeWalk]) -> None:
        """Make a clip; not while another one is made."""
        if self._job is not None:
            return
        self.share, self.made = 0.0, None
        job = self._job = Job(work, self)
        job.progressed.connect(self._on_progressed)
        job.finished.connect(self._on_finished)
        job.failed.connect(self._on_failed)
        job.ended.connect(self._on_ended)
        job.start()
        self.changed.emit()

    def cancel(self) -> None:
        """Stop making it; an older clip of that name is as it was."""
        if self._job is not None:
            self._job.cancel()

    def _on_progressed(self, share: float) -> None:
        self.share = share
        self.changed.emit()

    def _on_finished(self, made: MadeWalk) -> None:
        self.made = made.path
        self.finished.emit(made)

    def _on_failed(self, error: BaseException) -> None:
        if not isinstance(error, DeliveryLabError):
            raise error
        self.failed.emit(error)

    def _on_ended(self) -> None:
        job, self._job = self._job, None
        if job is not None and job.is_cancelled:
            self.stopped.emit()
        self.changed.emit()
