"""How well would a set-up measure?  What is asked, where things stand, and the simulation's work."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import OutputError
from deliverylab.core.units import Unit
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.shell.session import Session

if TYPE_CHECKING:
    from deliverylab.core.synthetic.figure import Motion
    from deliverylab.core.synthetic.filming import FilmingSetUp
    from deliverylab.core.workflow.trust import MetricTrust

FloatArray = NDArray[np.float64]
Report = Callable[[float], None]

N_FIRST_LOOK: Final = 10
"""Deliveries of the first, quick estimate."""
N_DELIVERIES: Final = 100
SIZE_PX: Final = (1920, 1080)
"""Picture of a phone on its side, full high definition."""
DISTANCES_M: Final = (3.0, 30.0)
YAWS_DEG: Final = (-30.0, 30.0)
N_LINE_POINTS: Final = 80
SHOWN_EVENT: Final = "foot_contact"
_WATCHED: Final = ("leg_lift", "foot_contact", "full_layback", "release")


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A set-up to be tried.

    Attributes
    ----------
    view, distance_m, yaw_deg, rate_hz
        Where the phone stands, and its frames a second.
    field_of_view_deg : float or None
        Horizontal; None: zoomed until the delivery fills the picture.
    placing_m : float or None
        Standard uncertainty of a placed landmark; None: as the program takes it for each.
    u_yaw_deg : float
        How well the yaw is known.
    height_m, hand
        Of the athlete.
    """

    view: str = "open-side"
    distance_m: float = 8.0
    yaw_deg: float = 0.0
    rate_hz: float = 240.0
    field_of_view_deg: float | None = None
    placing_m: float | None = None
    u_yaw_deg: float = 1.0
    height_m: float = 1.80
    hand: Hand = "right"


@dataclass(frozen=True, kw_only=True)
class PlanScene:
    """Where everything stands, and what the camera sees.

    Attributes
    ----------
    camera_m, target_m : tuple of float
        X and Y on the field: the camera, and what it is pointed at.
    square_m : tuple of float
        Where the camera would stand square.
    half_angle_deg : float
        Half the horizontal angle of view.
    body_m, body_px : mapping of str to tuple of float
        Landmarks at foot contact: X and Y on the field; in the picture.
    others_px : tuple of mapping
        The same in the picture at leg lift and release.
    rubber_m, plate_m, rubber_px, plate_px : ndarray, shape (n, 2)
        Their corners; px are NaN for what lies behind the camera.
    ruler_px : ndarray, shape (2, 2)
        Where the scale lies in the picture.
    ground_px : ndarray, shape (n_lines, n_points, 2)
        Lines on the ground, a metre apart, in the picture; NaN behind the camera.
    horizon_px : float
        Height of the horizon in the picture.
    metres_per_px : float
        At the athlete.
    cut_off : tuple of str
        Names of the events at which part of the body is outside the picture.
    """

    camera_m: tuple[float, float]
    target_m: tuple[float, float]
    square_m: tuple[float, float]
    half_angle_deg: float
    body_m: Mapping[str, tuple[float, float]]
    body_px: Mapping[str, tuple[float, float]]
    others_px: tuple[Mapping[str, tuple[float, float]], ...]
    rubber_m: FloatArray
    plate_m: FloatArray
    rubber_px: FloatArray
    plate_px: FloatArray
    ruler_px: FloatArray
    ground_px: FloatArray
    horizon_px: float
    metres_per_px: float
    cut_off: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Expectation:
    """What a set-up makes of one metric.

    Attributes
    ----------
    name, when : str
        What it is called, and at which event where the name does not say so.
    unit, decimals
        As in the catalogue.
    error, margin : float
        Expected error (root mean square) and the ± that would be stated; NaN where never shown.
    limit : float
        Widest ± that is of use.
    n, n_shown : int
        Deliveries simulated, and how many show a value.
    limited_by, reason, remedy : str
        Largest part of the ±; why it is not shown, and what would help.
    row : mapping
        Tidy row of the table that is exported.
    """

    name: str
    when: str
    unit: Unit
    decimals: int
    error: float
    margin: float
    limit: float
    n: int
    n_shown: int
    limited_by: str
    reason: str
    remedy: str
    row: Mapping[str, Any] = field(repr=False)

    @property
    def is_shown(self) -> bool:
        """Whether at least half of the deliveries show a value."""
        return 2 * self.n_shown >= self.n


