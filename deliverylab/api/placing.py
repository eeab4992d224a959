"""How well landmarks are placed, and where their tracks put the events."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pandas import DataFrame

    from deliverylab.core.events.suggest import Suggestion
    from deliverylab.core.metrics.scatter import LandmarkScatter
    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import Project


def scatter(delivery: Delivery, landmark: str, camera: str | None = None) -> LandmarkScatter:
    """Return how much a landmark's positions scatter, and the cut-off that suits them.

    Parameters
    ----------
    delivery : Delivery
        Whose.
    landmark : str
        Key, ``left_knee``.
    camera : str, optional
        Name of one of its cameras; the first when None.

    Raises
    ------
    NotFoundError, InputValueError
        No such camera or landmark; too few positions in a row, or frames unevenly spaced.
    """
    from deliverylab.core.metrics.scatter import landmark_scatter

    return landmark_scatter(delivery, delivery.camera(camera), landmark)


def precision(project: Project) -> DataFrame:
    """Return how well each person places each part of the body, and how two people differ.

    Parameters
    ----------
    project : Project
        Whose landmarks were placed again.

    Returns
    -------
    DataFrame
        One row a person and part (``kind`` is ``repeats``), then one a pair, part and coordinate
        (``two people``); empty where nothing was placed again.  ``attrs["units"]`` maps column to
        unit.
    """
    from deliverylab.core.report.precision_table import precision_frame
    from deliverylab.core.workflow.precision import precision_report
    from deliverylab.core.workflow.precision_sheet import report_rows

    return precision_frame(report_rows(precision_report(project.record)))


def suggest_events(delivery: Delivery, camera: str | None = None) -> tuple[Suggestion, ...]:
    """Suggest event marks on a clip's own clock, each with its u and how it was found.

    Parameters
    ----------
    delivery : Delivery
        With tracks; cameras that are solved are used together.
    camera : str, optional
        Name of one of its cameras; the first when None.

    Returns
    -------
    tuple of Suggestion
        One an event; time and u are None where it is not found, and ``why`` says what is missing.

    Raises
    ------
    NotFoundError
        No such camera.
    """
    from deliverylab.core.workflow.suggesting import suggestions

    return suggestions(delivery, delivery.camera(camera))
