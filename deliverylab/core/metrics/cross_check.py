"""A delivery's results by Monte Carlo, beside their first-order u.

Every input of a posture is drawn anew: the positions, the scale with level, yaw, distance and height,
the depths that are not seen, and the instants.  What has no input to draw (what seeing one plane
costs, segment weights) is added as it stands in the budget.  Times and speeds are linear in theirs, so
the parts of their budget are drawn, each mark that lies anywhere in its frame as a rectangle.

References
----------
.. [1] JCGM 101:2008, Supplement 1 to the guide: 5.9, 7.9 and 8.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from deliverylab.core.cameras.planar import PlanarCamera
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.depths import PLANE_U_M, expected_depths
from deliverylab.core.metrics.inputs import EventPositions
from deliverylab.core.metrics.lifted_results import BASIS as LIFTED_BASIS
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.pose_batch import SHARED_INPUTS, nominal_pose
from deliverylab.core.metrics.remedies import DEPTH, MARKING, TIMING
from deliverylab.core.metrics.setup import Setup, nearness
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.metrics.space_draws import DRAWN_IN_SPACE, SpacePostures
from deliverylab.core.metrics.space_sight import SPACE_VIEW, space_sight
from deliverylab.core.metrics.spec import PLACING, MetricSpec, Result
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.numerics.monte_carlo import (
    LEVEL,
    MAX_DRAWS,
    MonteCarlo,
    Shape,
    drawn,
    monte_carlo,
)
from deliverylab.core.numerics.uncertainty import InputGroup, coverage_factor
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS

_DRAWN = frozenset({*SHARED_INPUTS, DEPTH, PLACING})


@dataclass(frozen=True)
class CrossCheck:
    """A result of first order, and the same by Monte Carlo.

    Attributes
    ----------
    result : Result
        As it is shown.
    expanded_u : float
        Its U for 95 %, that of the interval it is held against.
    drawn : MonteCarlo
        The distribution.
    is_validated : bool
        Whether both ends agree to the first digit of u.
    """

    result: Result
    expanded_u: float
    drawn: MonteCarlo
    is_validated: bool

    def as_row(self) -> dict[str, Any]:
        """Return the result's tidy row with the drawn figures beside it."""
        return self.result.as_row() | self.drawn_row()

    def drawn_row(self) -> dict[str, Any]:
        """Return the drawn figures alone."""
        return {
            "mc_value": self.drawn.value,
            "mc_u": self.drawn.u,
            "mc_low": self.drawn.low,
            "mc_high": self.drawn.high,
            "mc_n_draws": self.drawn.n_draws,
            "mc_is_settled": self.drawn.is_settled,
            "mc_validates": self.is_validated,
        }


def cross_check(
    delivery: Delivery, result: Result, *, max_draws: int = MAX_DRAWS, seed: int = 1
) -> CrossCheck | None:
    """Check a result's first-order u by Monte Carlo.

    Parameters
    ----------
    delivery : Delivery
        That the result is of.
    result : Result
        As evaluated.
    max_draws : int
        Most draws; fewer are made where they settle the interval.
    seed : int
        The same seed gives the same draws.

    Returns
    -------
    CrossCheck or None
        None for a result that is not shown, or that was lifted and so comes from draws already.
    """
    if result.value is None or result.u is None or result.basis == LIFTED_BASIS:
        return None
    spec, value = BY_KEY[result.metric], result.value
    sight = Sight(delivery, delivery.camera(result.camera))
    draw = _draws_of(spec, result, sight)
    known = _DRAWN if result.view != SPACE_VIEW else DRAWN_IN_SPACE

    def sample(rng: np.random.Generator, n: int) -> FloatArray:
        if draw is None:
            return value + _parts(result, sight, rng, n, frozenset(), frozenset())
        return draw.values(rng, n) + _parts(result, sight, rng, n, draw.moved, known)

    found = monte_carlo(sample, max_draws=max_draws, seed=seed)
    dof = result.n_degrees_of_freedom
    expanded_u = result.u * coverage_factor(np.inf if dof is None else dof, LEVEL)
    return CrossCheck(result, expanded_u, found, found.validates(value, expanded_u))


def _draws_of(spec: MetricSpec, result: Result, sight: Sight) -> _Postures | SpacePostures | None:
    """Return what draws a metric's postures; None for one that is not read from postures."""
    if result.view != SPACE_VIEW:
        return _Postures(spec, result, sight) if spec.measure is not None else None
    if spec.kind not in {"at_event", "between_events"}:
        return None
    return SpacePostures(spec, result, space_sight(sight.delivery))


def _parts(
    result: Result,
    sight: Sight,
    rng: np.random.Generator,
    n: int,
    moved: frozenset[str],
    known: frozenset[str],
) -> FloatArray:
    """Return draws about zero of those lines of the budget that are not drawn as inputs."""
    added = np.zeros(n)
    for part in result.budget:
        is_time = part.source == TIMING or part.source.startswith(MARKING)
        if part.source in known or (is_time and part.event in moved):
            continue
        shape = _shape_of_mark(sight, part.event) if is_time else "normal"
        added += drawn(InputGroup.one(part.source, 0.0, part.u), rng, n, shape)[:, 0]
    return added


