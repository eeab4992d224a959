"""An athlete over visits, and how alike the deliveries of a session are."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    import pandas as pd

    from deliverylab.core.model.delivery import Delivery


def progress(folder: str | Path, athlete: str) -> pd.DataFrame:
    """Return how an athlete's numbers go over the visits in a folder's project files.

    Parameters
    ----------
    folder : str or pathlib.Path
        Where the ``.delivery`` files lie.
    athlete : str
        Name.

    Returns
    -------
    DataFrame
        One row a metric and visit: mean, U, spread, n, and what changed since the first visit, with the
        least change that can be told; ``attrs["units"]`` maps metric to unit, ``attrs["remarks"]`` are
        the files and deliveries that were passed over.

    Raises
    ------
    NotFoundError
        No such folder, or no delivery of this athlete.
    """
    from deliverylab.core.compare import progress as over_visits
    from deliverylab.core.report.progress_table import progress_frame
    from deliverylab.core.workflow.visits import athlete_deliveries, deliveries_in

    found = athlete_deliveries(deliveries_in(folder), athlete)
    frame = progress_frame({athlete: over_visits.progress(found.deliveries)})
    frame.attrs["remarks"] = list(found.remarks)
    return frame


def repeatability(deliveries: Sequence[Delivery]) -> pd.DataFrame:
    """Return how far the deliveries of a session spread, metric by metric.

    Parameters
    ----------
    deliveries : sequence of Delivery
        Two or more of one athlete.

    Returns
    -------
    DataFrame
        One row a metric: n, mean, standard deviation with its 95 % interval, what placing and marking
        alone let it be, and what is left for the athlete; ``attrs["units"]`` maps metric to unit.
    """
    from deliverylab.core.compare import repeatability as over_a_session
    from deliverylab.core.report.progress_table import repeatability_frame

    return repeatability_frame(over_a_session.repeatability(deliveries))
