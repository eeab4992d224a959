"""One camera solved by itself: its true yaw, distance and height for results of one camera."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from deliverylab.core.cameras.control import ControlPoint
from deliverylab.core.cameras.diagnosis import diagnose_camera
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.layout import Finding, check_layout
from deliverylab.core.cameras.point_residuals import click_residuals
from deliverylab.core.cameras.resection import Resection, solve_camera
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.clip_changes import SetScale
from deliverylab.core.model.project import Project
from deliverylab.core.model.space import ControlResidual, SetUpFinding
from deliverylab.core.workflow.space_facts import StoodAt, stood_at
from deliverylab.core.workflow.space_result import kept_finding, kept_residual
from deliverylab.core.workflow.space_scale import solved_scale
from deliverylab.core.workflow.space_set_up import control_points, field_of, set_up_of, source_of

DOUBTFUL_YAW_DEG, REFUSED_YAW_DEG = 1.5, 5.0
"""u of the yaw beyond which a camera solved alone is doubtful, and no better than by eye: judgement
(a turn of 10 degrees costs trunk tilt at release some 4 degrees)."""


@dataclass(frozen=True, kw_only=True)
class AloneOutcome:
    """A camera solved by itself.

    Attributes
    ----------
    change : SetScale or None
        Gives the camera the scale that follows; None where nothing may be taken from the solve.
    resection : Resection
    stood : StoodAt
        Where it stood, with u.
    residuals : tuple of ControlResidual
    findings : tuple of SetUpFinding
    """

    change: SetScale | None
    resection: Resection
    stood: StoodAt
    residuals: tuple[ControlResidual, ...]
    findings: tuple[SetUpFinding, ...]

    @property
    def is_refused(self) -> bool:
        """Whether nothing may be taken from it."""
        return self.change is None


def solve_alone(project: Project, delivery: str, camera: str) -> AloneOutcome:
    """Solve one camera of a delivery from its clicks on the field.

    Parameters
    ----------
    project : Project
        It is not changed: apply the outcome's `change`.
    delivery, camera : str

    Raises
    ------
    NotFoundError
        No such delivery or camera.
    InputValueError
        Too few points of known place are clicked.
    """
    asked = project.delivery(delivery)
    source, field = source_of(project, asked), field_of(project, asked)
    model = source.camera(camera)
    points = control_points(field)
    set_up = set_up_of(model, source.athlete.hand)
    keys = {point.key for point in points}
    set_up = replace(
        set_up, clicks_px={key: at for key, at in set_up.clicks_px.items() if key in keys}
    )
    if not set_up.clicks_px:
        raise InputValueError(
            "nothing of the field is clicked in this picture",
            where=f"{source.name}: {camera}",
            remedy="click the rubber's corners and the cones",
        )
    resection = solve_camera(set_up, points)
    stood = stood_at(
        camera, resection.camera, resection.covariance, model.view, source.athlete.hand
    )
    findings = tuple(kept_finding(each) for each in _findings(resection, set_up, points, stood))
    scale = None
    if not any(each.severity == "refused" for each in findings):
        scale = solved_scale(resection.camera, resection.covariance, model.view, asked.athlete.hand)
    residuals = click_residuals(
        (set_up,), (resection.camera,), resection.points_m, resection.adjustment
    )
    return AloneOutcome(
        change=None
        if scale is None
        else SetScale(delivery=delivery, camera=asked.camera(camera).name, scale=scale),
        resection=resection,
        stood=stood,
        residuals=tuple(kept_residual(each) for each in residuals),
        findings=findings,
    )


def _findings(
    resection: Resection,
    set_up: CameraSetUp,
    points: tuple[ControlPoint, ...],
    stood: StoodAt,
) -> Iterator[Finding]:
    yield from check_layout((set_up,), points, has_body=False, has_height=False)
    yield from diagnose_camera(resection, set_up, points)
    u_deg = stood.u.yaw_deg
    if not u_deg <= DOUBTFUL_YAW_DEG:
        yield Finding(
            key="unsure_yaw",
            severity="doubtful" if u_deg <= REFUSED_YAW_DEG else "refused",
            what=f"the clicks leave the yaw unsure by {u_deg:.1f}°",
            where=set_up.name,
            remedy="add cones ahead of the rubber and to both sides, or solve it with a second camera",
        )
