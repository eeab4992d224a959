"""Reading an athlete's progress delivery by delivery, so that the window stays awake meanwhile."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

if TYPE_CHECKING:
    from deliverylab.core.workflow.visits import Findings


class ProgressReading(QObject):
    """Measures an athlete's deliveries one a turn of the loop, then tells the courses.

    Results are remembered by the core, which no other thread may ask at the same time: it is done in the
    window's own one.

    Signals
    -------
    progressed(int, int)
        How many deliveries are measured, and of how many.
    finished(object, object)
        Courses, and remarks of what was passed over.
    """

    progressed = Signal(int, int)
    finished = Signal(object, object)

    def __init__(self, findings: Findings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._findings = findings
        self._turn = 0

    def read(self, athlete: str) -> None:
        """Begin with an athlete; one that is being read is given up."""
        from deliverylab.core.workflow.visits import athlete_deliveries

        self._turn += 1
        self._step(athlete_deliveries(self._findings, athlete), 0, self._turn)

    def _step(self, theirs: Findings, number: int, turn: int) -> None:
        if turn != self._turn:
            return
        from deliverylab.core.compare.pooled import results_of
        from deliverylab.core.compare.progress import progress

        deliveries = theirs.deliveries
        if number == len(deliveries):
            self.finished.emit(progress(deliveries), theirs.remarks)
            return
        self.progressed.emit(number, len(deliveries))
        results_of(deliveries[number])
        QTimer.singleShot(0, self, lambda: self._step(theirs, number + 1, turn))
