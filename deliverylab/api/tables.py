"""Tidy pandas tables of a project: results, differences, positions, marks, budgets; and as files."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pandas import DataFrame

    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import Project


def results(of: Project | Delivery | Iterable[Delivery]) -> DataFrame:
    """Return every metric at every event as a table: value, u and U, or why it is not shown.

    Parameters
    ----------
    of : Project, Delivery or iterable of Delivery
        Whose; all of a project.

    Returns
    -------
    DataFrame, shape (n deliveries × n metrics and events, 18)
        ``value`` is NaN where nothing is shown, and ``reason`` says why.  ``attrs["units"]`` maps
        metric to unit: SI, ``deg``, ``%``, ``% height``.

    Examples
    --------
    >>> import deliverylab as dl
    >>> project = dl.example_project()
    >>> frame = dl.results(project.delivery("Aldery 1"))
    >>> frame.attrs["units"]["trunk_forward_tilt"]
    'deg'
    >>> at_release = frame[(frame.metric == "trunk_forward_tilt") & (frame.event == "release")]
    >>> bool(abs(at_release.value.item()) < 90.0)
    True
    """
    from deliverylab.core.metrics.evaluate import evaluate
    from deliverylab.core.report.tables import results_frame

    return results_frame([result for each in _deliveries(of) for result in evaluate(each)])


def differences(project: Project, a: str, b: str) -> DataFrame:
    """Return the differences a − b as a table, each with its U and a verdict, clear ones ranked.

    Parameters
    ----------
    project : Project
    a, b : str
        Who stands on either side: a delivery's name; several, ``Ana 1 + Ana 2``; ``all of Ana``;
        ``Ana on 2026-05-14``; or ``published college``.

    Returns
    -------
    DataFrame
        One row a metric and event; ``d`` is NaN where the two are not comparable, and ``reason`` says
        why.  ``attrs["units"]`` maps metric to unit.

    Raises
    ------
    NotFoundError
        Nobody of that name.

    Examples
    --------
    >>> import deliverylab as dl
    >>> frame = dl.differences(dl.example_project(), "Aldery 1", "Model")
    >>> sorted(set(frame.verdict))
    ['clear', 'not_comparable', 'within_error']
    """
    from deliverylab.core.compare.difference import compare_parties
    from deliverylab.core.compare.parties import party_of
    from deliverylab.core.report.tables import differences_frame

    parties = (party_of(project.record, text) for text in (a, b))
    return differences_frame(compare_parties(*parties))


def tracks(of: Project | Delivery | Iterable[Delivery]) -> DataFrame:
    """Return every position of every landmark as a table.

    Parameters
    ----------
    of : Project, Delivery or iterable of Delivery
        Whose; all of a project.

    Returns
    -------
    DataFrame, shape (n positions, 10)
        ``frame`` from 0; ``time_s`` on the clip's own clock and ``real_time_s``, seconds; ``x_px`` and
        ``y_px`` of the upright picture; ``u_px``, NaN where the landmark's default holds; ``origin``.
        ``attrs["units"]`` maps column to unit.

    Examples
    --------
    >>> import deliverylab as dl
    >>> frame = dl.tracks(dl.example_project().delivery("Aldery 1"))
    >>> frame.attrs["units"]["x_px"], frame.attrs["units"]["real_time_s"]
    ('px', 's')
    """
    from deliverylab.core.report.tables_tracks import tracks_frame

    return tracks_frame(_deliveries(of))


def events(of: Project | Delivery | Iterable[Delivery]) -> DataFrame:
    """Return every event mark as a table.

    Parameters
    ----------
    of : Project, Delivery or iterable of Delivery
        Whose; all of a project.

    Returns
    -------
    DataFrame, shape (n marks, 9)
        ``frame``, the nearest one; ``time_s`` on the clip's own clock, ``real_time_s`` and
        ``u_time_s``, seconds; ``origin``.  ``attrs["units"]`` maps column to unit.

    Examples
    --------
    >>> import deliverylab as dl
    >>> frame = dl.events(dl.example_project().delivery("Aldery 1"))
    >>> frame[frame.camera == "side"].event.tolist()[-2:]
    ['release', 'finish']
    """
    from deliverylab.core.report.tables_tracks import events_frame

    return events_frame(_deliveries(of))


def budgets(of: Project | Delivery | Iterable[Delivery]) -> DataFrame:
    """Return what each result's u is made of as a table, the largest part first.

    Parameters
    ----------
    of : Project, Delivery or iterable of Delivery
        Whose; all of a project.

    Returns
    -------
    DataFrame, shape (n parts, 10)
        ``u`` in the metric's unit; the squares of a result's parts add up to its own.
        ``attrs["units"]`` maps metric to unit.

    Examples
    --------
    >>> import deliverylab as dl
    >>> frame = dl.budgets(dl.example_project().delivery("Aldery 1"))
    >>> shares = frame.groupby(["metric", "event"]).share_of_variance.sum()
    >>> bool(((shares - 1.0).abs() < 1e-9).all())
    True
    """
    from deliverylab.core.metrics.evaluate import evaluate
    from deliverylab.core.report.tables_tracks import budgets_frame

    return budgets_frame([result for each in _deliveries(of) for result in evaluate(each)])


def write_table(table: DataFrame, path: str | Path) -> Path:
    """Write one of the tables as CSV, Parquet or JSON, by the file's ending; return the path.

    Parameters
    ----------
    table : DataFrame
        As the functions here return it; SI units, px and degrees are kept.
    path : str or pathlib.Path
        Ends in ``.csv``, ``.parquet`` (needs ``deliverylab[parquet]``; units go along) or ``.json``.

    Raises
    ------
    UsageError, NotFoundError, OutputError
        Another ending; Parquet without its library; not to be written there.
    """
    from deliverylab.core.report.table_files import write_frame

    return write_frame(table, path)


def read_table(path: str | Path) -> DataFrame:
    """Read a table that `write_table` wrote; every number comes back as it was.

    Parameters
    ----------
    path : str or pathlib.Path
        The file.

    Returns
    -------
    DataFrame
        Units come back in ``attrs`` from Parquet and JSON; a CSV holds none.

    Raises
    ------
    UsageError, NotFoundError, InputValueError
        Another ending; no such file, or Parquet without its library; no such table.
    """
    from deliverylab.core.report.table_files import read_frame

    return read_frame(path)


def _deliveries(of: Project | Delivery | Iterable[Delivery]) -> tuple[Delivery, ...]:
    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import Project

    if isinstance(of, Project):
        return of.record.deliveries
    return (of,) if isinstance(of, Delivery) else tuple(of)
