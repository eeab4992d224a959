"""How well landmarks are placed, and where their tracks put the events."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from pandas import DataFrame

    from deliverylab.core.events.suggest import Suggestion
    from deliverylab.core.metrics.scatter import LandmarkScatter
    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import Project
    from deliverylab.core.workflow.detection import Detection
    from deliverylab.core.workflow.steadying import Steadying
    from deliverylab.core.workflow.tracking import Tracking


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


def detect_landmarks(
    project: Project,
    project_path: str | Path,
    delivery: str,
    camera: str | None = None,
    *,
    box: tuple[float, float, float, float] | None = None,
    frames: tuple[int, int] | None = None,
    step: int = 1,
) -> Detection:
    """Suggest landmarks in a clip with the detector, and take over those that pass its checks.

    Parameters
    ----------
    project : Project
        It is changed, in one step that can be undone; what was placed by hand stays.
    project_path : str or pathlib.Path
        Its file, which the clip's path is relative to.
    delivery : str
        Name of the delivery.
    camera : str, optional
        Name of one of its cameras; the first when None.
    box : tuple of float, optional
        Left, top, width and height about the athlete in the first of the frames, px.
    frames : (int, int), optional
        First and last frame; the trimmed clip without.
    step : int
        Every how many frames.

    Returns
    -------
    Detection
        With what still waits to be placed by hand in ``waiting``, the most important first.

    Raises
    ------
    NotFoundError
        The detector is not installed (``deliverylab get-detector``), or no such delivery or camera.
    ClipError
        The clip cannot be read, or nobody is found in it.
    InputValueError
        Several people are there and no box says who, or no such frames.
    """
    from deliverylab.core.workflow import detecting

    chosen = project.delivery(delivery)
    own = chosen.camera(camera)
    found = detecting.detect(
        chosen, own, project_path, detecting.installed_network(), box=box, frames=frames, step=step
    )
    project.apply(detecting.detection_change(chosen, own, found))
    return found


def track_landmarks(
    project: Project,
    project_path: str | Path,
    delivery: str,
    camera: str | None = None,
    *,
    landmarks: Iterable[str] | None = None,
    frames: tuple[int, int] | None = None,
    from_detected: bool = True,
) -> Tracking:
    """Follow placed landmarks through a clip, and take over where they are seen to go.

    Parameters
    ----------
    project : Project
        It is changed, in one step that can be undone; what was placed by hand stays.
    project_path : str or pathlib.Path
        Its file, which the clip's path is relative to.
    delivery : str
        Name of the delivery.
    camera : str, optional
        Name of one of its cameras; the first when None.
    landmarks : iterable of str, optional
        Keys; all that are placed when None.
    frames : (int, int), optional
        First and last frame; the trimmed clip without.
    from_detected : bool
        Whether the detector's places are started from as well.

    Returns
    -------
    Tracking
        With the stretches in which a landmark was lost, and why, in ``lost``.

    Raises
    ------
    NotFoundError
        No such delivery, camera or landmark.
    ClipError
        The clip cannot be read.
    InputValueError
        Nothing is placed to start from, or no such frames.
    """
    from deliverylab.core.workflow import tracking

    chosen = project.delivery(delivery)
    own = chosen.camera(camera)
    found = tracking.track(
        chosen, own, project_path, landmarks=landmarks, frames=frames, from_detected=from_detected
    )
    project.apply(tracking.tracking_change(chosen, own, found))
    return found


def take_motion_out(
    project: Project,
    project_path: str | Path,
    delivery: str,
    camera: str | None = None,
    *,
    reference_frame: int | None = None,
) -> Steadying:
    """Find how a clip's camera turned or shook, and take that out of all results.

    Parameters
    ----------
    project : Project
        It is changed, in one step that can be undone; positions stay as they were clicked.
    project_path : str or pathlib.Path
        Its file, which the clip's path is relative to.
    delivery : str
        Name of the delivery.
    camera : str, optional
        Name of one of its cameras; the first when None.
    reference_frame : int, optional
        The frame in which scale and field were clicked; the first shown one when None.

    Returns
    -------
    Steadying
        What the background told; a camera that stood still changes nothing.

    Raises
    ------
    ClipError
        The clip cannot be read.
    InputValueError
        The background tells too little, or no such frame.
    """
    from deliverylab.core.workflow import steadying

    chosen = project.delivery(delivery)
    own = chosen.camera(camera)
    found = steadying.steady(chosen, own, project_path, reference_frame=reference_frame)
    project.apply(steadying.steadying_change(chosen, own, found))
    return found