def plan_of(session: Session, default: Plan) -> Plan:
    """Return the set-up of the active delivery as far as it is known; the rest as in `default`."""
    from dataclasses import replace

    side = session.active_side
    delivery, camera = session.delivery(side), session.camera(side)
    if delivery is None or camera is None:
        return default
    known: dict[str, Any] = {"hand": delivery.athlete.hand, "rate_hz": camera.timing.true_rate_hz}
    if camera.view != "top":
        known["view"] = camera.view
    if delivery.athlete.height_m is not None:
        known["height_m"] = delivery.athlete.height_m
    if camera.scale is not None:
        if camera.scale.distance_m is not None:
            known["distance_m"] = float(np.clip(camera.scale.distance_m, *DISTANCES_M))
        known["yaw_deg"] = float(np.clip(camera.scale.yaw_deg or 0.0, *YAWS_DEG))
    return replace(default, **known)


def set_up_of(plan: Plan) -> FilmingSetUp:
    """Return the core's set-up.

    Raises
    ------
    InputValueError
        No phone can do that.
    """
    from deliverylab.core.synthetic.filming import FilmingSetUp

    return FilmingSetUp(
        view=plan.view,
        distance_m=plan.distance_m,
        yaw_deg=plan.yaw_deg,
        rate_hz=plan.rate_hz,
        width_px=SIZE_PX[0],
        height_px=SIZE_PX[1],
        field_of_view_deg=plan.field_of_view_deg,
    )


@lru_cache(maxsize=8)
def _motion(height_m: float, hand: Hand) -> Motion:
    from deliverylab.core.synthetic.figure import Motion
    from deliverylab.core.synthetic.spec import DeliverySpec

    return Motion(DeliverySpec(height_m=height_m, hand=hand))


@lru_cache(maxsize=8)
def _postures_m(height_m: float, hand: Hand) -> dict[str, dict[str, FloatArray]]:
    """Return the landmarks' places at the watched events, without the ball."""
    motion = _motion(height_m, hand)
    events = motion.events()
    placed = motion.positions_at([events[key] for key in _WATCHED])
    return {
        event: {key: xyz_m[row] for key, xyz_m in placed.items() if key != "ball"}
        for row, event in enumerate(_WATCHED)
    }


@lru_cache(maxsize=1)
def _ground_lines_m() -> FloatArray:
    """Return lines on the ground along and across the line to the plate, (n_lines, n_points, 3)."""
    from deliverylab.core.cameras.ground import ground_height_m

    along, across = np.arange(-6.0, 21.0), np.arange(-6.0, 7.0)
    ends = [((x, across[0]), (x, across[-1])) for x in along]
    ends += [((along[0], y), (along[-1], y)) for y in across]
    xy_m = np.array([np.linspace(start, end, N_LINE_POINTS) for start, end in ends])
    return np.concatenate((xy_m, ground_height_m(xy_m[..., 0], xy_m[..., 1])[..., None]), axis=-1)


