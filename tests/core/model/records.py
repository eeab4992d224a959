"""Random projects, and random edits that fit them."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import Batch, SetCamera, SetDelivery, SetProjectField
from deliverylab.core.model.clip_changes import (
    SetMark,
    SetOccluded,
    SetPosition,
    SetPositions,
    SetScale,
)
from deliverylab.core.model.delivery import Camera, ClipReference, Delivery, LookedAt, Mark
from deliverylab.core.model.depth_changes import SetDepthChoice
from deliverylab.core.model.field import CameraStand, ControlClick, FieldPoint, FieldSetUp
from deliverylab.core.model.plan_changes import SetPlan, SetWalkthrough
from deliverylab.core.model.precision import (
    PlacedAgain,
    PlacingPrecision,
    PlacingRun,
    PlacingTarget,
)
from deliverylab.core.model.precision_changes import SetPlacingRun, SetPrecision
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.review_changes import SetLookedAt
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.space import (
    ControlResidual,
    SetUpFinding,
    SolvedCamera,
    SpaceSolution,
)
from deliverylab.core.model.space_changes import (
    SetCamerasFrom,
    SetControlClick,
    SetField,
    SetSpace,
    SetStand,
)
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.timing_changes import SetRowTime, SetTiming
from deliverylab.core.model.track import ORIGINS, Position, Track
from deliverylab.core.vocabulary.events import EVENT_KEYS
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.vocabulary.segments import LIFTED_BY_KEY
from deliverylab.core.vocabulary.views import VIEW_KEYS
from tests.core.model.handed_over import plans, walkthroughs

N_FRAMES = 6
CAMERA_NAMES = ("main", "second")
DELIVERY_NAMES = ("Ana 1", "Ben 2", "Cé — ½ ☃")
PAIRS = (DELIVERY_NAMES[:2], DELIVERY_NAMES[1:])

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
names = texts.filter(str.strip)
pixels = st.floats(-5000.0, 5000.0)
uncertainties = st.none() | st.floats(0.0, 50.0)
frames = st.integers(0, N_FRAMES - 1)
landmarks = st.sampled_from(LANDMARK_KEYS)
positions = st.builds(Position, pixels, pixels, uncertainties, st.sampled_from(ORIGINS))
tracks = st.builds(
    lambda table: Track.of(table.items()),
    st.dictionaries(frames, positions, min_size=1, max_size=N_FRAMES),
)
marks = st.builds(Mark, time_s=st.floats(0.0, 0.02), u_s=uncertainties)
athletes = st.builds(
    Athlete,
    name=names,
    hand=st.sampled_from(["left", "right"]),
    height_m=st.none() | st.floats(0.9, 2.4),
    mass_kg=st.none() | st.floats(15.0, 200.0),
    sex=st.sampled_from([None, "female", "male"]),
    birth_year=st.none() | st.integers(1950, 2020),
)
timings = st.builds(
    Timing,
    n_frames=st.just(N_FRAMES),
    stored_rate=st.sampled_from(["240", "30000/1001", "60000/1001", "25"]),
    stamps_s=st.none()
    | st.lists(st.floats(0.001, 0.05), min_size=N_FRAMES, max_size=N_FRAMES).map(
        lambda steps: tuple(sum(steps[:number], 0.0) for number in range(N_FRAMES))
    ),
    capture_rate_hz=st.none() | st.floats(24.0, 1000.0),
)
clips = st.builds(
    ClipReference,
    path=texts,
    size_bytes=st.integers(0, 2**40),
    head_sha256=st.text("0123456789abcdef", min_size=64, max_size=64),
    tail_sha256=st.text("0123456789abcdef", min_size=64, max_size=64),
)
scales = st.builds(
    PlanarScale,
    a=st.builds(Point, pixels, pixels),
    b=st.builds(Point, st.floats(6000.0, 7000.0), pixels),
    length_m=st.floats(0.1, 20.0),
    vertical_deg=st.floats(-45.0, 45.0),
    toward_plate=st.sampled_from([None, "left", "right"]),
    distance_m=st.none() | st.floats(1.0, 200.0),
    yaw_deg=st.floats(-45.0, 45.0),
    rubber=st.none() | st.builds(Point, pixels, pixels),
)
RUN_NAMES = ("Sam 1", "Kim 1")
precisions = st.builds(
    PlacingPrecision,
    placer=names,
    date=st.sampled_from(["", "2026-05-01"]),
    u_m=st.dictionaries(st.sampled_from(["hip", "neck"]), st.floats(0.0, 0.5), max_size=2),
    n_degrees_of_freedom=st.dictionaries(st.just("hip"), st.integers(1, 99), max_size=1),
)
places_again = st.builds(
    PlacedAgain,
    st.sampled_from(CAMERA_NAMES),
    frames,
    landmarks,
    pixels,
    pixels,
    st.none() | pixels,
    st.none() | pixels,
)
targets = st.builds(PlacingTarget, st.sampled_from(CAMERA_NAMES), frames, landmarks)


def placing_runs(name: str) -> st.SearchStrategy[PlacingRun]:
    """Return runs of this name, finished or not."""
    return st.builds(
        PlacingRun,
        name=st.just(name),
        placer=names,
        original_placer=texts,
        placed=st.lists(places_again, max_size=3).map(tuple),
        waiting=st.lists(targets, max_size=2).map(tuple),
    )


POINT_NAMES = ("rubber_front_left", "cone_left", "pole_top")
metres = st.floats(-20.0, 20.0)
clicks = st.builds(ControlClick, x_px=pixels, y_px=pixels, u_px=st.sampled_from([0.5, 1.0]))
stands = st.builds(
    CameraStand,
    zoom=st.sampled_from([0.5, 1.0, 2.0]),
    focal_px=st.none() | st.floats(100.0, 5000.0),
    u_level_deg=st.none() | st.floats(0.1, 5.0),
    turn_deg=st.floats(-90.0, 90.0),
)
field_points = st.builds(
    FieldPoint,
    key=st.sampled_from(POINT_NAMES),
    name=texts,
    kind=st.sampled_from(["rubber", "cone", "pole"]),
    place_m=st.tuples(metres, metres, metres),
    u_m=st.tuples(*[st.none() | st.floats(0.001, 1.0)] * 3),
)
fields = st.builds(
    FieldSetUp,
    size=st.sampled_from(["baseball", "youth-46"]),
    points=st.lists(field_points, max_size=2, unique_by=lambda point: point.key).map(tuple),
)
solved_cameras = st.builds(
    SolvedCamera,
    name=st.sampled_from(CAMERA_NAMES),
    numbers=st.tuples(*[metres] * 7),
    width_px=st.integers(1, 4000),
    height_px=st.integers(1, 4000),
    offset_s=st.floats(-1.0, 1.0),
)
solutions = st.builds(
    SpaceSolution,
    cameras=st.tuples(solved_cameras, solved_cameras),
    covariance=st.just(tuple((0.0,) * row + (1.0,) + (0.0,) * (14 - row) for row in range(15))),
    points_m=st.dictionaries(st.sampled_from(POINT_NAMES), st.tuples(metres, metres, metres)),
    residuals=st.lists(
        st.builds(
            ControlResidual,
            point=st.sampled_from(POINT_NAMES),
            camera=st.sampled_from(CAMERA_NAMES),
            clicked=st.builds(Point, pixels, pixels),
            projected=st.builds(Point, pixels, pixels),
            gap_px=st.floats(0.0, 9.0),
            gap_mm=st.floats(0.0, 9.0),
            studentised=st.none() | st.floats(0.0, 9.0),
        ),
        max_size=2,
    ).map(tuple),
    worst_deg=st.none() | st.floats(0.0, 9.0),
    trust=st.sampled_from(["good", "doubtful", "refused"]),
    field_misfit=st.floats(0.0, 9.0),
    body_misfit=st.none() | st.floats(0.0, 9.0),
    findings=st.just(())
    | st.tuples(
        st.builds(
            SetUpFinding,
            key=st.just("swapped"),
            severity=st.sampled_from(["refused", "doubtful"]),
            what=texts,
            where=texts,
            remedy=texts,
        )
    ),
)

limbs = st.sampled_from(sorted(LIFTED_BY_KEY))
depth_choices = st.sampled_from(["nearer", "farther"])
hidden_frames = st.lists(frames, min_size=1, max_size=3, unique=True).map(
    lambda values: tuple(sorted(values))
)


looked_at = st.builds(
    LookedAt,
    landmark=landmarks,
    frame=frames,
    reason=st.sampled_from(["jump", "lost"]),
    position=st.none() | positions,
)


def cameras(name: str) -> st.SearchStrategy[Camera]:
    """Return cameras of this name with all that a camera may hold."""
    return st.builds(
        Camera,
        name=st.just(name),
        view=st.sampled_from(VIEW_KEYS),
        width_px=st.integers(1, 4000),
        height_px=st.integers(1, 4000),
        timing=timings,
        clip=st.none() | clips,
        first_frame=frames,
        last_frame=st.none() | frames,
        scale=st.none() | scales,
        marks=st.dictionaries(st.sampled_from(EVENT_KEYS), marks, max_size=3),
        tracks=st.dictionaries(landmarks, tracks, max_size=3),
        occluded=st.dictionaries(landmarks, hidden_frames, max_size=2),
        duplicate_frames=st.lists(frames, max_size=2).map(tuple),
        precision=st.none() | precisions,
        row_time_s=st.sampled_from([0.0, 2e-5]),
        u_row_time_s=st.sampled_from([0.0, 1e-6]),
        stand=stands,
        control=st.dictionaries(st.sampled_from(POINT_NAMES), clicks, max_size=2),
        depth_choices=st.dictionaries(
            st.sampled_from(EVENT_KEYS),
            st.dictionaries(limbs, depth_choices, min_size=1, max_size=2),
            max_size=2,
        ),
        looked_at=st.lists(looked_at, max_size=2).map(tuple),
    )


def deliveries(name: str) -> st.SearchStrategy[Delivery]:
    """Return deliveries of this name with one camera or two."""
    return st.builds(
        Delivery,
        name=st.just(name),
        athlete=athletes,
        cameras=st.integers(1, 2).flatmap(
            lambda n_cameras: st.tuples(*(cameras(name) for name in CAMERA_NAMES[:n_cameras]))
        ),
        date=st.sampled_from(["", "2026-05-01"]),
        ball_speed_m_s=st.none() | st.floats(5.0, 50.0),
        notes=texts,
        placing_runs=st.just(()) | st.tuples(placing_runs(RUN_NAMES[0])),
        field=st.none() | fields,
        cameras_from=st.sampled_from(["", *DELIVERY_NAMES]),
        space=st.none() | solutions,
        plan=st.none() | plans,
    )


records = st.builds(
    ProjectRecord,
    title=texts,
    organisation=texts,
    unit_system=st.sampled_from(["metric", "imperial"]),
    deliveries=st.integers(0, 2).flatmap(
        lambda n_deliveries: st.tuples(*map(deliveries, DELIVERY_NAMES[:n_deliveries]))
    ),
    pair=st.none() | st.tuples(texts, texts),
    own_set=texts,
    partner_set=texts,
    walkthroughs=st.just(()) | st.tuples(walkthroughs(PAIRS[0]), walkthroughs(PAIRS[1])),
)

_where: dict[str, Any] = {
    "delivery": st.sampled_from(DELIVERY_NAMES),
    "camera": st.sampled_from(CAMERA_NAMES),
}
_maybe_position = st.none() | positions

_single_changes = st.one_of(
    st.builds(SetPosition, **_where, landmark=landmarks, frame=frames, position=_maybe_position),
    st.builds(
        SetPositions,
        **_where,
        positions=st.dictionaries(
            landmarks, st.dictionaries(frames, _maybe_position, max_size=3), max_size=3
        ),
    ),
    st.builds(SetOccluded, **_where, landmark=landmarks, frame=frames, is_occluded=st.booleans()),
    st.builds(SetMark, **_where, event=st.sampled_from(EVENT_KEYS), mark=st.none() | marks),
    st.builds(
        SetDepthChoice,
        **_where,
        event=st.sampled_from(EVENT_KEYS),
        limb=limbs,
        choice=st.none() | depth_choices,
    ),
    st.builds(SetLookedAt, **_where, looked_at=st.lists(looked_at, max_size=2).map(tuple)),
    st.builds(SetScale, **_where, scale=st.none() | scales),
    st.builds(SetTiming, **_where, timing=timings),
    st.builds(SetRowTime, **_where, row_time_s=st.sampled_from([0.0, 1e-5])),
    st.builds(SetPrecision, **_where, precision=st.none() | precisions),
    st.builds(
        SetControlClick,
        **_where,
        point=st.sampled_from(POINT_NAMES),
        click=st.none() | clicks,
    ),
    st.builds(SetStand, **_where, stand=stands),
    st.builds(SetField, delivery=_where["delivery"], field=st.none() | fields),
    st.builds(
        SetCamerasFrom,
        delivery=_where["delivery"],
        source=st.sampled_from(["", *DELIVERY_NAMES]),
    ),
    st.builds(SetPlan, delivery=_where["delivery"], plan=st.none() | plans),
    st.sampled_from(PAIRS).flatmap(
        lambda pair: st.builds(
            SetWalkthrough, pair=st.just(pair), walkthrough=st.none() | walkthroughs(pair)
        )
    ),
    st.builds(SetSpace, delivery=_where["delivery"], space=st.none() | solutions),
    st.sampled_from(RUN_NAMES).flatmap(
        lambda name: st.builds(
            SetPlacingRun,
            delivery=_where["delivery"],
            name=st.just(name) | st.sampled_from(RUN_NAMES),
            run=st.none() | placing_runs(name),
            index=st.none() | st.integers(0, 2),
        )
    ),
    st.sampled_from(CAMERA_NAMES).flatmap(
        lambda name: st.builds(
            SetCamera,
            delivery=_where["delivery"],
            name=st.just(name) | st.sampled_from(CAMERA_NAMES),
            camera=st.none() | cameras(name),
            index=st.none() | st.integers(0, 2),
        )
    ),
    st.sampled_from(DELIVERY_NAMES).flatmap(
        lambda name: st.builds(
            SetDelivery,
            name=st.just(name) | st.sampled_from(DELIVERY_NAMES),
            delivery=st.none() | deliveries(name),
            index=st.none() | st.integers(0, 2),
        )
    ),
    st.builds(SetProjectField, field=st.sampled_from(["title", "organisation"]), value=texts),
    st.builds(SetProjectField, field=st.just("pair"), value=st.none() | st.tuples(texts, texts)),
)
changes = _single_changes | st.builds(
    Batch, label=texts, changes=st.lists(_single_changes, max_size=3).map(tuple)
)
"""Any edit: some do not fit the project they are tried on, which must leave it as it was."""
