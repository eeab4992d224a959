"""What a solution's residuals say: swapped cones, mistyped tape, moved tripods, wrong minima.

References
----------
.. [1] Mikhail EM, Ackermann F (1976). Observations and Least Squares (data snooping).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import inf

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.adjustment import Adjustment
from deliverylab.core.cameras.control import ControlPoint, places_of
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.joint_solve import Solution, solve_cameras
from deliverylab.core.cameras.layout import Finding
from deliverylab.core.cameras.quality import WARN_DEG, SolutionQuality, solution_quality
from deliverylab.core.cameras.resection import Resection, known_places

Array = NDArray[np.float64]

FIELD_KINDS = frozenset({"click", "place", "focal", "level"})
MOST_MISFIT = 2.2
"""Sum of squares of the field's evidence per degree of freedom beyond which something is wrong."""
MOST_STUDENTISED, DOUBTFUL_STUDENTISED = 5.0, 3.5
MOST_BODY_MISFIT = 2.0
"""The body's sight lines miss by this many times the usual: wrong minimum, or a moved camera."""
MOST_LEFT_OUT = 0.10
"""Share of a delivery's places that may lie far off by chance and by single mistakes."""
MUCH_BETTER = 0.2
"""An exchange of two points explains a misfit that it brings down to this share."""


@dataclass(frozen=True, kw_only=True)
class Diagnosis:
    """How a solution is to be taken.

    Attributes
    ----------
    field_misfit : float
        Sum of squares per degree of freedom of clicks, tape, lens and level.
    body_misfits : tuple of float
        The same of each delivery's lines of sight.
    quality : SolutionQuality
    findings : tuple of Finding
        Empty where the solution can be used as it is.
    """

    field_misfit: float
    body_misfits: tuple[float, ...]
    quality: SolutionQuality
    findings: tuple[Finding, ...]

    @property
    def is_refused(self) -> bool:
        """Whether nothing may be shown from this solution."""
        return any(found.severity == "refused" for found in self.findings)


def diagnose(
    solution: Solution,
    set_ups: Sequence[CameraSetUp],
    points: tuple[ControlPoint, ...],
    names: Sequence[str] = (),
) -> Diagnosis:
    """Read a solution's residuals.

    Parameters
    ----------
    solution : Solution
    set_ups : sequence of CameraSetUp
    points : tuple of ControlPoint
        What it was solved from.
    names : sequence of str, optional
        What the deliveries are called in findings; numbered without.
    """
    adjustment, quality = solution.adjustment, solution_quality(solution)
    field = field_misfit(adjustment)
    bodies = tuple(_body_misfit(adjustment, row) for row in range(solution.unknowns.n_deliveries))
    findings = [
        *_about_field(adjustment, field, set_ups, points),
        *_about_bodies(bodies, solution.left_out_shares, names),
    ]
    if quality.trust != "good":
        findings.append(
            Finding(
                key="unsure_directions",
                severity="refused" if quality.trust == "refused" else "doubtful",
                what=_unsure(quality),
                where=f"usual is below {WARN_DEG:g}°",
                remedy="add cones or a pole, ahead of the rubber and to both sides",
            )
        )
    return Diagnosis(
        field_misfit=field, body_misfits=bodies, quality=quality, findings=tuple(findings)
    )


def diagnose_camera(
    resection: Resection, set_up: CameraSetUp, points: tuple[ControlPoint, ...]
) -> tuple[Finding, ...]:
    """Read the residuals of one camera that was solved alone."""
    adjustment = resection.adjustment
    return tuple(_about_field(adjustment, field_misfit(adjustment), (set_up,), points))


def _unsure(quality: SolutionQuality) -> str:
    if not np.isfinite(quality.worst_deg):
        return "the solution has a camera that does not see where the athlete throws"
    return f"the cameras leave directions of the body unsure by {quality.worst_deg:.1f}°"


def field_misfit(adjustment: Adjustment) -> float:
    """Return the sum of squares per degree of freedom of the field's evidence; about 1 is right."""
    rows = np.array([row.kind in FIELD_KINDS for row in adjustment.rows])
    freedom = float(np.sum(adjustment.slack[rows]))
    return float(np.sum(adjustment.residuals[rows] ** 2)) / max(freedom, 1.0)


def _body_misfit(adjustment: Adjustment, delivery: int) -> float:
    rows = np.array([r.kind == "body" and r.delivery == delivery for r in adjustment.rows])
    used = adjustment.residuals[rows]
    used = used[used != 0.0]
    return float(np.mean(used**2)) if len(used) else 0.0


def _about_bodies(
    misfits: tuple[float, ...], left_out: tuple[float, ...], names: Sequence[str]
) -> Iterator[Finding]:
    """Tell a wrong minimum from cameras that moved between deliveries of a session."""
    bad = [
        row
        for row, (misfit, share) in enumerate(zip(misfits, left_out, strict=True))
        if misfit > MOST_BODY_MISFIT or share > MOST_LEFT_OUT
    ]
    for row in bad:
        if len(misfits) > 1:
            yield Finding(
                key="moved_camera",
                severity="refused",
                what="a camera was moved or zoomed between the deliveries",
                where=names[row] if names else f"delivery {row + 1} of {len(misfits)}",
                remedy="solve the deliveries before and after apart, each with its own clicks",
            )
        else:
            yield Finding(
                key="wrong_minimum",
                severity="refused",
                what="the lines of sight of the two cameras do not meet",
                where="cameras and clocks",
                remedy="check which side each camera stood on and the clips' capture rates, mark an "
                "event in both clips, and look for landmarks of left and right exchanged",
            )