def plan_scene(plan: Plan) -> PlanScene:
    """Return where everything stands and what the camera sees.

    Raises
    ------
    InputValueError
        No phone can do that, or no such athlete.
    """
    from dataclasses import replace

    from deliverylab.core.synthetic.filming import SIDE_TARGET_M, ruler_m
    from deliverylab.core.synthetic.scene import plate_corners_m, rubber_corners_m

    set_up = set_up_of(plan)
    camera = set_up.camera(plan.hand)
    square = replace(set_up, yaw_deg=0.0).camera(plan.hand)
    postures = _postures_m(plan.height_m, plan.hand)
    seen = {
        event: {key: tuple(camera.project(xyz_m).tolist()) for key, xyz_m in body.items()}
        for event, body in postures.items()
    }
    return PlanScene(
        camera_m=(float(camera.position_m[0]), float(camera.position_m[1])),
        target_m=SIDE_TARGET_M if set_up.is_side else (0.0, 0.0),
        square_m=(float(square.position_m[0]), float(square.position_m[1])),
        half_angle_deg=math.degrees(math.atan(0.5 * SIZE_PX[0] / set_up.lens_px)),
        body_m={key: (float(at[0]), float(at[1])) for key, at in postures[SHOWN_EVENT].items()},
        body_px=seen[SHOWN_EVENT],
        others_px=(seen["leg_lift"], seen["release"]),
        rubber_m=rubber_corners_m()[:, :2],
        plate_m=plate_corners_m()[:, :2],
        rubber_px=camera.project(rubber_corners_m()),
        plate_px=camera.project(plate_corners_m()),
        ruler_px=camera.project(ruler_m(set_up)),
        ground_px=camera.project(_ground_lines_m()),
        horizon_px=float(camera.centre_px[1]),
        metres_per_px=set_up.metres_per_px,
        cut_off=tuple(EVENTS[event].name for event, body in seen.items() if _is_cut(body)),
    )


def _is_cut(body: Mapping[str, tuple[float, float]]) -> bool:
    places = np.array(list(body.values()))
    is_inside = (places >= -0.5) & (places <= np.array(SIZE_PX) - 0.5)
    return not bool(is_inside.all())


def standing_at(scene: PlanScene, x_m: float, y_m: float) -> tuple[float, float]:
    """Return distance and yaw of a camera that is put down at this place of the field."""
    target = np.array(scene.target_m)
    square, now = target - scene.square_m, target - (x_m, y_m)
    turn = math.degrees(math.atan2(now[1], now[0]) - math.atan2(square[1], square[0]))
    turn = (turn + 180.0) % 360.0 - 180.0
    distance_m = min(max(float(np.hypot(*now)), DISTANCES_M[0]), DISTANCES_M[1])
    return distance_m, min(max(turn, YAWS_DEG[0]), YAWS_DEG[1])


def trust_work(plan: Plan, n: int) -> Callable[[Report], tuple[Expectation, ...]]:
    """Return the work that simulates `n` deliveries filmed by this set-up."""

    def work(report: Report) -> tuple[Expectation, ...]:
        from deliverylab.core.synthetic.spec import DeliverySpec
        from deliverylab.core.workflow.trust import trust
        from deliverylab.core.workflow.trust_delivery import Care

        report(0.0)
        rows = trust(
            set_up_of(plan),
            Care(placing_m=plan.placing_m, u_yaw_deg=plan.u_yaw_deg),
            n=n,
            base=DeliverySpec(height_m=plan.height_m, hand=plan.hand),
            progress=lambda n_done, n_all: report(n_done / n_all),
        )
        return tuple(_expectation(row) for row in rows)

    return work


def _expectation(row: MetricTrust) -> Expectation:
    from deliverylab.core.metrics.catalogue import BY_KEY as METRICS
    from deliverylab.core.metrics.catalogue import instant_text
    from deliverylab.core.metrics.usefulness import USEFUL_LIMITS

    spec = METRICS[row.metric]
    return Expectation(
        name=row.name,
        when=instant_text(row.name, row.event),
        unit=spec.unit,
        decimals=row.decimals,
        error=row.rmse,
        margin=row.expanded_u,
        limit=spec.useful_u or USEFUL_LIMITS[spec.unit],
        n=row.n,
        n_shown=row.n_shown,
        limited_by=row.limited_by,
        reason=row.reason,
        remedy=row.remedy,
        row=row.as_row(),
    )


def save_expectations(rows: Sequence[Expectation], path: Path) -> None:
    """Write the table as CSV, in SI units and degrees.

    Raises
    ------
    OutputError
        It cannot be written there.
    """
    from deliverylab.core.report.trust_table import trust_csv

    try:
        path.write_text(trust_csv([row.row for row in rows]), encoding="utf-8")
    except OSError as problem:
        raise OutputError(
            "the table cannot be written", where=str(path), remedy=str(problem.strerror)
        ) from problem
