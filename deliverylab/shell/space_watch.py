"""What several clips of a delivery say together, worked out beside the window when the hand rests."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from deliverylab.core.model.delivery import Delivery
from deliverylab.shell.jobs import Job
from deliverylab.shell.session import Session

if TYPE_CHECKING:
    from deliverylab.core.cameras.consistency import LimbLength
    from deliverylab.core.workflow.space_figure import SpaceFigure

REST_MS = 200
"""How long nothing may have moved before anything is worked out anew."""


@dataclass(frozen=True, kw_only=True)
class SpaceFound:
    """What was worked out, and of which deliveries.

    Attributes
    ----------
    athlete, model : Delivery or None
    athlete_figure, model_figure : SpaceFigure or None
        None where nothing can be told in space.
    limbs : tuple of LimbLength
        Of the athlete's delivery.
    """

    athlete: Delivery | None = None
    model: Delivery | None = None
    athlete_figure: SpaceFigure | None = None
    model_figure: SpaceFigure | None = None
    limbs: tuple[LimbLength, ...] = ()


class SpaceWatch(QObject):
    """Follow the session's deliveries in space, as long as anybody wants to see them.

    Attributes
    ----------
    found : SpaceFound
        The latest; of an older state of the deliveries while work goes on.

    Signals
    -------
    updated()
        Something else was found, or work began or ended.
    """

    updated = Signal()

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._job: Job | None = None
        self._wanters: set[QObject] = set()
        self.found = SpaceFound()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(REST_MS)
        self._timer.timeout.connect(self.look)
        session.results_updated.connect(self._on_results_updated)
        session.selection_changed.connect(self._on_results_updated)

    @property
    def is_working(self) -> bool:
        """Whether something is being worked out."""
        return self._job is not None

    @property
    def is_due(self) -> bool:
        """Whether what was found is of another state of the deliveries."""
        found, session = self.found, self._session
        return found.athlete is not session.delivery("athlete") or (
            found.model is not session.partner()
        )

    def want(self, who: QObject, *, is_wanted: bool) -> None:
        """Say that somebody wants to see what is found, or does not any more."""
        if is_wanted:
            self._wanters.add(who)
            self.look()
        else:
            self._wanters.discard(who)

    def look(self) -> None:
        """Work out what is due, unless nobody wants it or it is under way."""
        if not self._wanters or self._job is not None or not self.is_due:
            return
        athlete, model = self._session.delivery("athlete"), self._session.partner()
        if all(one is None or one.space is None for one in (athlete, model)):
            self._take(SpaceFound(athlete=athlete, model=model))
            return
        job = self._job = Job(space_work(athlete, model), self)
        job.finished.connect(self._take)
        job.failed.connect(_raise)
        job.ended.connect(self._on_ended)
        job.start()

    def _on_results_updated(self, *_ignored: object) -> None:
        if self._wanters:
            self._timer.start()

    def _take(self, found: SpaceFound) -> None:
        self.found = found
        self.updated.emit()

    def _on_ended(self) -> None:
        self._job = None
        self.look()  # what moved meanwhile
        self.updated.emit()


def space_work(
    athlete: Delivery | None, model: Delivery | None
) -> Callable[[Callable[[float], None]], SpaceFound]:
    """Return the work that puts two deliveries in space."""

    def work(report: Callable[[float], None]) -> SpaceFound:
        from deliverylab.core.workflow.space_figure import space_figure
        from deliverylab.core.workflow.space_residuals import limb_lengths

        athlete_figure = None if athlete is None else space_figure(athlete)
        report(0.4)
        model_figure = None if model is None else space_figure(model)
        report(0.6)
        limbs: tuple[LimbLength, ...] = ()
        if athlete is not None and athlete_figure is not None:
            limbs = limb_lengths(athlete)
        return SpaceFound(
            athlete=athlete,
            model=model,
            athlete_figure=athlete_figure,
            model_figure=model_figure,
            limbs=limbs,
        )

    return work


def _raise(error: BaseException) -> None:
    raise error
