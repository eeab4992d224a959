"""Cameras of a delivery: where they stood, how their clocks go together, what does not fit."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import Project
    from deliverylab.core.workflow.space_alone import AloneOutcome
    from deliverylab.core.workflow.space_residuals import WorstPlace
    from deliverylab.core.workflow.space_solve import SolveOutcome
    from deliverylab.core.workflow.space_sync import ClockCurve


def solve(project: Project, delivery: str) -> SolveOutcome:
    """Solve the cameras of a delivery and of all filmed with them left in place; keep the result.

    Parameters
    ----------
    project : Project
        Its field is clicked in two pictures or more; it is changed.
    delivery : str
        Name of any delivery of the session.

    Returns
    -------
    SolveOutcome
        With ``solution.is_refused`` where nothing may be shown from it, and ``solution.findings``.

    Raises
    ------
    NotFoundError, InputValueError
        No such delivery; too little is clicked, or nothing tells how the clocks go together.
    """
    from deliverylab.core.workflow import space_solve

    outcome = space_solve.solve(project, delivery)
    project.apply(outcome.changes)
    return outcome


def solve_camera(project: Project, delivery: str, camera: str) -> AloneOutcome:
    """Solve one camera by its clicks alone, and give it the scale that follows.

    Raises
    ------
    NotFoundError, InputValueError
        No such delivery or camera; too little is clicked.
    """
    from deliverylab.core.workflow import space_alone

    outcome = space_alone.solve_alone(project, delivery, camera)
    if outcome.change is not None:
        project.apply(outcome.change)
    return outcome


def sync(project: Project, delivery: str) -> tuple[ClockCurve, ...]:
    """Return how each further clip goes with the first over the shift of its clock.

    Raises
    ------
    NotFoundError, InputValueError
        As for `solve`; or the clips hold too little shared movement.
    """
    from deliverylab.core.workflow import space_sync

    return space_sync.sync_curves(project, delivery)


def worst_places(delivery: Delivery) -> tuple[WorstPlace, ...]:
    """List the positions that solved clips contradict each other about, worst first."""
    from deliverylab.core.workflow import space_residuals

    return space_residuals.worst_places(delivery)