def _about_field(
    adjustment: Adjustment,
    misfit: float,
    set_ups: Sequence[CameraSetUp],
    points: tuple[ControlPoint, ...],
) -> list[Finding]:
    worst = worst_row(adjustment)
    size = 0.0 if worst is None else abs(float(adjustment.studentised[worst]))
    if worst is None or (misfit <= MOST_MISFIT and size <= DOUBTFUL_STUDENTISED):
        return []
    is_refused = misfit > MOST_MISFIT or size > MOST_STUDENTISED
    swapped = swapped_points(set_ups, points) if is_refused else None
    name_of = {point.key: point.name for point in points}
    if swapped is not None:
        where, a, b = swapped
        return [
            Finding(
                key="swapped",
                severity="refused",
                what=f"{name_of[a]} and {name_of[b]} are exchanged",
                where=where,
                remedy="click each where the other was clicked, or exchange their places",
            )
        ]
    row = adjustment.rows[worst]
    about = name_of.get(row.about, "") or (set_ups[row.camera].name if row.camera >= 0 else "")
    what = {
        "click": "the clicks and the place of this point do not agree",
        "place": "the measured place of this point does not agree with the pictures",
        "focal": "the stated focal length does not agree with the pictures",
        "level": "the stated level does not agree with the pictures",
    }[row.kind]
    seen = place_by_pictures(set_ups, points, row.about) if row.about else None
    told = "check what was clicked and what was measured"
    if seen is not None:
        x, y, z = seen
        told += f"; the other points put it at {x:.2f}, {y:.2f}, {z:.2f} m"
    return [
        Finding(
            key="blunder",
            severity="refused" if is_refused else "doubtful",
            what=what,
            where=about,
            remedy=told,
        )
    ]


def worst_row(adjustment: Adjustment) -> int | None:
    """Return the row of the field's evidence with the largest studentised residual."""
    is_field = np.array([row.kind in FIELD_KINDS for row in adjustment.rows])
    sizes = np.where(is_field, np.nan_to_num(np.abs(adjustment.studentised)), -1.0)
    row = int(np.argmax(sizes))
    return row if sizes[row] > 0.0 else None


def swapped_points(
    set_ups: Sequence[CameraSetUp], points: tuple[ControlPoint, ...]
) -> tuple[str, str, str] | None:
    """Look for two points of one kind whose clicks are exchanged.

    Returns
    -------
    tuple of str or None
        Where (a camera's name, or all pictures) and the two keys; None where no exchange explains
        the misfit.
    """
    usual = field_misfit(solve_cameras(set_ups, points).adjustment)
    best, least = None, MUCH_BETTER * usual
    for where, exchanged, a, b in _exchanges(set_ups, points):
        misfit = field_misfit(solve_cameras(exchanged, points).adjustment)
        if misfit < least and misfit <= MOST_MISFIT:
            best, least = (where, a, b), misfit
    return best


def _exchanges(
    set_ups: Sequence[CameraSetUp], points: tuple[ControlPoint, ...]
) -> Iterator[tuple[str, list[CameraSetUp], str, str]]:
    for one, other in combinations((p for p in points if p.kind in {"cone", "pole"}), 2):
        if one.kind != other.kind:
            continue
        a, b = one.key, other.key
        both = [{a, b} <= each.clicks_px.keys() for each in set_ups]
        choices = [[row] for row, is_there in enumerate(both) if is_there]
        if sum(both) > 1:
            choices.append([row for row, is_there in enumerate(both) if is_there])
        for chosen in choices:
            exchanged = [
                _exchanged(each, a, b) if row in chosen else each
                for row, each in enumerate(set_ups)
            ]
            where = set_ups[chosen[0]].name if len(chosen) == 1 else "all pictures"
            yield where, exchanged, a, b


def _exchanged(set_up: CameraSetUp, a: str, b: str) -> CameraSetUp:
    clicks = set_up.clicks_px
    return replace(set_up, clicks_px={**clicks, a: clicks[b], b: clicks[a]})


def place_by_pictures(
    set_ups: Sequence[CameraSetUp], points: tuple[ControlPoint, ...], key: str
) -> Array | None:
    """Return where the pictures put a point when its measured place is left out.

    Returns
    -------
    ndarray or None, shape (3,), m
        None for a point that hangs on another, or that fewer than two pictures show.
    """
    n_seen = sum(key in each.clicks_px for each in set_ups)
    hangs = any(p.above == key or (p.key == key and p.above) for p in points)
    if n_seen < 2 or hangs or key not in known_places(points):
        return None
    place = places_of(points)[key]
    without = tuple(
        replace(p, place_m=place, u_m=(inf,) * 3, kind="unknown") if p.key == key else p
        for p in points
    )
    return solve_cameras(set_ups, without).points_m[key]
