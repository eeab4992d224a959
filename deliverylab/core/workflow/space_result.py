"""A solve's result as a project keeps it with a delivery."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.diagnosis import Diagnosis
from deliverylab.core.cameras.joint_solve import Solution
from deliverylab.core.cameras.layout import Finding
from deliverylab.core.cameras.pinhole import N_PARAMETERS
from deliverylab.core.cameras.point_residuals import PointResidual, click_residuals
from deliverylab.core.model.project import Project
from deliverylab.core.model.scale import Point
from deliverylab.core.model.space import (
    ControlResidual,
    SetUpFinding,
    SolvedCamera,
    SpaceSolution,
)
from deliverylab.core.workflow.space_clocks import FilmedBody
from deliverylab.core.workflow.space_freshness import body_fingerprint, field_fingerprint
from deliverylab.core.workflow.space_ready import Ready

Array = NDArray[np.float64]


def solution_of(
    project: Project,
    body: FilmedBody,
    solution: Solution,
    diagnosis: Diagnosis,
    inputs: Ready,
) -> SpaceSolution:
    """Return what a delivery keeps of a solve: cameras, its own clocks, and how sure they are.

    Parameters
    ----------
    project : Project
    body : FilmedBody
        The delivery.
    solution, diagnosis : Solution, Diagnosis
    inputs : Ready
        What was solved.
    """
    moving = [each.delivery.name for each in inputs.moving]
    number = moving.index(body.delivery.name) if body.delivery.name in moving else None
    if number is not None:
        offsets_s = solution.offsets_s[number]
        covariance = solution.delivery_covariance(number)
    else:
        offsets_s, covariance = _by_marks(body, solution)
    residuals = click_residuals(
        inputs.set_ups, solution.cameras, solution.points_m, solution.adjustment
    )
    worst_deg = diagnosis.quality.worst_deg
    return SpaceSolution(
        cameras=tuple(
            SolvedCamera(
                name=set_up.name,
                numbers=tuple(camera.parameters.tolist()),
                width_px=camera.size_px[0],
                height_px=camera.size_px[1],
                radial=camera.radial,
                offset_s=float(offset_s),
            )
            for set_up, camera, offset_s in zip(
                inputs.set_ups, solution.cameras, offsets_s, strict=True
            )
        ),
        covariance=tuple(map(tuple, covariance.tolist())),
        points_m={key: _place(place) for key, place in solution.points_m.items()},
        residuals=tuple(kept_residual(each) for each in residuals),
        worst_deg=worst_deg if math.isfinite(worst_deg) else None,
        trust=diagnosis.quality.trust,
        field_misfit=diagnosis.field_misfit,
        body_misfit=None if number is None else diagnosis.body_misfits[number],
        findings=tuple(kept_finding(each) for each in diagnosis.findings),
        deliveries=tuple(each.delivery.name for each in inputs.bodies),
        field_inputs=field_fingerprint(project, body.delivery),
        body_inputs=body_fingerprint(body.delivery),
        n_starts=solution.n_starts,
        n_agreeing=solution.n_agreeing,
        has_body=bool(moving),
    )


def _by_marks(body: FilmedBody, solution: Solution) -> tuple[Array, Array]:
    """Return offsets by event marks alone, and a covariance in which they stand by themselves."""
    clocks = [clock for clock in body.marked if clock is not None]
    n = N_PARAMETERS * len(solution.cameras)
    covariance = np.zeros((n + len(clocks), n + len(clocks)))
    covariance[:n, :n] = solution.covariance[:n, :n]
    covariance[n:, n:] = np.diag([clock.u_s**2 for clock in clocks])
    return np.array([0.0, *(clock.offset_s for clock in clocks)]), covariance


def _place(place_m: Array) -> tuple[float, float, float]:
    x, y, z = place_m.tolist()
    return x, y, z


def kept_residual(residual: PointResidual) -> ControlResidual:
    """Return a click's residual as a project keeps it."""
    size = residual.studentised
    return ControlResidual(
        point=residual.point,
        camera=residual.camera,
        clicked=Point(*residual.clicked_px),
        projected=Point(*residual.projected_px),
        gap_px=residual.gap_px,
        gap_mm=residual.gap_mm,
        studentised=size if math.isfinite(size) else None,
    )


def kept_finding(found: Finding) -> SetUpFinding:
    """Return a finding as a project keeps it."""
    return SetUpFinding(
        key=found.key,
        severity=found.severity,
        what=found.what,
        where=found.where,
        remedy=found.remedy,
    )
