"""Deliveries filmed by two phones of known errors, solved, as a project holds them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import msgspec
import numpy as np

from deliverylab.core.cameras.joint_solve import Solution, solve_cameras
from deliverylab.core.cameras.quality import solution_quality
from deliverylab.core.metrics.body_mass import mass_centre
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.pose import Pose
from deliverylab.core.metrics.space_sight import SpaceSight
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.space import SolvedCamera, SpaceSolution
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.synthetic.field_filming import FieldCare, FilmedField, Phone, film_field
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

TRUTH_STEP_S = 0.0005
SIDE, REAR = Phone(view="open-side"), Phone(view="rear")


@dataclass(frozen=True)
class Solved:
    """A delivery as a project holds it, and the truth behind it.

    Attributes
    ----------
    delivery : Delivery
        Cameras named by their views, all landmarks placed, events marked in the first clip.
    truth : SyntheticDelivery
    filmed : FilmedField
    solution : Solution
    starts_s : tuple of float
        When each clip's first frame was taken, on the true clock of the first camera.
    """

    delivery: Delivery
    truth: SyntheticDelivery
    filmed: FilmedField
    solution: Solution
    starts_s: tuple[float, ...]


def solved_delivery(
    seed: int,
    phones: tuple[Phone, ...] = (SIDE, REAR),
    care: FieldCare | None = None,
    *,
    u_mark_s: float | None = 1e-6,
    truth: SyntheticDelivery | None = None,
) -> Solved:
    """Film and solve one varied delivery, or a given one; events are marked where they truly are."""
    rng = np.random.default_rng(seed)
    truth = truth or varied_delivery(rng)
    care = care or FieldCare()
    filmed = film_field(truth, phones, rng, care=care)
    solution = solve_cameras(filmed.set_ups, filmed.points, [filmed.delivery], search_s=0.2)
    cameras = tuple(
        filmed_camera(filmed, number, phone, truth, u_mark_s) for number, phone in enumerate(phones)
    )
    spec = truth.spec
    delivery = Delivery(
        name=f"throw {seed}",
        athlete=Athlete(
            name="Ana",
            hand=spec.hand,
            height_m=round(filmed.delivery.facts.height_m, 4),
            sex=spec.sex,
        ),
        cameras=cameras,
    )
    starts_s = tuple(float(each.times_s[0]) for each in filmed.delivery.tracks)
    shift_s = tuple(
        start + offset - starts_s[0]
        for start, offset in zip(starts_s, solution.offsets_s[0], strict=True)
    )
    quality = solution_quality(solution)
    space = SpaceSolution(
        cameras=tuple(
            SolvedCamera(
                name=camera.name,
                numbers=tuple(found.parameters.tolist()),
                width_px=camera.width_px,
                height_px=camera.height_px,
                offset_s=float(offset_s),
            )
            for camera, found, offset_s in zip(cameras, solution.cameras, shift_s, strict=True)
        ),
        covariance=tuple(map(tuple, solution.delivery_covariance(0).tolist())),
        points_m={},
        residuals=(),
        worst_deg=quality.worst_deg,
        trust=quality.trust,
        field_misfit=1.0,
        deliveries=(delivery.name,),
        has_body=True,
    )
    delivery = _with_space(delivery, space)
    return Solved(delivery, truth, filmed, solution, starts_s)


def with_true_cameras(solved: Solved) -> Delivery:
    """Return the delivery as cameras of known truth would measure it: what a solve adds is missing."""
    space = solved.delivery.space
    shift_s = [
        start + offset - solved.starts_s[0]
        for start, offset in zip(solved.starts_s, solved.filmed.offsets_s, strict=True)
    ]
    cameras = tuple(
        msgspec.structs.replace(
            camera, numbers=tuple(true.parameters.tolist()), offset_s=float(offset_s)
        )
        for camera, true, offset_s in zip(
            space.cameras, solved.filmed.cameras, shift_s, strict=True
        )
    )
    nothing = tuple((0.0,) * len(space.covariance) for _ in space.covariance)
    return _with_space(
        solved.delivery, msgspec.structs.replace(space, cameras=cameras, covariance=nothing)
    )


def true_points_m(solved: Solved, times_s: np.ndarray) -> np.ndarray:
    """Return the joints' true places at instants of the figure, shape (n, n_landmarks, 3), m."""
    places = solved.truth.motion.positions_at(np.asarray(times_s))
    return np.stack([places[key] for key in LANDMARK_KEYS], axis=1)


