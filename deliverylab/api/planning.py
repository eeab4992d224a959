"""Before filming: what a set-up would give, and the sheet to take to the field."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from pandas import DataFrame

    from deliverylab.core.report.page import Paper
    from deliverylab.core.synthetic.filming import FilmingSetUp
    from deliverylab.core.units import UnitSystem
    from deliverylab.core.vocabulary.landmarks import Hand
    from deliverylab.core.workflow.trust_delivery import Care


def trust(
    view: str = "open-side",
    *,
    distance_m: float = 8.0,
    yaw_deg: float = 0.0,
    rate_hz: float = 240.0,
    n: int = 100,
    n_workers: int = 1,
    set_up: FilmingSetUp | None = None,
    care: Care | None = None,
) -> DataFrame:
    """Simulate how well a set-up would measure: error, coverage, ± and what limits each metric.

    Parameters
    ----------
    view : str
        ``open-side``, ``closed-side``, ``rear`` or ``front``.
    distance_m, yaw_deg, rate_hz : float
        Where the phone stands, and its frames a second.
    n : int
        Number of simulated deliveries.
    n_workers : int
        Processes.  More than one needs the usual ``if __name__ == "__main__"`` around a script.
    set_up : FilmingSetUp, optional
        Everything about the camera, in place of the arguments above.
    care : Care, optional
        How carefully landmarks, scale and yaw are put in.

    Returns
    -------
    DataFrame
        One row a metric and event; SI and degrees.

    Raises
    ------
    InputValueError
        A set-up that cannot be.
    """
    from deliverylab.core.report.trust_table import trust_frame
    from deliverylab.core.synthetic.filming import FilmingSetUp
    from deliverylab.core.workflow import trust as simulation

    camera = set_up or FilmingSetUp(
        view=view, distance_m=distance_m, yaw_deg=yaw_deg, rate_hz=rate_hz
    )
    rows = simulation.trust(camera, care, n=n, n_workers=n_workers)
    return trust_frame([row.as_row() for row in rows])


def field_sheet(
    out: str | Path,
    *,
    field: str = "baseball",
    hand: Hand = "right",
    units: UnitSystem = "metric",
    paper: Paper = "a4",
    side_distance_m: float = 6.0,
    rear_distance_m: float = 6.0,
) -> Path:
    """Write the set-up sheet for filming with two phones as a PDF of one page.

    Arguments and errors are those of ``core.report.field_sheet.field_sheet_pdf``; OutputError
    where it cannot be written.
    """
    from deliverylab.core.report import page
    from deliverylab.core.report.field_sheet import field_sheet_pdf

    pdf = field_sheet_pdf(field, hand, units, paper, side_distance_m, rear_distance_m)
    return page.write_pdf(pdf, out)
