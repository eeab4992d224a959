"""Landmarks in space over time."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from pandas import DataFrame

    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.store.trajectories import Trajectories


def trajectories(delivery: Delivery) -> DataFrame:
    """Return the landmarks in space over time, as two or more solved cameras show them.

    Parameters
    ----------
    delivery : Delivery
        With solved cameras.

    Returns
    -------
    DataFrame
        One row an instant and landmark that is known there: ``x_m``, ``y_m``, ``z_m`` from the middle
        of the rubber's front edge, X to the plate, Y to the left of a pitcher who faces it, Z up,
        left-handers as they are; standard uncertainties ``u_x_m`` and so on; ``residual_px`` and
        ``residual_m``; ``n_views``; ``event``, named at the instant nearest to it.  ``time_s`` is
        real seconds on the first camera's clock.  ``attrs["units"]`` maps column to unit.

    Raises
    ------
    InputValueError
        Its cameras are not solved, or no two clips show a landmark at the same time.
    """
    from deliverylab.core.report.trajectory_table import trajectory_frame
    from deliverylab.core.workflow.space_export import tracks_in_space

    return trajectory_frame(tracks_in_space(delivery).columns())


def write_c3d(delivery: Delivery, path: str | Path) -> Path:
    """Write the landmarks in space over time as a C3D file, in metres; needs ``deliverylab[c3d]``.

    Parameters
    ----------
    delivery : Delivery
        With solved cameras.
    path : str or pathlib.Path
        Where to.

    Raises
    ------
    InputValueError, OutputError
        As for `trajectories`; not to be written there.
    """
    from deliverylab.core.store import c3d
    from deliverylab.core.workflow.space_export import tracks_in_space

    return c3d.write_c3d(path, tracks_in_space(delivery).trajectories())


def read_c3d(path: str | Path) -> Trajectories:
    """Read the points of a C3D file in metres, gaps as NaN; needs ``deliverylab[c3d]``.

    Raises
    ------
    NotFoundError, InputValueError
        No such file; damaged, or without points or a known unit of length.
    """
    from deliverylab.core.store import c3d

    return c3d.read_c3d(path)