def true_value(solved: Solved, metric: str, event: str) -> float:
    """Return the true value of a metric that is made of postures."""
    spec = BY_KEY[metric]
    instants_s = [solved.truth.events[each] for each in spec.instants(event)]
    if spec.kind in {"at_event", "between_events"}:
        return float(spec.measure(*(_true_pose(solved, [time_s]) for time_s in instants_s))[0])
    if spec.kind == "speed":
        beside_s = [instants_s[0] - TRUTH_STEP_S, instants_s[0] + TRUTH_STEP_S]
        return float(_speeds_m_s(solved, beside_s)[0])
    if spec.kind == "peak_speed":
        return float(np.max(_speeds_m_s(solved, np.arange(*instants_s, TRUTH_STEP_S))))
    if spec.kind == "peak_rate_time":
        peak = BY_KEY[spec.peak_of]
        start_s, end_s = (solved.truth.events[each] for each in (peak.events[0], peak.events[-1]))
        at_s = _top(solved, peak, start_s, end_s)[1]
        if spec.unit == "s":
            return instants_s[-1] - at_s
        return 100.0 * (at_s - instants_s[0]) / (instants_s[-1] - instants_s[0])
    return _top(solved, spec, instants_s[0], instants_s[-1])[0]


def _speeds_m_s(solved: Solved, times_s: Sequence[float] | np.ndarray) -> np.ndarray:
    """Return the true forward speed of the centre of mass between instants, m/s."""
    forward_m = mass_centre(_true_pose(solved, times_s))[:, 0]
    return np.diff(forward_m) / np.diff(times_s)


def _top(solved: Solved, spec: MetricSpec, start_s: float, end_s: float) -> tuple[float, float]:
    """Return the largest value of a measure, or of its rate, and when that is."""
    times_s = np.arange(start_s, end_s, TRUTH_STEP_S)
    values = np.unwrap(spec.measure(_true_pose(solved, times_s)), period=360.0)
    if spec.kind == "peak_rate":
        values = (-1.0 if spec.is_falling else 1.0) * np.gradient(values, times_s)
    row = int(np.argmax(values))
    return float(values[row]), float(times_s[row])


def _true_pose(solved: Solved, times_s: Sequence[float] | np.ndarray) -> Pose:
    return SpaceSight(solved.delivery).pose(true_points_m(solved, np.asarray(times_s)))


def _with_space(delivery: Delivery, space: SpaceSolution) -> Delivery:
    return msgspec.structs.replace(delivery, space=space)


def filmed_camera(
    filmed: FilmedField,
    number: int,
    phone: Phone,
    truth: SyntheticDelivery,
    u_mark_s: float | None,
) -> Camera:
    """Return a clip whose own clock begins with its first frame."""
    tracks = filmed.delivery.tracks[number]
    u_px = np.hypot(tracks.u_px, tracks.bias_px)
    start_s = float(tracks.times_s[0])
    placed = {
        key: Track.of(
            (frame, Position(float(x), float(y), round(float(u_px[column]), 6)))
            for frame, (x, y) in enumerate(tracks.places_px[:, column])
        )
        for column, key in enumerate(LANDMARK_KEYS)
        if key != "ball"
    }
    marks = {
        event: Mark(time_s=float(time_s) - start_s, u_s=u_mark_s)
        for event, time_s in truth.events.items()
    }
    return Camera(
        name=f"{phone.view} {phone.turn_deg:g}" if phone.turn_deg else phone.view,
        view=phone.view,
        width_px=phone.size_px[0],
        height_px=phone.size_px[1],
        timing=Timing(n_frames=len(tracks.times_s), stored_rate=str(Fraction(phone.rate_hz))),
        tracks=placed,
        marks=marks if number == 0 else {},
    )