def _shape_of_mark(sight: Sight, event: str) -> Shape:
    """Return ``rectangular`` for a mark that lies anywhere in its frame, ``normal`` with a u."""
    mark = sight.camera.marks.get(event)
    return "rectangular" if mark is not None and mark.u_s is None else "normal"


class _Postures:
    """Draws of a metric that is read from one posture or from two.

    Attributes
    ----------
    moved : frozenset of str
        Events whose instant is drawn, since the frames beside show how the points move.
    """

    def __init__(self, spec: MetricSpec, result: Result, sight: Sight) -> None:
        if sight.setup is None or spec.measure is None:
            raise ValueError("a shown posture has a scale and a measure")
        self._measure, self._setup, self._sight = spec.measure, sight.setup, sight
        self._seen: list[tuple[EventPositions, tuple[str, ...]]] = []
        moved = []
        for number, event in enumerate(spec.instants(result.event)):
            positions = sight.positions(event)
            if positions is None:
                raise ValueError("a shown posture has marks")
            roles = spec.landmarks_at(number)
            positions = positions.only((*roles, *spec.optional))
            self._seen.append((positions, roles))
            if all((s := positions.of(r)) and s.before and s.after for r in roles):
                moved.append(positions.event)
        self.moved = frozenset(moved)

    def values(self, rng: np.random.Generator, n: int) -> FloatArray:
        """Return n draws of the metric: the camera once for all its events."""
        camera, height_m, rubber_px = _drawn_camera(self._setup, rng, n)
        beside_m = rng.normal(0.0, PLANE_U_M, (n, 1))
        poses = []
        for positions, roles in self._seen:
            xy_px, depth_m = self._drawn_places(positions, roles, rng, n)
            nominal = nominal_pose(_nominal_px(positions), self._setup)
            placed = [role for role, seen in _placed(positions)]
            if "rubber" in nominal:
                xy_px = np.concatenate((xy_px, rubber_px[:, None]), axis=1)
                depth_m = np.concatenate((depth_m, np.zeros((n, 1))), axis=1)
                placed.append("rubber")
            offset_px = xy_px - self._setup.middle_px
            xyz_m = self._setup.field_m(camera.to_plane(offset_px, depth_m + beside_m))
            points = {role: xyz_m[:, column] for column, role in enumerate(placed)}
            poses.append(replace(nominal, points=points, height_m=height_m))
        return self._measured(poses)

    def _measured(self, poses: Sequence[Pose]) -> FloatArray:
        return self._measure(*poses)

    def _drawn_places(
        self, positions: EventPositions, roles: tuple[str, ...], rng: np.random.Generator, n: int
    ) -> tuple[FloatArray, FloatArray]:
        placed = _placed(positions)
        xy_px = np.array([(seen.x_px, seen.y_px) for _, seen in placed])
        u_px = np.array([seen.u_px for _, seen in placed])
        drawn_px = xy_px + u_px[:, None] * rng.normal(size=(n, *xy_px.shape))
        if positions.event in self.moved:
            shape = _shape_of_mark(self._sight, positions.event)
            instant = InputGroup.one("instant", 0.0, positions.u_instant_s(roles))
            drawn_px += drawn(instant, rng, n, shape)[:, :, None] * _velocity_px_s(positions)
        depths = expected_depths(tuple(role for role, _ in placed), positions.event, self._setup)
        steps = rng.normal(size=(n, len(depths.steps_m))) @ depths.steps_m
        return drawn_px, depths.mean_m + steps


def _placed(positions: EventPositions) -> list[tuple[str, Any]]:
    return [(ROLE_KEYS[c], seen) for c, seen in enumerate(positions.seen) if seen is not None]


def _nominal_px(positions: EventPositions) -> FloatArray:
    nan = (np.nan, np.nan)
    return np.array([[(s.x_px, s.y_px) if s is not None else nan for s in positions.seen]])


def _velocity_px_s(positions: EventPositions) -> FloatArray:
    """Return each placed role's velocity in the picture, shape (n_roles, 2); 0 where not known."""
    rows = [
        np.subtract(seen.after, seen.before) if seen.before and seen.after else np.zeros(2)
        for _, seen in _placed(positions)
    ]
    return np.array(rows) / positions.step_s


def _drawn_camera(
    setup: Setup, rng: np.random.Generator, n: int
) -> tuple[PlanarCamera, FloatArray, FloatArray]:
    """Return drawn cameras, heights of the athlete and places of the rubber (px)."""
    scale, athlete = setup.scale, setup.athlete
    kappa, u_kappa = nearness(scale)

    def normal(x: float | None, u: float) -> FloatArray:
        return np.full(n, np.nan) if x is None else rng.normal(x, u, n)

    ruler_px = np.array([scale.a, scale.b]) - setup.middle_px
    camera = PlanarCamera(
        ruler_px + rng.normal(0.0, scale.u_point_px, (n, 2, 2)),
        normal(scale.length_m, scale.u_length_m),
        normal(scale.vertical_deg, scale.u_vertical_deg),
        normal(scale.yaw_deg, scale.u_yaw_deg),
        normal(kappa, u_kappa),
    )
    rubber = np.full(2, np.nan) if scale.rubber is None else np.array(scale.rubber)
    rubber_px = rubber + rng.normal(0.0, scale.u_point_px, (n, 2))
    return camera, normal(athlete.height_m, athlete.u_height_m), rubber_px
